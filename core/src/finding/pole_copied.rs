//! One reading of a pole that stands at every φ of its ring.
//!
//! Over φ a polarisation of a pole changes as A + B cos 2φ + C sin 2φ. It is the same at every φ only where B = C = 0, and then both
//! polarisations are equal (closed form). Two different values that do not change were read once and written for the whole ring.

use super::Finding;
use crate::unit::level;

/// Readings that differ by less than this do not change, dB: two decimals.
const SAME_DB: f64 = 0.011;
/// Polarisations that differ by less than this may be a circular field and a range that is off, dB.
const DIFFERENT_DB: f64 = 1.0;
/// Fewer columns than this are no ring.
const FEWEST_COLUMNS: usize = 5;

/// True where the readings of a ring do not change.
pub(crate) fn is_constant(values: &[f64]) -> bool {
    let (mut low, mut high) = (f64::INFINITY, 0.0_f64);
    for value in values {
        low = low.min(*value);
        high = high.max(*value);
    }
    values.len() >= FEWEST_COLUMNS && high <= low * level::ratio_from_db(SAME_DB)
}

/// Notes a pole whose polarisations do not change over φ, with these values.
pub(crate) fn pole_copied(theta: f64, phi: f64) -> Option<Finding> {
    let (low, high) = (theta.min(phi), theta.max(phi));
    if high <= low * level::ratio_from_db(DIFFERENT_DB) || high <= 0.0 || low < 0.0 {
        return None;
    }
    let by = if low > 0.0 {
        format!("by {:.1} dB", level::db_from_ratio(high / low))
    } else {
        "altogether".to_string()
    };
    Some(
        Finding::note(
            "pole-copied",
            format!("the polarisations at a pole do not change over φ and yet differ {by}: one reading was written for the whole ring"),
        )
        .effect_db(0.0)
        .advice("nothing is wrong with the total; but a ring that was read at every φ would have tested the range, and this one tests nothing"),
    )
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn copies_are_told_and_circular_fields_are_not() {
        assert!(is_constant(&[2.0; 24]) && !is_constant(&[2.0; 3]));
        assert!(!is_constant(&[2.0, 2.0, 2.0, 2.0, 2.02]));
        assert!(pole_copied(2.0, 0.1).unwrap().message.contains("13.0 dB"));
        assert!(
            pole_copied(0.0, 0.1)
                .unwrap()
                .message
                .contains("altogether")
        );
        assert!(pole_copied(0.1, 0.11).is_none());
        assert!(pole_copied(0.0, 0.0).is_none());
    }
}
