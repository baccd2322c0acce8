//! Two forms of one figure that differ: half-weighted against exact windows, the sine rule against Clenshaw–Curtis.

use super::Finding;
use crate::unit::level;
use std::f64::consts::PI;

/// Differences below this are left out of a list, dB: they do not show in two decimals.
const SHOWN_DB: f64 = 0.005;
/// What a difference has to have above the bias that the sine rule has by itself, dB.
const TOLERANCE_DB: f64 = 0.05;

/// What the sine rule, and its half-weighted windows, read of an isotropic source: (π/2N)·cot(π/2N), −0.10 dB at 30°,
/// −0.02 dB at 15° (closed form).
fn own_bias_db(intervals: usize) -> f64 {
    let x = PI / (2.0 * intervals as f64);
    level::db_from_ratio(x / libm::tan(x))
}

/// True where a difference is more than the rule's own bias.
fn matters(difference_db: f64, intervals: usize) -> bool {
    difference_db.abs() >= own_bias_db(intervals).abs() + TOLERANCE_DB
}

/// Notes windows whose half-weighted form reads other than the exact one: figure, difference in dB; all of them in one note.
pub(crate) fn window_forms<'a>(
    differences: impl Iterator<Item = (&'a str, f64)>,
    intervals: usize,
) -> Option<Finding> {
    let told: Vec<(&str, f64)> = differences.filter(|d| d.1.abs() >= SHOWN_DB).collect();
    let largest = told
        .iter()
        .map(|t| t.1)
        .reduce(|a, b| if b.abs() > a.abs() { b } else { a })?;
    if !matters(largest, intervals) {
        return None;
    }
    let list: Vec<String> = told
        .iter()
        .map(|(name, difference)| format!("{name} {difference:+.2} dB"))
        .collect();
    Some(
        Finding::note(
            "window-forms-differ",
            format!(
                "half-weighted edges read against the exact window: {}",
                list.join(", ")
            ),
        )
        .effect_db(largest)
        .advice("choose one form (edges half or exact), and compare only figures of the same form"),
    )
}

/// Notes a whole that the sine rule reads other than Clenshaw–Curtis.
pub(crate) fn rules(difference_db: f64, intervals: usize) -> Option<Finding> {
    matters(difference_db, intervals).then(|| {
        Finding::note(
            "rules-differ",
            format!("over the whole sphere the sine rule reads {difference_db:+.2} dB against Clenshaw–Curtis"),
        )
        .effect_db(difference_db)
        .advice("the sine rule is what documents below 6 GHz write; Clenshaw–Curtis is exact for smooth patterns")
    })
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use crate::finding::Finding;
    use crate::finding::samples::{Shape, beam, readings_of};
    use crate::limits::Limits;
    use crate::model::Quantity;
    use crate::reduce::{ReduceOptions, reduce_readings};
    use crate::table::pattern::Pattern;

    fn told(pattern: Pattern, shape: Shape, code: &str) -> Option<Finding> {
        let readings = readings_of(Quantity::Eirp, shape, |t, p| pattern.power(t, p));
        let out = reduce_readings(&[readings], &ReduceOptions::default(), &Limits::default());
        out.unwrap().findings.into_iter().find(|f| f.code == code)
    }

    #[test]
    fn the_rules_own_bias_is_silent() {
        for (pattern, shape) in [
            (Pattern::Isotropic, (12, 24)),
            (Pattern::Isotropic, (6, 12)),
            (Pattern::XDipole, (12, 24)),
            (beam(10.0), (36, 72)),
        ] {
            for code in ["window-forms-differ", "rules-differ"] {
                assert_eq!(told(pattern, shape, code), None, "{pattern:?} {shape:?}");
            }
        }
    }

    #[test]
    fn what_goes_beyond_is_told() {
        let told = |pattern, shape, code| told(pattern, shape, code).unwrap();
        // Half-weighted less exact, by sums and integrals of the same patterns with numpy 2.4.6 and mpmath 1.3.0: nhprp_30 of the
        // half-wave dipole −1.690152 + 1.392391 dB; of the beam nhprp_30 1.827929 − 1.381832 dB, nhprp_45 6.152710 − 6.076817 dB.
        let half_wave = told(Pattern::HalfWaveDipole, (6, 12), "window-forms-differ");
        let effect = half_wave.effect_db.unwrap();
        assert!((effect + 0.297_761).abs() < 1e-3, "{effect}");
        let beam = told(beam(10.0), (12, 24), "window-forms-differ").message;
        assert!(beam.contains("nhprp_30 +0.45 dB"), "{beam}");
        assert!(beam.contains("nhprp_45 +0.08 dB"), "{beam}");
        // An x dipole at 30° by the sine rule (closed form: −0.154 dB).
        let whole = told(Pattern::XDipole, (6, 12), "rules-differ");
        assert!((whole.effect_db.unwrap() + 0.154).abs() < 1e-3, "{whole:?}");
    }
}
