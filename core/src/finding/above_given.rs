//! A TRP above the power that was given: no passive antenna radiates more than it gets.

use super::{BIAS_DB, Finding};
use crate::unit::level;

/// Warns of the largest TRP over what was given, a ratio of powers.
pub(crate) fn above_given(worst_ratio: f64) -> Option<Finding> {
    let above_db = level::db_from_ratio(worst_ratio);
    (above_db > BIAS_DB).then(|| {
        Finding::warning(
            "efficiency-over-100",
            format!(
                "the TRP lies {above_db:.2} dB above the power that was given: an efficiency of {:.1} % cannot be",
                100.0 * worst_ratio
            ),
        )
        .effect_db(above_db)
        .advice("check the power that was given, the range loss and the unit of the readings")
    })
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::finding::samples::{clean_patterns, readings_of};
    use crate::limits::Limits;
    use crate::model::Quantity;
    use crate::reduce::{ReduceOptions, reduce_readings};

    /// Effect told where the conducted power is the TRP times a factor in dB, with these figures asked for.
    fn told(conducted_db: f64, figures: Option<Vec<String>>) -> Vec<Option<f64>> {
        clean_patterns()
            .into_iter()
            .map(|(_, pattern, shape)| {
                let readings = readings_of(Quantity::Eirp, shape, |t, p| pattern.power(t, p));
                let trp_dbm = level::dbm_from_w(pattern.mean());
                let options = ReduceOptions {
                    conducted_power_dbm: Some(trp_dbm + conducted_db),
                    figures: figures.clone(),
                    ..ReduceOptions::default()
                };
                let out = reduce_readings(&[readings], &options, &Limits::default()).unwrap();
                let found = out
                    .findings
                    .into_iter()
                    .find(|f| f.code == "efficiency-over-100");
                found.and_then(|f| f.effect_db)
            })
            .collect()
    }

    #[test]
    fn a_lossless_antenna_is_silent_and_more_is_told() {
        // Whatever the rule's bias makes of it.
        assert!(told(0.0, None).iter().all(Option::is_none));
        for effect in told(-1.0, None)
            .into_iter()
            .chain(told(-1.0, Some(vec!["trp".to_string()])))
        {
            // The sine rule reads up to 0.16 dB low at 30° (closed form: x dipole −0.154 dB).
            assert!((effect.unwrap() - 1.0).abs() < 0.16, "{effect:?}");
        }
    }
}
