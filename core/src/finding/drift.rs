//! Drift: directions that were read three times or more, over time.
//!
//! Where one of these readings has no time, the order of the lines stands for it, which is right for a file that was written as it was
//! measured, and a proxy at that. All such readings share one slope in dB a second (a line), each direction, polarisation and frequency
//! with its own mean (least squares). A slope is told where it is not the chance of its scatter.

use super::Finding;
use crate::unit::sum;

/// A drift over the run below this is not told, dB.
const TOLERANCE_DB: f64 = 0.2;
/// A slope has to be so many of its standard errors by degrees of freedom from 1, then 3: Student's t, two-sided 95 %, rounded
/// up (from memory: 12.71, 4.30, 3.18).
const STANDARD_ERRORS: [f64; 2] = [12.71, 4.31];
const STANDARD_ERRORS_BEYOND: f64 = 3.2;
/// Fewer readings of a direction than this are a repeat, no reference.
const FEWEST: usize = 3;

/// A reading of a direction that was read before.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Again {
    /// File, and slot of the sphere: what must agree for two readings to be of one level.
    pub of: (usize, usize),
    /// Source line, from 1.
    pub line: u32,
    /// When it was read, seconds.
    pub time_s: Option<f64>,
    /// Level, dB.
    pub level_db: f64,
}

/// What stands for time.
#[derive(Clone, Copy, PartialEq)]
enum Clock {
    /// Seconds.
    Time,
    /// The order of the lines.
    Lines,
}

impl Clock {
    fn of(all: &[Again]) -> Self {
        match all.iter().all(|a| a.time_s.is_some()) {
            true => Self::Time,
            false => Self::Lines,
        }
    }

    fn at(self, again: &Again) -> f64 {
        match self {
            Self::Time => again.time_s.unwrap_or(0.0),
            Self::Lines => f64::from(again.line),
        }
    }

    fn span(self, (first, last): (f64, f64)) -> String {
        match self {
            Self::Time => format!("in {:.1} minutes", (last - first) / 60.0),
            Self::Lines => format!("between lines {first} and {last}"),
        }
    }

    fn note(self) -> &'static str {
        match self {
            Self::Time => "",
            Self::Lines => "; the order of the lines stands for time",
        }
    }
}

