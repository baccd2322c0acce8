//! φ = 0° and φ = 360°: one direction, read at the start and at the end of a turn.

use super::Finding;
use crate::unit::{level, sum};

/// Ends of the turn whose sums differ by more than this are told, dB: above what two decimals and a good range leave.
const TOLERANCE_DB: f64 = 0.1;
/// A single pair further apart than this is told, dB.
const PAIR_DB: f64 = 0.5;

/// Tells what the readings at φ = 360° and at 0° of the same θ and polarisation, in what integrates, differ by.
///
/// A warning where either tolerance is exceeded. The pairs come in an order of their own.
pub(crate) fn seam(pairs: &[(f64, f64)], sensitivity: bool) -> Option<Finding> {
    let largest = pairs.iter().map(|p| p.0.max(p.1)).fold(0.0, f64::max);
    let ends =
        |of: fn(&(f64, f64)) -> f64| sum::in_order(&pairs.iter().map(of).collect::<Vec<f64>>());
    let (last, first) = (ends(|p| p.0), ends(|p| p.1));
    if !(last > 0.0 && first > 0.0) {
        return None;
    }
    let sign = if sensitivity { -1.0 } else { 1.0 };
    let step_db = sign * level::db_from_ratio(last / first);
    // Pairs in a null say nothing of the range.
    let strong = pairs.iter().filter(|p| p.0.min(p.1) > 0.01 * largest);
    let worst_db = strong
        .map(|p| level::db_from_ratio(p.0 / p.1).abs())
        .fold(0.0, f64::max);
    let told = step_db.abs() > TOLERANCE_DB || worst_db > PAIR_DB;
    told.then(|| {
        Finding::warning(
            "seam",
            format!(
                "over the cut at φ = 360° readings are {step_db:+.2} dB against φ = 0°, which is the same cut; one pair differs by {worst_db:.2} dB"
            ),
        )
        .effect_db(step_db / 2.0)
        .advice("something changed during a turn: drift of the device or the instrument, a cable that moves with φ, or a turntable that does not close")
    })
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::assemble::{DEFAULT_SNAP_DEG, assemble};
    use crate::finding::samples::{clean_patterns, push, readings_of};
    use crate::limits::Limits;
    use crate::model::{Quantity, Readings};

    /// The finding where the seam is read again, other by `step_db`.
    fn found(step_db: f64, descending: bool) -> Vec<Option<Finding>> {
        let again = level::ratio_from_db(step_db);
        clean_patterns()
            .into_iter()
            .map(|(_, pattern, (n, m))| {
                let power = |t: f64, p: f64| {
                    let factor = if p == 360.0 { again } else { 1.0 };
                    pattern.power(t, p).map(|x| factor * x)
                };
                let seam = |into: &mut Readings| {
                    for i in 0..=n {
                        push(into, 180.0 * i as f64 / n as f64, 360.0, power);
                    }
                };
                let mut readings = readings_of(Quantity::Eirp, (n, m), power);
                if descending {
                    let mut first = Readings::new("computed", Quantity::Eirp, &Limits::default());
                    seam(&mut first);
                    for reading in readings.iter() {
                        first.push(reading).unwrap();
                    }
                    readings = first;
                } else {
                    seam(&mut readings);
                }
                let assembled = assemble(&[readings], DEFAULT_SNAP_DEG, &Limits::default());
                let findings = assembled.unwrap().findings;
                assert!(findings.iter().any(|f| f.code == "repeats"));
                findings.into_iter().find(|f| f.code == "seam")
            })
            .collect()
    }

    #[test]
    fn a_seam_that_closes_is_silent() {
        for found in found(0.0, false).into_iter().chain(found(0.05, false)) {
            assert!(found.is_none(), "{found:?}");
        }
    }

    #[test]
    fn a_seam_that_is_torn_is_told_with_its_sign() {
        for (step_db, descending) in [(0.3, false), (-0.3, false), (0.3, true)] {
            for found in found(step_db, descending) {
                let found = found.unwrap();
                assert!(
                    (found.effect_db.unwrap() - step_db / 2.0).abs() < 1e-9,
                    "{found:?}"
                );
            }
        }
        // Of sensitivities the reciprocal is held.
        assert!(
            seam(&[(2.0, 1.0); 5], true)
                .unwrap()
                .message
                .contains("-3.01 dB")
        );
        assert!(seam(&[], false).is_none());
    }

    #[test]
    fn one_pair_is_told_and_a_null_is_not() {
        let mut pairs = vec![(1.0, 1.0); 100];
        pairs[7].0 = 1.2;
        assert!(seam(&pairs, false).unwrap().message.contains("0.79 dB"));
        pairs[7] = (1e-4, 1e-6);
        assert!(seam(&pairs, false).is_none());
    }
}
