//! How much slower a sweep must be, and what longer dwells only where they matter would save.
//!
//! Dwelling k times as long averages k times as much, and divides the variance of the readings by k; the floor's own
//! uncertainty stays. Source: F12, X1.

use crate::uncertainty::DB_PER_UNIT;
use crate::unit::sum;

/// What it takes to reach a target.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
#[cfg_attr(feature = "serde", serde(rename_all = "snake_case"))]
#[non_exhaustive]
pub enum Slower {
    /// The dwell times this reaches it; below 1 a faster sweep would do.
    Factor(f64),
    /// No dwell alone reaches it.
    Floor {
        /// The floor has to be measured with this many times as many averages,
        floor_averages: f64,
        /// and the dwell then to be this many times as long.
        factor: f64,
    },
}

/// Share of the target's variance that is left to the floor, where the floor has to be measured again.
const FLOOR_SHARE: f64 = 0.5;

/// The factor on the dwell: (u_now² − u_common²)/(u_target² − u_common²), where `noise` is what of the present standard
/// uncertainty averages down and `common` what does not. All in the unit of `value`, but for the target.
///
/// `None` where the value is not above zero, or the target is.
#[must_use]
pub fn slower(value: f64, noise: f64, common: f64, target_db: f64) -> Option<Slower> {
    let target = value * target_db / DB_PER_UNIT;
    if target.is_nan() || target <= 0.0 {
        return None;
    }
    if target <= common {
        let ratio = common / target;
        return Some(Slower::Floor {
            floor_averages: ratio * ratio / FLOOR_SHARE,
            factor: noise * noise / (target * target * (1.0 - FLOOR_SHARE)),
        });
    }
    Some(Slower::Factor(
        noise * noise / (target * target - common * common),
    ))
}

/// Time for the same uncertainty where each sample dwells as long as it is worth, over the time where all dwell alike:
/// (Σ|w|√v)²/(K·Σw²v) for K samples of weights w and variances v (closed form: the optimum has times in proportion to |w|√v). `None`
/// without a sample that counts.
#[must_use]
pub fn shared_out(samples: &[(f64, f64)]) -> Option<f64> {
    let counted = || samples.iter().filter(|(w, _)| *w != 0.0);
    let each: Vec<f64> = counted()
        .map(|(w, v)| w.abs() * libm::sqrt(v.max(0.0)))
        .collect();
    let squares: Vec<f64> = each.iter().map(|x| x * x).collect();
    let (first, second) = (sum::in_order(&each), sum::in_order(&squares));
    (second > 0.0).then(|| first * first / (each.len() as f64 * second))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn four_times_as_long_halves_the_uncertainty() {
        // Closed form, without and with a common part.
        let half_db = 0.5;
        let now = 2.0 * half_db / DB_PER_UNIT;
        assert!(
            matches!(slower(1.0, now, 0.0, half_db), Some(Slower::Factor(f)) if (f - 4.0).abs() < 1e-12)
        );
        let common = 0.6 * half_db / DB_PER_UNIT;
        let Some(Slower::Factor(factor)) = slower(1.0, now, common, half_db) else {
            unreachable!("the target is above the common part");
        };
        let reached = libm::sqrt(now * now / factor + common * common);
        assert!((reached * DB_PER_UNIT - half_db).abs() < 1e-12);
        assert!(matches!(slower(1.0, 0.1 * now, 0.0, half_db), Some(Slower::Factor(f)) if f < 1.0));
    }

    #[test]
    fn a_common_part_above_the_target_cannot_be_slowed_away() {
        let Some(Slower::Floor {
            floor_averages,
            factor,
        }) = slower(1.0, 0.1, 0.2, 0.5)
        else {
            unreachable!("0.2 is 0.87 dB");
        };
        let common = 0.2 / libm::sqrt(floor_averages);
        assert!((common * common * DB_PER_UNIT * DB_PER_UNIT / 0.25 - FLOOR_SHARE).abs() < 1e-12);
        // Both together reach the target.
        let reached = libm::sqrt(0.01 / factor + common * common);
        assert!((reached * DB_PER_UNIT - 0.5).abs() < 1e-12);
        assert_eq!(slower(-1.0, 0.1, 0.2, 0.5), None);
        assert_eq!(slower(f64::NAN, 0.1, 0.2, 0.5), None);
    }

    #[test]
    fn dwelling_where_it_matters_saves_what_is_uneven() {
        // Closed form: one of K samples that alone counts takes 1/K of the time; even ones save nothing.
        let even = [(0.25, 2.0); 4];
        assert!(shared_out(&even).is_some_and(|r| (r - 1.0).abs() < 1e-12));
        let one = [(1.0, 1.0), (1.0, 0.0), (1.0, 0.0), (1.0, 0.0)];
        assert!(shared_out(&one).is_some_and(|r| (r - 0.25).abs() < 1e-12));
        assert_eq!(shared_out(&[(0.0, 1.0)]), None);
    }

    #[test]
    fn numbers_by_hand() {
        // The target of 0.5 of the value 4: 10/ln 10 · ½ dB, so 2 W.
        let half_db = 0.5 * DB_PER_UNIT;
        // 3²/(2² − 1²).
        let found = slower(4.0, 3.0, 1.0, half_db);
        assert!(matches!(found, Some(Slower::Factor(f)) if (f - 3.0).abs() < 1e-14));
        // The floor alone, 6 W and 2 W: (6/2)²·2 times as many averages, and 3²/(2²·½).
        for (common, averages) in [(6.0, 18.0), (2.0, 2.0)] {
            let Some(Slower::Floor {
                floor_averages,
                factor,
            }) = slower(4.0, 3.0, common, half_db)
            else {
                unreachable!("the target is not above {common}");
            };
            assert!((floor_averages - averages).abs() < 1e-13);
            assert!((factor - 4.5).abs() < 1e-14);
        }
        assert_eq!(slower(0.0, 3.0, 1.0, half_db), None);
        assert_eq!(slower(4.0, 3.0, 1.0, 0.0), None);
    }

    #[test]
    fn samples_of_unequal_weight() {
        // |w|√v: 1·2, 2·3 and 3·1 (the sign of a weight does not matter, one of 0 does not count, a variance below 0 is none):
        // 11²/(4·(4 + 36 + 9)).
        let samples = [
            (1.0, 4.0),
            (-2.0, 9.0),
            (0.0, 100.0),
            (3.0, 1.0),
            (5.0, -1.0),
        ];
        let found = shared_out(&samples);
        assert!(
            found.is_some_and(|r| (r - 121.0 / 196.0).abs() < 1e-15),
            "{found:?}"
        );
        assert_eq!(shared_out(&[(1.0, 0.0)]), None);
        assert_eq!(shared_out(&[]), None);
    }
}