/// Warns of a trend over time.
pub(crate) fn drift(mut all: Vec<Again>) -> Option<Finding> {
    let clock = Clock::of(&all);
    all.retain(|a| (clock == Clock::Time || a.line > 0) && a.level_db.is_finite());
    all.sort_by(|a, b| {
        a.of.cmp(&b.of)
            .then(clock.at(a).total_cmp(&clock.at(b)))
            .then(a.level_db.total_cmp(&b.level_db))
    });
    // Distances from the means of each direction: clock, decibels.
    let (mut x, mut y) = (Vec::new(), Vec::new());
    let mut groups = 0_usize;
    let mut span = (f64::INFINITY, f64::NEG_INFINITY);
    for group in all.chunk_by(|a, b| a.of == b.of) {
        let (Some(from), Some(to)) = (group.first(), group.last()) else {
            continue;
        };
        let (from, to) = (clock.at(from), clock.at(to));
        if group.len() < FEWEST || from >= to {
            continue;
        }
        let ats: Vec<f64> = group.iter().map(|a| clock.at(a)).collect();
        let levels: Vec<f64> = group.iter().map(|a| a.level_db).collect();
        let (mean_at, mean_level) = (sum::mean(&ats)?, sum::mean(&levels)?);
        x.extend(ats.iter().map(|at| at - mean_at));
        y.extend(levels.iter().map(|l| l - mean_level));
        groups += 1;
        span = (span.0.min(from), span.1.max(to));
    }
    let of = |values: Vec<f64>| sum::in_order(&values);
    let xx = of(x.iter().map(|x| x * x).collect());
    let xy = of(x.iter().zip(&y).map(|(x, y)| x * y).collect());
    let degrees = x.len().checked_sub(groups + 1).filter(|d| *d > 0)?;
    if xx <= 0.0 {
        return None;
    }
    let slope = xy / xx;
    let left = of(x
        .iter()
        .zip(&y)
        .map(|(x, y)| (y - slope * x) * (y - slope * x))
        .collect());
    let error = libm::sqrt(left / degrees as f64 / xx);
    let times = STANDARD_ERRORS
        .get(degrees - 1)
        .copied()
        .unwrap_or(STANDARD_ERRORS_BEYOND);
    let drift_db = slope * (span.1 - span.0);
    (drift_db.abs() > TOLERANCE_DB && slope.abs() > times * error).then(|| {
        Finding::warning(
            "drift",
            format!(
                "what was read three times or more drifts by {drift_db:+.2} dB {} ({} readings of {groups} samples{})",
                clock.span(span),
                x.len(),
                clock.note(),
            ),
        )
        .effect_db(drift_db / 2.0)
        .advice("let the device and the instrument warm up, watch the battery, and read the reference direction again; the figures stand for the middle of the run")
    })
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::assemble::{DEFAULT_SNAP_DEG, assemble};
    use crate::finding::samples::{push, readings_of};
    use crate::limits::Limits;
    use crate::model::{Quantity, Readings};
    use crate::table::pattern::Pattern;
    use crate::unit::level;

    /// A dipole, with its reference direction at the horizon read after each ring, all under a drift that ends at `drift_db`, and noise.
    fn run(drift_db: f64, noise_db: f64, references: usize) -> Option<Finding> {
        let limits = Limits::default();
        let whole = readings_of(Quantity::Eirp, (12, 24), |t, p| {
            Pattern::XDipole.power(t, p)
        });
        let mut readings = Readings::new("computed", Quantity::Eirp, &limits);
        let mut state = 5_u64;
        let count = whole.len() / 2 + references;
        for ring in 0..13_usize {
            for column in 0..24 + usize::from(ring < references) {
                let (theta, phi) = if column < 24 {
                    (15.0 * ring as f64, 15.0 * column as f64)
                } else {
                    (60.0, 45.0)
                };
                let at = (readings.len() / 2) as f64 / count as f64;
                state = state
                    .wrapping_mul(6_364_136_223_846_793_005)
                    .wrapping_add(1);
                let random = (state >> 11) as f64 / (1_u64 << 52) as f64 - 1.0;
                let factor = level::ratio_from_db(drift_db * at + noise_db * random);
                push(&mut readings, theta, phi, |t, p| {
                    Pattern::XDipole.power(t, p).map(|x| factor * x)
                });
            }
        }
        let assembled = assemble(&[readings], DEFAULT_SNAP_DEG, &limits).unwrap();
        assembled.findings.into_iter().find(|f| f.code == "drift")
    }

    #[test]
    fn drift_is_told_with_its_size() {
        for drift_db in [1.0, -0.5] {
            for noise_db in [0.0, 0.05] {
                let found = run(drift_db, noise_db, 13).unwrap();
                // The reference was read from the first ring's end to the last's.
                let told = 2.0 * found.effect_db.unwrap() / drift_db;
                assert!((told - 12.0 / 13.0).abs() < 0.2, "{found:?}");
            }
        }
    }

    #[test]
    fn scatter_is_no_drift() {
        assert!(run(0.0, 0.0, 13).is_none());
        assert!(run(0.0, 0.5, 13).is_none());
        assert!(run(0.1, 0.0, 13).is_none());
        // Read twice only: a repeat.
        assert!(run(1.0, 0.0, 1).is_none());
    }

    #[test]
    fn three_readings_of_one_direction_have_to_lie_on_a_line() {
        let at = |line, level_db| Again {
            of: (0, 0),
            line,
            time_s: None,
            level_db,
        };
        assert!(drift(vec![at(1, 0.0), at(50, 0.5), at(100, 1.0)]).is_some());
        assert!(drift(vec![at(100, 1.0), at(1, 0.0), at(50, 0.9)]).is_none());
        // Lines that are unknown, or the same, are no order.
        assert!(drift(vec![at(0, 0.0), at(0, 0.5), at(0, 1.0)]).is_none());
        assert!(drift(vec![at(7, 0.0), at(7, 0.5), at(7, 1.0)]).is_none());
        assert!(drift(Vec::new()).is_none());
    }

    /// Lines in the order of a table that was sorted by direction say nothing of time; times do.
    #[test]
    fn times_stand_before_lines() {
        let at = |line, time_s, level_db| Again {
            of: (0, 0),
            line,
            time_s,
            level_db,
        };
        let sorted = vec![
            at(1, Some(1200.0), 1.0),
            at(2, Some(0.0), 0.0),
            at(3, Some(600.0), 0.51),
            at(4, Some(300.0), 0.24),
        ];
        let found = drift(sorted.clone()).unwrap();
        assert!(
            found.message.contains("+1.00 dB in 20.0 minutes"),
            "{found:?}"
        );
        // By the lines the same readings are no drift; one time that lacks leaves nothing but the lines.
        let mut lacking = sorted.clone();
        lacking[2].time_s = None;
        assert!(drift(lacking).is_none());
        // By the clock no drift, by the lines one.
        let steady = vec![
            at(1, Some(10.0), 0.0),
            at(50, Some(10.0), 0.5),
            at(100, Some(10.0), 1.0),
        ];
        assert!(drift(steady).is_none());
    }
}
