//! Summary over channels.
//!
//! TRP: mean of the milliwatts, and the lowest. TIS: harmonic mean, and the highest (worst). Source: F6; CTIA OTA test plan, 3GPP TS 37.144
//! (from memory).

use crate::figure::{Figure, FigureState, Unit};
use crate::unit::sum;

/// Names of a summary: the figure that is summarised, its average, its worst.
const SUMMARIES: &[(&str, &str, &str)] = &[
    ("trp", "trp_average", "trp_lowest"),
    ("tis", "tis_average", "tis_highest"),
];

/// The figure that a summary is made of; `None` where the name is no summary's.
#[must_use]
pub fn summarised_by(name: &str) -> Option<&'static str> {
    SUMMARIES
        .iter()
        .find(|s| s.1 == name || s.2 == name)
        .map(|s| s.0)
}

/// Averages and worst values over channels, from the figures of each channel.
#[must_use]
pub fn summarise(channels: &[&[Figure]]) -> Vec<Figure> {
    let mut summary = Vec::new();
    for (name, average, worst) in SUMMARIES {
        let all: Vec<&Figure> = channels
            .iter()
            .filter_map(|figures| figures.iter().find(|f| f.name == *name))
            .collect();
        if all.is_empty() {
            continue;
        }
        let sensitivity = *name == "tis";
        if all
            .iter()
            .any(|f| matches!(f.state, FigureState::Refused | FigureState::NotAboveZero))
        {
            let reason = format!("{name} is refused or not above zero at a frequency");
            summary.push(Figure::refused(average, Unit::Dbm, reason.clone()));
            summary.push(Figure::refused(worst, Unit::Dbm, reason));
            continue;
        }
        let linear = |value: Option<f64>| {
            value.map(|v| Unit::Dbm.to_linear(if sensitivity { -v } else { v }))
        };
        let mean = |of: &dyn Fn(&Figure) -> Option<f64>| {
            all.iter()
                .map(|f| of(f))
                .collect::<Option<Vec<f64>>>()
                .and_then(|v| sum::mean(&v))
        };
        let value = mean(&|f| linear(f.value).or((f.state == FigureState::Zero).then_some(0.0)));
        let (low, high) = (mean(&|f| linear(f.lower)), mean(&|f| linear(f.upper)));
        let mut mean_figure = match (value, sensitivity) {
            (Some(v), false) => Figure::from_linear(average, Unit::Dbm, v, low, high),
            // linear() of a sensitivity is in 1/mW·10⁻³: only its reciprocal is looked at.
            (Some(q), true) => Figure::from_linear(
                average,
                Unit::Dbm,
                reciprocal(q),
                low.map(reciprocal),
                high.map(reciprocal),
            ),
            (None, _) => Figure::refused(average, Unit::Dbm, "a channel has no value"),
        };
        let first = all.first().copied();
        let worst_of = all.iter().copied().fold(first, |a, b| match a {
            Some(a) if is_worse(b, a, sensitivity) => Some(b),
            other => other,
        });
        if let Some(w) = worst_of {
            mean_figure.rule = w.rule;
            mean_figure.bounds_assume.clone_from(&w.bounds_assume);
            summary.push(mean_figure);
            let mut figure = w.clone();
            figure.name = (*worst).to_string();
            summary.push(figure);
        }
    }
    summary
}

/// 1/q for a level that was negated in dBm before it became linear: W from (1 mW)²/q.
fn reciprocal(q: f64) -> f64 {
    1e-6 / q
}

fn is_worse(a: &Figure, b: &Figure, sensitivity: bool) -> bool {
    match (a.value, b.value) {
        (Some(a), Some(b)) if sensitivity => a > b,
        (Some(a), Some(b)) => a < b,
        // No value is an exact zero: nothing is radiated, or nothing received.
        (None, Some(_)) => true,
        _ => false,
    }
}
