//! An integral over a window, and what it rests on.

use crate::figure::ring_noise::{NoiseEffect, NoiseSum};
use crate::figure::rings::Lack;
use crate::rule::{Edges, Rule};
use crate::uncertainty::Standard;
use crate::unit::sum;

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
    /// Standard uncertainty of the value, by where it comes from.
    pub standard: Standard,
    /// What noise does to it, where the floor is known.
    pub noise: Option<NoiseEffect>,
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
    pub(super) fn because(reason: impl Into<String>) -> Self {
        Self {
            reason: reason.into(),
            lower: None,
            upper: None,
            assume: String::new(),
        }
    }
}

/// What is assumed where nothing had to be.
pub(super) const COMPLETE: &str = "every direction that carries weight was measured";
/// What is assumed of marks.
const MARKED: &str = "marked samples lie between their bounds";
/// What is assumed of gaps.
const GAPS: &str = "a gap lies between zero and its largest bordering reading";
/// What is assumed where gaps cannot be bounded above.
const GAPS_OPEN: &str = "missing directions are at zero or above";
/// What is assumed of a floor that was estimated.
pub(super) const ESTIMATED: &str =
    "the noise floor lies between nothing and what the lowest readings allow";
/// What bounds leave to the interval.
const NOISE_ASIDE: &str = "noise aside, which the interval holds";
/// What is assumed of poles that were fitted.
const POLES: &str =
    "the pole rings follow an even cosine fit of the other rings, within the change of two degrees";

/// Σ ½ wᵢ pᵢ with its bounds.
#[derive(Default)]
pub(super) struct WeightedSum {
    pub(super) values: Vec<f64>,
    pub(super) lower: Vec<Option<f64>>,
    pub(super) upper: Vec<Option<f64>>,
    pub(super) marked: bool,
    pub(super) gappy: bool,
    pub(super) fitted: bool,
    pub(super) missing: bool,
    pub(super) lack: Lack,
    pub(super) standard: Standard,
    pub(super) noise: Option<NoiseSum>,
    gaps_unknown: bool,
}

impl WeightedSum {
    /// Adds the uncertainties that the gaps of a polarisation bring. Gaps are independent of each other within a polarisation; the other
    /// polarisation mostly misses the same directions, and errs alike.
    pub(super) fn add_gaps(&mut self, errors: &[Option<f64>]) {
        let Some(known) = errors.iter().copied().collect::<Option<Vec<f64>>>() else {
            self.gaps_unknown = true;
            self.standard.gaps = None;
            return;
        };
        if let (false, Some(u)) = (self.gaps_unknown, known.into_iter().reduce(libm::hypot)) {
            self.standard.gaps = Some(self.standard.gaps.unwrap_or(0.0) + u);
        }
    }

    pub(super) fn finish(self, rule: Rule, edges: Option<Edges>) -> Result<Integral, NoIntegral> {
        let value = sum::in_order(&self.values);
        let all = |of: &[Option<f64>]| {
            of.iter()
                .copied()
                .collect::<Option<Vec<f64>>>()
                .map(|v| sum::in_order(&v))
        };
        let lower = all(&self.lower);
        let upper = all(&self.upper);
        let noise = self.noise.as_ref().map(NoiseSum::finish);
        let mut standard = self.standard;
        if let Some(noise) = &noise {
            noise.add_to(&mut standard);
        }
        // What was taken off may be signal, all of it.
        let may_be_signal = self.noise.as_ref().filter(|n| n.is_estimated);
        let taken = may_be_signal
            .and(noise)
            .map_or(0.0, |n| (n.shown - value).max(0.0));
        let upper = upper.map(|u| u + taken);
        let mut assume = Vec::new();
        if may_be_signal.is_some() {
            assume.push(ESTIMATED);
        }
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
        if noise.is_some() && assume != [COMPLETE] {
            assume.push(NOISE_ASIDE);
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
            standard,
            noise,
        })
    }
}
