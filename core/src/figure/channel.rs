//! One frequency of a sphere, ready to be integrated.

use crate::figure::extremes::Extremes;
use crate::figure::{Figure, Unit, above_zero};
use crate::fill::Missing;
use crate::fill::cap::EvenCosineFit;
use crate::model::{EqualAngleGrid, Layout, Quantity, Sphere, State};
use crate::rule::{Edges, EdgesChoice, Rule, WeightTable, Window, choose_edges};
use crate::unit::sum;

/// What a person gave beside the readings, linear units.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Given {
    /// Conducted power at the antenna port, W.
    pub conducted_power_w: Option<f64>,
    /// Power that the antenna accepts, W.
    pub accepted_power_w: Option<f64>,
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

/// A polarisation of which more than this share is missing was not measured.
const ABSENT: f64 = 0.99;

/// How much of a polarisation is missing.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
enum Lack {
    /// No more than is allowed.
    #[default]
    Little,
    /// More than is allowed.
    TooMuch,
    /// All of it.
    Everything,
}

/// Means over φ of each ring of one polarisation.
#[derive(Clone, Debug)]
struct Rings {
    /// Mean; `None` where a sample is missing.
    value: Vec<Option<f64>>,
    /// Mean of the lower bounds; missing samples count as 0.
    lower: Vec<f64>,
    /// Mean of the upper bounds; `None` where one is unknown.
    upper: Vec<Option<f64>>,
    /// True where the ring holds filled or missing samples.
    gappy: Vec<bool>,
    /// How much of the polarisation is missing.
    lack: Lack,
    /// Pole values by an even cosine fit of the other ring means, where a pole was not read: (ring, value, change with a lower degree).
    fitted_poles: Vec<(usize, f64, f64)>,
}

/// An integral over a window, divided by 4π.
#[derive(Clone, Debug, PartialEq)]
pub struct Integral {
    /// W, ratio, or 1/W.
    pub value: f64,
    /// Not less than this.
    pub lower: Option<f64>,
    /// Not more than this.
    pub upper: Option<f64>,
    /// What the bounds rest on.
    pub assume: String,
    /// The rule.
    pub rule: Rule,
    /// The window form, for partial windows.
    pub edges: Option<Edges>,
}

/// Why there is no integral, with the bounds that the data still allow.
#[derive(Clone, Debug, PartialEq)]
pub struct NoIntegral {
    /// Why.
    pub reason: String,
    /// Not less than this.
    pub lower: Option<f64>,
    /// Not more than this.
    pub upper: Option<f64>,
    /// What the bounds rest on.
    pub assume: String,
}

