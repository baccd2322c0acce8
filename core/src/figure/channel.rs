//! One frequency of a sphere, ready to be integrated.

use crate::correct::Noise;
use crate::figure::extremes::Extremes;
use crate::figure::integral::{Integral, NoIntegral, WeightedSum};
use crate::figure::rings::{ABSENT, Lack, Rings};
use crate::figure::{Figure, Unit, above_zero};
use crate::fill::Missing;
use crate::model::{EqualAngleGrid, Layout, Quantity, Sphere};
use crate::rule::{Edges, EdgesChoice, Rule, WeightTable, Window, choose_edges};

/// What a person gave beside the readings, linear units.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Given {
    /// Conducted power at the antenna port, W.
    pub conducted_power_w: Option<f64>,
    /// Power that the antenna accepts, W.
    pub accepted_power_w: Option<f64>,
    /// Diameter of the smallest sphere around all that radiates, m.
    pub device_size_m: Option<f64>,
}

/// Which polarisations are integrated.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Part {
    /// Both, or the total.
    Total,
    /// Theta alone.
    Theta,
    /// Phi alone.
    Phi,
}

/// What all frequencies of a reduction share.
#[derive(Clone, Debug)]
pub struct Setting {
    /// Ring weights of the grid, with all windows of [`windows`](crate::figure::windows).
    pub weights: WeightTable,
    /// The rule of whole-sphere figures.
    pub rule: Rule,
    /// The window form asked for.
    pub edges: EdgesChoice,
    /// What was given beside the readings.
    pub given: Given,
    /// Largest share of 4π that may be missing.
    pub max_missing: f64,
    /// The noise of the sphere, where its floor was taken off.
    pub noise: Option<Noise>,
}

/// One frequency of a filled, power-like sphere on an equal-angle grid.
pub struct Channel<'a> {
    /// The sphere.
    pub sphere: &'a Sphere,
    /// Index of the frequency.
    pub frequency: usize,
    /// The grid.
    pub grid: EqualAngleGrid,
    /// Rule, window form, and what was given.
    pub setting: &'a Setting,
    /// True where a pattern rises into a gap: figures that rest on the peak are refused.
    pub rises_into_gap: bool,
    rings: Vec<Rings>,
    extremes: Option<Extremes>,
}

impl<'a> Channel<'a> {
    /// Prepares a frequency; `missing` is what the filling found.
    ///
    /// `None` for complex spheres, listed grids, and weights of another grid.
    #[must_use]
    pub fn new(
        sphere: &'a Sphere,
        frequency: usize,
        setting: &'a Setting,
        missing: &Missing,
    ) -> Option<Self> {
        let grid = *sphere.grid().equal_angle()?;
        sphere.power()?;
        if setting.weights.intervals() != grid.intervals() {
            return None;
        }
        let rings = (0..sphere.layout().polarisations().len())
            .map(|p| {
                let share = missing.share_of(frequency, p);
                let lack = if share > ABSENT {
                    Lack::Everything
                } else if share > setting.max_missing {
                    Lack::TooMuch
                } else {
                    Lack::Little
                };
                Rings::new(
                    sphere,
                    &grid,
                    frequency,
                    p,
                    lack,
                    setting.noise.as_ref(),
                    missing.filled_of(frequency, p),
                )
            })
            .collect::<Option<Vec<Rings>>>()?;
        let extremes = Extremes::find(sphere, &grid, frequency);
        let estimated = setting.noise.as_ref().filter(|n| n.is_estimated);
        let extremes = match estimated {
            Some(noise) => extremes.map(|e| e.with_floor_left(sphere, &grid, frequency, noise)),
            None => extremes,
        };
        Some(Self {
            sphere,
            frequency,
            grid,
            setting,
            rises_into_gap: missing.rises.get(frequency).copied().unwrap_or(false),
            rings,
            extremes,
        })
    }

    /// The quantity.
    #[must_use]
    pub fn quantity(&self) -> Quantity {
        self.sphere.quantity()
    }

    /// Whole-sphere mean by the rule of this reduction.
    ///
    /// # Errors
    /// Why there is none, with bounds.
    pub fn whole(&self, part: Part) -> Result<Integral, NoIntegral> {
        self.whole_by(part, self.setting.rule)
    }

