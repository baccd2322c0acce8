//! One polarisation at one frequency, as the findings look at it.

use crate::model::{EqualAngleGrid, Polarisation, Sphere, State};
use ndarray::Axis;

/// Samples of one polarisation at one frequency on an equal-angle grid.
pub(super) struct View<'a> {
    /// The grid.
    pub grid: EqualAngleGrid,
    /// Index of the frequency.
    pub frequency: usize,
    /// The polarisation.
    pub polarisation: Polarisation,
    /// Samples by direction, in what integrates.
    pub values: &'a [f64],
    /// Their states.
    pub states: &'a [State],
}

/// Every polarisation at every frequency; none of a complex sphere or a listed grid.
pub(super) fn views(sphere: &Sphere) -> Vec<View<'_>> {
    let (Some(grid), Some(values)) = (sphere.grid().equal_angle(), sphere.power()) else {
        return Vec::new();
    };
    let of_frequency = values.outer_iter().zip(sphere.states().outer_iter());
    let mut views = Vec::new();
    for (frequency, (values, states)) in of_frequency.enumerate() {
        for (p, polarisation) in sphere.layout().polarisations().iter().enumerate() {
            let values = values.index_axis_move(Axis(0), p).to_slice();
            let states = states.index_axis_move(Axis(0), p).to_slice();
            if let (Some(values), Some(states)) = (values, states) {
                views.push(View {
                    grid: *grid,
                    frequency,
                    polarisation: *polarisation,
                    values,
                    states,
                });
            }
        }
    }
    views
}

impl View<'_> {
    /// Index of a direction.
    pub fn at(&self, ring: usize, column: usize) -> usize {
        ring * self.grid.phi_count() + column
    }

    /// Directions that are not at a pole.
    pub fn inner(&self) -> std::ops::Range<usize> {
        self.at(1, 0)..self.at(self.grid.intervals(), 0)
    }

    /// A direction in words.
    pub fn direction(&self, index: usize) -> String {
        let (ring, column) = (index / self.grid.phi_count(), index % self.grid.phi_count());
        format!(
            "θ {}°, φ {}°",
            Short(self.grid.theta_deg(ring)),
            Short(self.grid.phi_deg(column))
        )
    }
}

/// A number without the digits that rounding left.
pub(super) struct Short(pub f64);

impl std::fmt::Display for Short {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}", (self.0 * 1e3).round() / 1e3)
    }
}

/// At which frequency, in words with a blank before them; nothing where there is only one.
pub(super) fn at_frequency(sphere: &Sphere, frequency: usize) -> String {
    match sphere.frequencies().get(frequency) {
        Some(Some(f)) if sphere.frequencies().len() > 1 => format!(" at {f}"),
        _ => String::new(),
    }
}
