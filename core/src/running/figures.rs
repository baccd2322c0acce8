//! Running figures by name: each a [`Figure`], with what its value and bounds rest on.

use crate::figure::{Figure, FigureState, Given, Part, Spec, Unit, window_of};
use crate::model::{Grid, Quantity};
use crate::rule::{Edges, EdgesChoice, Rule, WeightTable, Window, choose_edges};
use crate::running::now::{Now, Peak, Standing};

const UNREAD: &str = "samples that were not read lie between zero and the largest reading so far, and the value takes each for the mean of those read in its polarisation";
const UNREAD_PEAK: &str = "samples that were not read lie between zero and the largest reading so far, and the value is the largest sum of what was read in a direction";
const READ: &str = "every sample that carries weight was read";
const MARKED: &str = "marked samples lie between their bounds";
const FLOOR: &str = "the noise floor is not taken off before the end";

/// What a running figure is made of.
#[derive(Clone, Copy)]
enum Kind {
    Whole(Part),
    Window(Window),
    Peak,
}

/// How a running figure is made; `None` for those that have none: shares, minima, directivities.
fn kind(name: &str) -> Option<Kind> {
    Some(match name {
        "trp" | "tis" | "average_gain" | "total_efficiency" | "radiation_efficiency" => {
            Kind::Whole(Part::Total)
        }
        "trp_theta" | "tis_theta" => Kind::Whole(Part::Theta),
        "trp_phi" | "tis_phi" => Kind::Whole(Part::Phi),
        "peak_eirp" | "best_eis" | "peak_gain" => Kind::Peak,
        _ => Kind::Window(window_of(name)?),
    })
}

/// What the figures of every frequency share.
#[derive(Clone, Debug)]
pub(super) struct Making {
    pub names: Vec<(&'static str, Unit)>,
    pub quantity: Quantity,
    pub weights: WeightTable,
    pub rule: Rule,
    pub edges: EdgesChoice,
    pub given: Given,
    pub has_floor: bool,
}

/// The figures of a list that run, with their units.
pub(super) fn running(specs: &[Spec]) -> Vec<(&'static str, Unit)> {
    let some = specs.iter().filter(|s| kind(s.name).is_some());
    some.map(|s| (s.name, s.unit)).collect()
}

impl Making {
    /// All figures of a frequency.
    pub fn figures(&self, grid: &Grid, now: &Now) -> Vec<Figure> {
        let all = self.names.iter();
        all.filter_map(|(name, unit)| Some(self.figure(grid, now, name, *unit, kind(name)?)))
            .collect()
    }

    fn figure(&self, grid: &Grid, now: &Now, name: &'static str, unit: Unit, kind: Kind) -> Figure {
        let Some(reference) = self.reference(name, unit) else {
            return Figure::refused(name, unit, "the power that it is a share of was not given");
        };
        match kind {
            Kind::Whole(part) => {
                let weights = self.weights.whole(self.rule);
                let (rule, edges) = (self.rule, None);
                self.integral(now, name, unit, part, reference, weights, rule, edges)
            }
            Kind::Window(window) => {
                let intervals = self.weights.intervals();
                let edges = match choose_edges(self.edges, self.rule, window, intervals) {
                    Ok(edges) => edges,
                    Err(e) => return Figure::refused(name, unit, e.message()),
                };
                let weights = self.weights.window(window, edges).unwrap_or(&[]);
                let (rule, edges) = (edges.family(), Some(edges));
                let part = Part::Total;
                self.integral(now, name, unit, part, reference, weights, rule, edges)
            }
            Kind::Peak => {
                let Peak {
                    standing,
                    direction,
                } = now.peak();
                let figure = self.stated(now, name, unit, reference, standing, UNREAD_PEAK);
                match direction.and_then(|d| grid.direction(d)) {
                    Some(d) if figure.value.is_some() => {
                        figure.in_direction(d.theta_deg, d.phi_deg)
                    }
                    _ => figure,
                }
            }
        }
    }

    #[expect(clippy::too_many_arguments, reason = "one sum, written in one place")]
    fn integral(
        &self,
        now: &Now,
        name: &'static str,
        unit: Unit,
        part: Part,
        reference: f64,
        weights: &[f64],
        rule: Rule,
        edges: Option<Edges>,
    ) -> Figure {
        let Some(standing) = now.sum(part, weights) else {
            let reason = "the readings are totals of both polarisations";
            return Figure::refused(name, unit, reason);
        };
        let mut figure = self.stated(now, name, unit, reference, standing, UNREAD);
        figure.rule = Some(rule);
        figure.edges = edges;
        figure
    }

    /// A sum as a figure: over a reference, or of a sensitivity as a reciprocal, whose bounds change places.
    fn stated(
        &self,
        now: &Now,
        name: &'static str,
        unit: Unit,
        reference: f64,
        standing: Standing,
        unread: &str,
    ) -> Figure {
        let not_begun = now.not_begun();
        let finite = |x: Option<f64>| {
            let x = x.filter(|_| not_begun.is_none());
            x.map(|x| x / reference).filter(|x| x.is_finite())
        };
        let value = finite(standing.value);
        // Bounds never exclude the value, to the last bit.
        let within = value.unwrap_or(f64::INFINITY);
        let lower = Some(standing.lower / reference).filter(|l| l.is_finite());
        let lower = lower.map(|l| l.min(within));
        let upper = finite(standing.upper).map(|u| u.max(value.unwrap_or(u)));
        let shown = value.unwrap_or(1.0);
        let mut figure = if self.quantity.is_sensitivity() {
            Figure::from_reciprocal(name, shown, lower, upper)
        } else {
            Figure::from_linear(name, unit, shown, lower, upper)
        };
        if value.is_none() {
            figure.value = None;
            figure.state = FigureState::Refused;
            figure.reason = Some(match not_begun {
                Some(p) => format!(
                    "no reading of the {} polarisation yet",
                    now.polarisation(p).map_or("next", |p| p.as_str())
                ),
                None => "nothing that carries weight was read yet".to_string(),
            });
        }
        let mut assume = vec![if standing.unread { unread } else { READ }];
        if standing.marked {
            assume.push(MARKED);
        }
        if self.has_floor {
            assume.push(FLOOR);
        }
        figure.bounds_assume = Some(assume.join("; "));
        figure
    }

    /// What a figure is divided by; `None` where it was not given.
    fn reference(&self, name: &str, unit: Unit) -> Option<f64> {
        match (unit, self.quantity) {
            (Unit::Percent, _) if name == "total_efficiency" => self.given.conducted_power_w,
            (Unit::Percent, _) => self.given.accepted_power_w,
            (Unit::Dbi, Quantity::Eirp) => self.given.accepted_power_w,
            _ => Some(1.0),
        }
    }
}