    /// Whole-sphere mean by a rule.
    ///
    /// # Errors
    /// Why there is none, with bounds.
    pub fn whole_by(&self, part: Part, rule: Rule) -> Result<Integral, NoIntegral> {
        self.integrate(part, self.setting.weights.whole(rule), rule, None)
    }

    /// Mean over a window, divided by 4π, in the window form that was chosen.
    ///
    /// # Errors
    /// Why there is none, with bounds.
    pub fn window(&self, part: Part, window: Window) -> Result<Integral, NoIntegral> {
        let edges = choose_edges(
            self.setting.edges,
            self.setting.rule,
            window,
            self.grid.intervals(),
        )
        .map_err(|e| {
            NoIntegral::because(match e.advice() {
                Some(advice) => format!("{}; {advice}", e.message()),
                None => e.message().to_string(),
            })
        })?;
        self.window_by(part, window, edges)
    }

    /// Mean over a window, divided by 4π, in a window form. Half-weighted edges must lie on rings.
    ///
    /// # Errors
    /// Why there is none, with bounds.
    pub fn window_by(
        &self,
        part: Part,
        window: Window,
        edges: Edges,
    ) -> Result<Integral, NoIntegral> {
        let Some(weights) = self.setting.weights.window(window, edges) else {
            return Err(NoIntegral::because(format!(
                "there are no weights for the window {window} in this form"
            )));
        };
        self.integrate(part, weights, edges.family(), Some(edges))
    }

    /// Covariance of the noise of a window and of the whole sphere, both polarisations together.
    pub(super) fn noise_covariance(&self, window: Window, edges: Edges, rule: Rule) -> f64 {
        let weights = &self.setting.weights;
        let (Some(part), whole) = (weights.window(window, edges), weights.whole(rule)) else {
            return 0.0;
        };
        let rings = self.rings.iter();
        let each: Vec<f64> = rings.map(|r| r.noise_covariance(part, whole)).collect();
        crate::unit::sum::in_order(&each)
    }

    /// True where a pole ring is absent and had to be fitted for rules that need it.
    #[must_use]
    pub fn has_fitted_poles(&self) -> bool {
        self.rings.iter().any(|r| !r.fitted_poles.is_empty())
    }

    fn integrate(
        &self,
        part: Part,
        weights: &[f64],
        rule: Rule,
        edges: Option<Edges>,
    ) -> Result<Integral, NoIntegral> {
        let wanted: Vec<&Rings> = match (part, self.sphere.layout()) {
            (Part::Total, _) => self.rings.iter().collect(),
            (Part::Theta, Layout::ThetaPhi) => self.rings.iter().take(1).collect(),
            (Part::Phi, Layout::ThetaPhi) => self.rings.iter().skip(1).take(1).collect(),
            (_, Layout::TotalOnly) => {
                return Err(NoIntegral::because(
                    "the readings are totals of both polarisations",
                ));
            }
        };
        let mut total = WeightedSum::default();
        for rings in wanted {
            rings.add_to(&mut total, weights);
        }
        total.finish(rule, edges)
    }

    /// Largest and smallest total of both polarisations over the directions that were read.
    #[must_use]
    pub fn extremes(&self) -> Option<&Extremes> {
        self.extremes.as_ref()
    }

    /// A refused figure with the bounds that are left, in dBm of a radiated quantity.
    #[must_use]
    pub fn refused(&self, name: &str, unit: Unit, no: &NoIntegral) -> Figure {
        let mut figure = Figure::refused(name, unit, no.reason.clone());
        figure.lower = above_zero(no.lower, |x| unit.of_linear(x));
        figure.upper = above_zero(no.upper, |x| unit.of_linear(x));
        if figure.lower.is_some() || figure.upper.is_some() {
            figure.bounds_assume = Some(no.assume.clone());
        }
        figure
    }

    /// A refused sensitivity with the bounds that are left.
    #[must_use]
    pub fn refused_sensitivity(&self, name: &str, no: &NoIntegral) -> Figure {
        let mut figure = Figure::from_reciprocal(name, 1.0, no.lower, no.upper);
        figure.state = crate::figure::FigureState::Refused;
        figure.value = None;
        figure.reason = Some(no.reason.clone());
        if figure.lower.is_some() || figure.upper.is_some() {
            figure.bounds_assume = Some(no.assume.clone());
        }
        figure
    }
}
