//! A figure of two runs side by side.

use crate::compare::{CompareOptions, Directions};
use crate::figure::{Figure, FigureState, Unit};
use crate::unit::{Frequency, level};

/// Whether the measurement can tell two figures apart.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(rename_all = "kebab-case"))]
#[non_exhaustive]
pub enum FigureVerdict {
    /// The difference is larger than its expanded uncertainty.
    Resolved,
    /// It is not.
    NotResolved,
    /// Only a bound of the difference is known.
    BoundOnly,
    /// No uncertainty was given.
    NotAssessed,
}

impl FigureVerdict {
    /// The word used in JSON and text.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Resolved => "resolved",
            Self::NotResolved => "not-resolved",
            Self::BoundOnly => "bound-only",
            Self::NotAssessed => "not-assessed",
        }
    }
}

/// A figure of the reference and of the test, and what lies between them.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
#[non_exhaustive]
pub struct ComparedFigure {
    /// The figure's name.
    pub name: String,
    /// Its unit.
    pub unit: Unit,
    /// Value of the reference.
    pub reference: Option<f64>,
    /// Value of the test.
    pub test: Option<f64>,
    /// Test − reference, dB.
    pub difference_db: Option<f64>,
    /// Not less than this, from the bounds of both.
    pub difference_lower_db: Option<f64>,
    /// Not more than this, from the bounds of both.
    pub difference_upper_db: Option<f64>,
    /// Power of the test over that of the reference; for sensitivities that of the link.
    pub power_ratio: Option<f64>,
    /// Share of the power that is lost, per cent; below 0 it is won.
    pub share_lost_percent: Option<f64>,
    /// Range of the test over that of the reference in free space.
    pub range_factor_free_space: Option<f64>,
    /// The same with `path_loss_exponent`.
    pub range_factor: Option<f64>,
    /// Exponent of the path-loss model.
    pub path_loss_exponent: Option<f64>,
    /// Standard uncertainty of the difference, dB.
    pub standard_uncertainty_db: Option<f64>,
    /// Expanded uncertainty of the difference, dB.
    pub expanded_uncertainty_db: Option<f64>,
    /// Coverage factor of the expanded uncertainty.
    pub coverage_factor: Option<f64>,
    /// Whether the measurement can tell the two apart.
    pub verdict: FigureVerdict,
}

/// Figures of one frequency, and the directions.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
#[non_exhaustive]
pub struct ComparedChannel {
    /// The frequency (in hertz when serialised).
    pub frequency_hz: Option<Frequency>,
    /// The figures that both have.
    pub figures: Vec<ComparedFigure>,
    /// Extremes over the directions; `None` where the grids differ.
    pub directions: Option<Directions>,
}

impl ComparedChannel {
    /// A figure by name.
    #[must_use]
    pub fn figure(&self, name: &str) -> Option<&ComparedFigure> {
        self.figures.iter().find(|f| f.name == name)
    }
}

/// Factor on the range in free space for a change of the link by `d_db`: 10^(d/20) (Friis: power falls with the square of
/// the distance).
#[must_use]
pub fn range_factor_free_space(d_db: f64) -> f64 {
    level::ratio_from_db(d_db / 2.0)
}

/// Factor on the range for a change of the link by `d_db` under a path-loss exponent n: 10^(d/(10 n)) (log-distance model,
/// Rappaport; 2 is free space, 4 two-ray).
#[must_use]
pub fn range_factor(d_db: f64, exponent: f64) -> f64 {
    level::ratio_from_db(d_db / exponent)
}

/// Share of the power that is lost with a change of `d_db`, per cent: 100·(1 − 10^(d/10)). Below 0 it is won.
#[must_use]
pub fn share_lost_percent(d_db: f64) -> f64 {
    100.0 * (1.0 - level::ratio_from_db(d_db))
}

