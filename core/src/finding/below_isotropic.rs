//! A directivity below 0 dBi: no pattern has a peak below its own mean.

use super::{BIAS_DB, Finding};

/// Warns of the lowest directivity, dBi.
pub(crate) fn below_isotropic(lowest_dbi: f64) -> Option<Finding> {
    (lowest_dbi < -BIAS_DB).then(|| {
        Finding::warning(
            "directivity-below-0",
            format!("a directivity of {lowest_dbi:.2} dBi cannot be"),
        )
        .effect_db(lowest_dbi)
        .advice("the grid is too coarse for this pattern, or the rule reads too high on it")
    })
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn a_bias_is_no_impossibility() {
        assert!(below_isotropic(-0.10).is_none());
        assert!(below_isotropic(f64::NAN).is_none());
        let found = below_isotropic(-0.3).unwrap();
        assert_eq!(found.effect_db, Some(-0.3));
    }
}
