//! Hand-made spheres that the tests of figures share.

#![allow(clippy::unwrap_used)]

use crate::figure::{Channel, Figure, Given, Setting, specs, windows};
use crate::fill::Missing;
use crate::model::{Bound, Data, EqualAngleGrid, Grid, Layout, Quantity, Sphere, State};
use crate::rule::{EdgesChoice, Rule, WeightTable};
use ndarray::Array3;

/// A sphere whose parts may be changed before it is built: N intervals, three φ, two frequencies, the first of which holds 1000 everywhere.
pub(crate) struct Parts {
    pub n: usize,
    pub quantity: Quantity,
    pub layout: Layout,
    pub values: Array3<f64>,
    pub states: Array3<State>,
    pub bounds: Vec<Bound>,
    pub setting: Setting,
    pub missing: Missing,
}

/// Columns of all these spheres.
pub(crate) const M: usize = 3;

impl Parts {
    /// With `value(polarisation, ring, column)` at the second frequency.
    pub fn new(n: usize, layout: Layout, value: impl Fn(usize, usize, usize) -> f64) -> Self {
        let shape = (2, layout.polarisations().len(), (n + 1) * M);
        let values = Array3::from_shape_fn(shape, |(f, p, d)| {
            if f == 0 {
                1000.0
            } else {
                value(p, d / M, d % M)
            }
        });
        Self {
            n,
            quantity: Quantity::Eirp,
            layout,
            values,
            states: Array3::from_elem(shape, State::Measured),
            bounds: Vec::new(),
            setting: Setting {
                weights: WeightTable::new(n, &windows()),
                rule: Rule::Sine,
                edges: EdgesChoice::Auto,
                given: Given::default(),
                max_missing: 0.25,
                noise: None,
            },
            missing: Missing {
                share: vec![vec![0.0; shape.1]; 2],
                rises: vec![true, false],
                filled: Vec::new(),
            },
        }
    }

    /// Gives a sample of the second frequency a state and bounds.
    pub fn mark(&mut self, p: usize, d: usize, state: State, lower: f64, upper: Option<f64>) {
        self.states[(1, p, d)] = state;
        self.bounds.push(Bound {
            at: (1, p, d),
            lower,
            upper,
        });
    }

    pub fn grid(&self) -> EqualAngleGrid {
        EqualAngleGrid::try_new(self.n, M, 0.0).unwrap()
    }

    pub fn sphere(&self) -> Sphere {
        let frequencies = [1e9, 2e9].map(crate::unit::Frequency::from_hz).to_vec();
        Sphere::try_new(
            self.quantity,
            Grid::EqualAngle(self.grid()),
            self.layout,
            frequencies,
            Data::Power(self.values.clone()),
            self.states.clone(),
            self.bounds.clone(),
        )
        .unwrap()
    }

    /// What `look` sees of the second frequency.
    pub fn with<T>(&self, look: impl FnOnce(&Channel<'_>) -> T) -> T {
        let sphere = self.sphere();
        look(&Channel::new(&sphere, 1, &self.setting, &self.missing).unwrap())
    }

    /// A figure of the second frequency.
    pub fn figure(&self, name: &str) -> Figure {
        let spec = specs().into_iter().find(|s| s.name == name).unwrap();
        self.with(|channel| (spec.compute)(channel, spec.name))
    }
}

/// Within the last digits of each other.
pub(crate) fn near(got: f64, want: f64) {
    assert!(
        (got - want).abs() <= 1e-12 * want.abs().max(1.0),
        "{got} is not {want}"
    );
}