impl NoIntegral {
    /// Without any bounds.
    fn because(reason: impl Into<String>) -> Self {
        Self {
            reason: reason.into(),
            lower: None,
            upper: None,
            assume: String::new(),
        }
    }
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
                Rings::new(sphere, &grid, frequency, p, lack)
            })
            .collect::<Option<Vec<Rings>>>()?;
        Some(Self {
            sphere,
            frequency,
            grid,
            setting,
            rises_into_gap: missing.rises.get(frequency).copied().unwrap_or(false),
            rings,
            extremes: Extremes::find(sphere, &grid, frequency),
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

/// What is assumed where nothing had to be.
const COMPLETE: &str = "every direction that carries weight was measured";
/// What is assumed of marks.
const MARKED: &str = "marked samples lie between their bounds";
/// What is assumed of gaps.
const GAPS: &str = "a gap lies between zero and its largest bordering reading";
/// What is assumed where gaps cannot be bounded above.
const GAPS_OPEN: &str = "missing directions are at zero or above";
/// What is assumed of poles that were fitted.
const POLES: &str =
    "the pole rings follow an even cosine fit of the other rings, within the change of two degrees";

impl Rings {
    fn new(
        sphere: &Sphere,
        grid: &EqualAngleGrid,
        frequency: usize,
        p: usize,
        lack: Lack,
    ) -> Option<Self> {
        let m = grid.phi_count();
        let plane = sphere.power()?.index_axis(ndarray::Axis(0), frequency);
        let plane = plane.index_axis(ndarray::Axis(0), p);
        let values = plane.as_slice()?;
        let states = sphere.states().index_axis(ndarray::Axis(0), frequency);
        let states = states.index_axis(ndarray::Axis(0), p);
        let states = states.as_slice()?;
        let first = sphere
            .bounds()
            .partition_point(|b| (b.at.0, b.at.1) < (frequency, p));
        let mut bounds = sphere.bounds().get(first..)?.iter().peekable();
        let count = grid.rings();
        let mut rings = Self {
            value: Vec::with_capacity(count),
            lower: Vec::with_capacity(count),
            upper: Vec::with_capacity(count),
            gappy: Vec::with_capacity(count),
            lack,
            fitted_poles: Vec::new(),
        };
        for (row, row_states) in values.chunks_exact(m).zip(states.chunks_exact(m)) {
            let mean = sum::in_order(row) / m as f64;
            if row_states.iter().all(|s| *s == State::Measured) {
                rings.value.push(Some(mean));
                rings.lower.push(mean);
                rings.upper.push(Some(mean));
                rings.gappy.push(false);
                continue;
            }
            let ring = rings.value.len();
            let mut lower = row.to_vec();
            let mut upper: Option<Vec<f64>> = Some(row.to_vec());
            while let Some(b) =
                bounds.next_if(|b| (b.at.0, b.at.1) == (frequency, p) && b.at.2 < (ring + 1) * m)
            {
                let Some(column) = b.at.2.checked_sub(ring * m) else {
                    continue;
                };
                lower[column] = b.lower;
                match (b.upper, &mut upper) {
                    (Some(u), Some(all)) => all[column] = u,
                    _ => upper = None,
                }
            }
            let missing = row_states.contains(&State::Missing);
            rings.value.push((!missing).then_some(mean));
            rings.lower.push(sum::in_order(&lower) / m as f64);
            rings.upper.push(
                upper
                    .filter(|_| !missing)
                    .map(|u| sum::in_order(&u) / m as f64),
            );
            rings.gappy.push(
                row_states
                    .iter()
                    .any(|s| matches!(s, State::Missing | State::Filled)),
            );
        }
        rings.fit_poles(grid);
        Some(rings)
    }

    /// Where a pole was not read but every other ring has a mean: an even cosine series through all of them.
    fn fit_poles(&mut self, grid: &EqualAngleGrid) {
        let n = grid.intervals();
        let absent: Vec<usize> = [0, n]
            .into_iter()
            .filter(|r| self.value[*r].is_none())
            .collect();
        let known: Vec<(f64, f64)> = (0..=n)
            .filter_map(|ring| self.value[ring].map(|v| (grid.theta_deg(ring), v)))
            .collect();
        if absent.is_empty() || known.len() + absent.len() != n + 1 || known.len() < 4 {
            return;
        }
        let degree = known.len() - 1;
        let (Some(fine), Some(coarse)) = (
            EvenCosineFit::of_degree(&known, degree),
            EvenCosineFit::of_degree(&known, degree - 2),
        ) else {
            return;
        };
        for ring in absent {
            let theta = grid.theta_deg(ring);
            let value = fine.at(theta).max(0.0);
            self.fitted_poles
                .push((ring, value, (value - coarse.at(theta)).abs()));
        }
    }

    fn add_to(&self, total: &mut WeightedSum, weights: &[f64]) {
        for (ring, w) in weights.iter().enumerate() {
            if *w == 0.0 {
                continue;
            }
            let fitted = self.fitted_poles.iter().find(|f| f.0 == ring);
            let (value, lower, upper) = match fitted {
                Some((_, value, change)) => {
                    total.fitted = true;
                    (
                        Some(*value),
                        (value - change).max(0.0),
                        Some(value + change),
                    )
                }
                None => (self.value[ring], self.lower[ring], self.upper[ring]),
            };
            let half = w / 2.0;
            total.values.push(value.unwrap_or(0.0) * half);
            // A ring with a negative weight pulls the other way.
            let (low, high) = if *w > 0.0 {
                (Some(lower), upper)
            } else {
                (upper, Some(lower))
            };
            total.lower.push(low.map(|l| l * half));
            total.upper.push(high.map(|u| u * half));
            total.marked |= fitted.is_none() && !self.gappy[ring] && value != Some(lower);
            total.marked |= fitted.is_none() && !self.gappy[ring] && upper != value;
            if fitted.is_none() {
                total.gappy |= self.gappy[ring];
                if self.gappy[ring] {
                    total.lack = total.lack.max(self.lack);
                }
                total.missing |= value.is_none();
            }
        }
    }
}

/// Σ ½ wᵢ pᵢ with its bounds.
#[derive(Default)]
struct WeightedSum {
    values: Vec<f64>,
    lower: Vec<Option<f64>>,
    upper: Vec<Option<f64>>,
    marked: bool,
    gappy: bool,
    fitted: bool,
    missing: bool,
    lack: Lack,
}

impl WeightedSum {
    fn finish(self, rule: Rule, edges: Option<Edges>) -> Result<Integral, NoIntegral> {
        let value = sum::in_order(&self.values);
        let all = |of: &[Option<f64>]| {
            of.iter()
                .copied()
                .collect::<Option<Vec<f64>>>()
                .map(|v| sum::in_order(&v))
        };
        let lower = all(&self.lower);
        let upper = all(&self.upper);
        let mut assume = Vec::new();
        if self.gappy {
            assume.push(if upper.is_some() { GAPS } else { GAPS_OPEN });
        }
        if self.marked {
            assume.push(MARKED);
        }
        if self.fitted {
            assume.push(POLES);
        }
        if assume.is_empty() {
            assume.push(COMPLETE);
        }
        let assume = assume.join("; ");
        if self.missing || self.lack > Lack::Little {
            let reason = match self.lack {
                Lack::Everything => "a whole polarisation was not measured",
                Lack::TooMuch => "more of the sphere is missing than max-missing allows",
                Lack::Little => "directions are missing that carry weight",
            };
            return Err(NoIntegral {
                reason: reason.to_string(),
                lower: lower.filter(|l| *l > 0.0),
                upper,
                assume,
            });
        }
        Ok(Integral {
            value,
            // Bounds never exclude the estimate, to the last bit.
            lower: lower.map(|l| l.min(value)),
            upper: upper.map(|u| u.max(value)),
            assume,
            rule,
            edges,
        })
    }
}