/// Figures that both lists have, by name, in the reference's order.
pub(super) fn compare_all(
    reference: &[Figure],
    test: &[Figure],
    options: CompareOptions,
    is_noise_limited: bool,
) -> Vec<ComparedFigure> {
    reference
        .iter()
        .filter_map(|a| {
            test.iter()
                .find(|b| b.name == a.name)
                .map(|b| match is_noise_limited {
                    true => compare(&by_interval(a), &by_interval(b), options),
                    false => compare(a, b, options),
                })
        })
        .collect()
}

/// Levels, gains and efficiencies bear on the link; shares and directivities do not by themselves.
fn bears_on_link(figure: &Figure) -> bool {
    figure.name != "directivity"
        && figure.name != "polarisation_ratio"
        && !figure.name.ends_with("_ratio")
}

/// Sensitivities are better when smaller.
pub(super) fn is_sensitivity(name: &str) -> bool {
    let stem = name.split('_').next().unwrap_or(name);
    matches!(stem, "tis" | "nhpis" | "uhis" | "pigs")
        || name.ends_with("_eis")
        || name.starts_with("coverage_eis")
}

/// A figure of a run that noise limits: its value is no answer, what its interval and bounds allow together is. `value` is kept to be shown.
fn by_interval(figure: &Figure) -> Figure {
    let mut figure = figure.clone();
    let wider = |bound: Option<f64>, end: Option<f64>, pick: fn(f64, f64) -> f64| {
        bound.zip(end).map(|(a, b)| pick(a, b))
    };
    figure.lower = wider(figure.lower, figure.interval_lower, f64::min);
    // Below zero watts there is no bound in decibels, and yet an end of the interval.
    figure.upper = match figure.upper {
        None if figure.state == FigureState::NotAboveZero => figure.interval_upper,
        bound => wider(bound, figure.interval_upper, f64::max),
    };
    if figure.state == FigureState::Value {
        figure.state = FigureState::NotAboveZero;
    }
    figure
}

fn compare(a: &Figure, b: &Figure, options: CompareOptions) -> ComparedFigure {
    // Everything in decibels, percentages too.
    let db = |unit: Unit, value: Option<f64>| {
        value
            .map(|v| {
                if unit == Unit::Percent {
                    Unit::Db.of_linear(v / 100.0)
                } else {
                    v
                }
            })
            .filter(|v| v.is_finite())
    };
    let both = |x: Option<f64>, y: Option<f64>| x.zip(y).map(|(x, y)| y - x);
    let usable = |f: &Figure| f.state == FigureState::Value;
    let difference =
        both(db(a.unit, a.value), db(b.unit, b.value)).filter(|_| usable(a) && usable(b));
    let lower = both(db(a.unit, a.upper), db(b.unit, b.lower));
    let upper = both(db(a.unit, a.lower), db(b.unit, b.upper));
    let sensitivity = is_sensitivity(&a.name) && a.unit == Unit::Dbm;
    let link = difference.map(|d| if sensitivity { -d } else { d });
    let on_link = link.filter(|_| bears_on_link(a));
    let bounded = lower.is_some() || upper.is_some();
    ComparedFigure {
        name: a.name.clone(),
        unit: a.unit,
        reference: a.value,
        test: b.value,
        difference_db: difference,
        difference_lower_db: lower,
        difference_upper_db: upper,
        power_ratio: link.map(level::ratio_from_db),
        share_lost_percent: on_link.map(share_lost_percent),
        range_factor_free_space: on_link.map(range_factor_free_space),
        range_factor: on_link
            .zip(options.path_loss_exponent)
            .map(|(d, n)| range_factor(d, n)),
        path_loss_exponent: options.path_loss_exponent,
        standard_uncertainty_db: None,
        expanded_uncertainty_db: None,
        coverage_factor: None,
        verdict: if bounded && !(usable(a) && usable(b)) {
            FigureVerdict::BoundOnly
        } else {
            FigureVerdict::NotAssessed
        },
    }
}
