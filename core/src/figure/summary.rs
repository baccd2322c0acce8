//! Summary over channels.
//!
//! TRP: mean of the milliwatts, and the lowest. TIS: harmonic mean, and the highest (worst). Source: F6; CTIA OTA test plan, 3GPP TS 37.144
//! (from memory).

use crate::figure::integral::COMPLETE;
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
            // The better side of a sensitivity is the larger inverse.
            (Some(q), true) => {
                Figure::from_reciprocal(average, per_watt(q), high.map(per_watt), low.map(per_watt))
            }
            (None, _) => Figure::refused(average, Unit::Dbm, "a channel has no value"),
        };
        let first = all.first().copied();
        let worst_of = all.iter().copied().fold(first, |a, b| match a {
            Some(a) if is_worse(b, a, sensitivity) => Some(b),
            other => other,
        });
        if let Some(w) = worst_of {
            let assume = assumed(&all);
            mean_figure.rule = w.rule;
            mean_figure.bounds_assume.clone_from(&assume);
            summary.push(mean_figure);
            let mut figure = w.clone();
            figure.name = (*worst).to_string();
            figure.bounds_assume = assume;
            // The worst of all is bounded by the worst of the bounds, whichever channel has them.
            (figure.lower, figure.upper) = if sensitivity {
                (
                    worst_known(&all, |f| f.lower, f64::max),
                    worst_of_all(&all, |f| f.upper, f64::max),
                )
            } else {
                (
                    worst_of_all(&all, |f| f.lower, f64::min),
                    worst_known(&all, |f| f.upper, f64::min),
                )
            };
            summary.push(figure);
        }
    }
    summary
}

/// What the bounds of all channels rest on, each said once.
fn assumed(all: &[&Figure]) -> Option<String> {
    let mut said: Vec<&str> = Vec::new();
    for part in all
        .iter()
        .filter_map(|f| f.bounds_assume.as_deref())
        .flat_map(|a| a.split("; "))
    {
        if !said.contains(&part) {
            said.push(part);
        }
    }
    // That nothing was missing holds only where it holds of every channel.
    if said.len() > 1 {
        said.retain(|s| *s != COMPLETE);
    }
    (!said.is_empty()).then(|| said.join("; "))
}

/// The worst bound; `None` where a channel has none.
fn worst_of_all(
    all: &[&Figure],
    bound: impl Fn(&Figure) -> Option<f64>,
    worse: fn(f64, f64) -> f64,
) -> Option<f64> {
    let bounds: Option<Vec<f64>> = all.iter().map(|f| bound(f)).collect();
    bounds.and_then(|b| b.into_iter().reduce(worse))
}

/// The worst of the bounds that there are: the worst value is on the far side of each of them.
fn worst_known(
    all: &[&Figure],
    bound: impl Fn(&Figure) -> Option<f64>,
    worse: fn(f64, f64) -> f64,
) -> Option<f64> {
    all.iter().filter_map(|f| bound(f)).reduce(worse)
}

/// 1/W of a level that was negated in dBm before it became linear: (1 mW)·(1 mW) per W.
fn per_watt(q: f64) -> f64 {
    1e6 * q
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

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::figure::integral::COMPLETE;

    fn trp(dbm: f64, lower: Option<f64>, upper: Option<f64>, assume: &str) -> Vec<Figure> {
        let mut figure = Figure::refused("trp", Unit::Dbm, "");
        figure.state = FigureState::Value;
        (figure.value, figure.lower, figure.upper) = (Some(dbm), lower, upper);
        figure.bounds_assume = Some(assume.to_string());
        figure.reason = None;
        vec![figure]
    }

    fn tis(inverse: f64, lower: Option<f64>, upper: Option<f64>) -> Vec<Figure> {
        vec![Figure::from_reciprocal("tis", inverse, lower, upper)]
    }

    fn near(got: Option<f64>, want: f64) {
        assert!(
            got.is_some_and(|g| (g - want).abs() < 1e-9),
            "{got:?} is not {want}"
        );
    }

    #[test]
    fn the_lowest_of_all_is_bounded_by_the_lowest_of_the_bounds() {
        // 0 and 3 dBm, known to ±1 and −4…+0.5 dB: the lowest lies between −1 and +1 dBm, and no higher than 3.5.
        let summary = summarise(&[
            &trp(0.0, Some(-1.0), Some(1.0), COMPLETE),
            &trp(3.0, Some(-1.5), Some(3.5), "gaps; marks"),
            &trp(4.0, Some(-1.2), None, "marks"),
        ]);
        let lowest = &summary[1];
        near(lowest.value, 0.0);
        near(lowest.lower, -1.5);
        near(lowest.upper, 1.0);
        for figure in &summary {
            assert_eq!(figure.bounds_assume.as_deref(), Some("gaps; marks"));
        }
        assert_eq!(summary[0].upper, None);
        let complete = trp(0.0, None, Some(1.0), COMPLETE);
        let summary = summarise(&[&complete, &complete]);
        assert_eq!(summary[1].bounds_assume.as_deref(), Some(COMPLETE));
        assert_eq!(summary[1].lower, None);
    }

    #[test]
    fn sensitivities_average_by_their_inverses_and_the_worst_is_the_highest() {
        // 1/EIS of 1 and 3 per mW: the mean is 2 per mW, −3.01 dBm; bounds of the inverses 0.5…1.5 and 2…4 give 1.25…2.75.
        let per_mw = 1e3;
        let one = tis(1.0 * per_mw, Some(0.5 * per_mw), Some(1.5 * per_mw));
        let other = tis(3.0 * per_mw, Some(2.0 * per_mw), Some(4.0 * per_mw));
        let summary = summarise(&[&one, &other]);
        near(summary[0].value, -10.0 * libm::log10(2.0));
        near(summary[0].lower, -10.0 * libm::log10(2.75));
        near(summary[0].upper, -10.0 * libm::log10(1.25));
        near(summary[1].value, 0.0);
        near(summary[1].lower, -10.0 * libm::log10(1.5));
        near(summary[1].upper, 10.0 * libm::log10(2.0));
    }

    #[test]
    fn links_that_never_held_have_no_finite_average() {
        let lost = tis(0.0, None, None);
        let summary = summarise(&[&lost, &lost]);
        assert_eq!(summary[0].state, FigureState::Zero);
        assert_eq!(summary[0].value, None);
        // One of two channels receives: the inverses still have a mean, half of it.
        let summary = summarise(&[&lost, &tis(1e3, None, None)]);
        near(summary[0].value, 10.0 * libm::log10(2.0));
        assert_eq!(summary[1].state, FigureState::Zero);
    }
}
