//! A directivity that a device of its size does not reach: within a sphere of radius a, normal antennas have at most N² + 2N with N = ka
//! (Harrington 1960, from memory), and no less is allowed than the modes of the lowest order give, N = 1: 3, or 4.77 dBi.

use super::{BIAS_DB, Finding};
use crate::unit::{Frequency, level};

/// Speed of light, m/s (SI, exact).
const LIGHT: f64 = 299_792_458.0;

/// The largest normal directivity of a device that fits into a sphere of this diameter, dBi.
pub(crate) fn largest_dbi(diameter_m: f64, frequency: Frequency) -> f64 {
    let ka = core::f64::consts::PI * diameter_m * frequency.hz() / LIGHT;
    let n = ka.max(1.0);
    level::db_from_ratio(n * n + 2.0 * n)
}

/// Warns of a directivity (dBi) that is more than the largest by this many decibels.
pub(crate) fn above_size(excess_db: f64, directivity_dbi: f64) -> Option<Finding> {
    (excess_db > BIAS_DB).then(|| {
        Finding::warning(
            "directivity-above-size",
            format!(
                "a directivity of {directivity_dbi:.2} dBi is {excess_db:.2} dB more than a device of this size normally has"
            ),
        )
        .effect_db(excess_db)
        .advice("check the size that was given (all that radiates: cables and chassis too), the frequency, missing directions, and readings that are much too strong")
    })
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn the_limit_grows_with_the_size() {
        let frequency = Frequency::from_hz(868.3e6).unwrap();
        // Closed form: k = 18.198 rad/m. Small devices have the modes of order 1: 3.
        assert!((largest_dbi(0.05, frequency) - 4.771_212_547).abs() < 1e-8);
        // a = 0.25 m: ka = 4.5496, (ka)² + 2ka = 29.798.
        assert!((largest_dbi(0.5, frequency) - 14.742).abs() < 1e-3);
    }

    #[test]
    fn it_is_told_beyond_a_bias_only() {
        assert!(above_size(0.1, 4.9).is_none() && above_size(f64::NAN, 1.0).is_none());
        let found = above_size(2.0, 6.77).unwrap();
        assert_eq!(found.effect_db, Some(2.0));
        assert!(found.message.contains("6.77 dBi"));
    }
}
