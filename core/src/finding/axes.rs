//! θ and φ in each other's columns.
//!
//! Where they are exchanged, what is written as φ = 0° is in truth one pole, read again and again, and φ = 180° is one too: the total
//! along that great circle does not change. What is written as a pole is in truth a cut, along which it does. Both together are strong; a
//! pattern that is even around a great circle has one value at its poles.

use super::Finding;
use crate::model::{EqualAngleGrid, State};
use crate::unit::level;

/// Totals along the half circles φ = 0° and 180° that spread by less than this do not change, dB.
const EVEN_DB: f64 = 0.5;
/// What is written as a pole is none where the middle half of its totals spreads by more than this, dB: more than one is off.
pub(crate) const NO_POLE_DB: f64 = 2.0;
/// Totals over the sphere that spread by less than this say nothing, dB.
const FLAT_DB: f64 = 3.0;
/// Fewer rings than this say nothing.
const FEWEST_RINGS: usize = 5;

/// Warns where the totals of a frequency, by direction, and the spread of the middle half of those at a pole say that θ and φ were exchanged.
pub(crate) fn axes_exchanged(
    grid: &EqualAngleGrid,
    total: &[f64],
    states: &[State],
    of_pole_db: f64,
) -> Option<Finding> {
    let (n, m) = (grid.intervals(), grid.phi_count());
    if of_pole_db <= NO_POLE_DB || !m.is_multiple_of(2) || grid.phi_start_deg() != 0.0 {
        return None;
    }
    let spread_db = |indices: &mut dyn Iterator<Item = usize>| {
        let (mut low, mut high, mut count) = (f64::INFINITY, 0.0_f64, 0);
        for index in indices {
            if states.get(index) == Some(&State::Measured) {
                let value = total.get(index).copied().unwrap_or(0.0);
                low = low.min(value);
                high = high.max(value);
                count += 1;
            }
        }
        (count >= FEWEST_RINGS && high > 0.0).then(|| level::db_from_ratio(high / low.max(0.0)))
    };
    let whole = spread_db(&mut (m..n * m))?;
    let near = spread_db(&mut (1..n).map(|ring| ring * m))?;
    let far = spread_db(&mut (1..n).map(|ring| ring * m + m / 2))?;
    (whole > FLAT_DB && near < EVEN_DB && far < EVEN_DB).then(|| {
        Finding::warning(
            "axes-suspected",
            format!("at θ = 0° or 180° the total changes with φ by {of_pole_db:.1} dB and more, and along φ = 0° and 180° it does not change with θ: θ and φ are suspected to be exchanged"),
        )
        .advice("check which column is theta, from +z, 0 to 180°, and which is phi, around z")
    })
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use crate::assemble::{DEFAULT_SNAP_DEG, assemble};
    use crate::finding::samples::{beam, clean_patterns, push, readings_of};
    use crate::limits::Limits;
    use crate::model::{Quantity, Readings};
    use crate::table::pattern::Pattern;

    fn is_told(readings: Readings) -> bool {
        let assembled = assemble(&[readings], DEFAULT_SNAP_DEG, &Limits::default()).unwrap();
        assembled
            .findings
            .iter()
            .any(|f| f.code == "axes-suspected")
    }

    #[test]
    fn exchanged_columns_are_told() {
        for pattern in [beam(10.0), Pattern::XDipole, Pattern::HuygensX] {
            let mut readings = Readings::new("computed", Quantity::Eirp, &Limits::default());
            for i in 0..=12 {
                for j in 0..24 {
                    let (theta, phi) = (15.0 * f64::from(i), 15.0 * f64::from(j));
                    push(&mut readings, phi, theta, |_, _| pattern.power(theta, phi));
                }
            }
            assert!(is_told(readings), "{pattern:?}");
        }
    }

    #[test]
    fn right_columns_are_silent() {
        for (name, pattern, shape) in clean_patterns() {
            let right = readings_of(Quantity::Eirp, shape, |t, p| pattern.power(t, p));
            assert!(!is_told(right), "{name}");
            // A single wrong reading at a pole is no exchange, even where φ = 0° is even, as for a dipole along y.
            let wrong = readings_of(Quantity::Eirp, shape, |t, p| {
                let factor = if t == 0.0 && p == 30.0 { 10.0 } else { 1.0 };
                pattern.power(t, p - 90.0).map(|x| factor * x)
            });
            assert!(!is_told(wrong), "{name}");
        }
    }
}
