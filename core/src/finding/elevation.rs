//! Elevation in the column of θ.
//!
//! An elevation runs from −90° to 90° while φ goes all round. Read as θ, its lower half folds onto the upper one: half of the
//! sphere is read twice, the other half never. A sweep of great circles looks like that too where φ goes half round, or where both readings of a
//! direction agree.

use super::Finding;
use crate::model::Readings;
use crate::unit::level;

/// Angles written as θ: at most this, degrees.
const HIGHEST_DEG: f64 = 91.0;
/// They reach down to this at least, degrees: a sweep to ±60° is as suspicious as one to ±90°.
const LOWEST_DEG: f64 = -60.0;
/// φ is spread at least so far, degrees; half a turn is a sweep of great circles.
const AROUND_DEG: f64 = 200.0;
/// Readings that fold onto each other disagree by more than this, dB.
const APART_DB: f64 = 1.0;

/// Warns where the angles look like elevations and readings that fold onto each other disagree by `worst_ratio`.
pub(crate) fn elevation(runs: &[Readings], worst_ratio: f64) -> Option<Finding> {
    if worst_ratio <= level::ratio_from_db(APART_DB) {
        return None;
    }
    let range = |of: fn(&Readings) -> &[f64]| {
        runs.iter()
            .flat_map(of)
            .fold((f64::INFINITY, f64::NEG_INFINITY), |r, a| {
                (r.0.min(*a), r.1.max(*a))
            })
    };
    let (lowest, highest) = range(Readings::theta_deg);
    let (from, to) = range(Readings::phi_deg);
    let told = (-HIGHEST_DEG..=LOWEST_DEG).contains(&lowest)
        && highest <= HIGHEST_DEG
        && to - from >= AROUND_DEG;
    told.then(|| {
        Finding::warning(
            "elevation-suspected",
            format!("θ runs from {lowest}° to {highest}° while φ goes all round, and directions that come twice so disagree by {:.1} dB: it is suspected to be an elevation, θ = 90° − elevation", level::db_from_ratio(worst_ratio)),
        )
        .advice("θ is measured from +z, 0 to 180°: export it so, or name the column elevation and choose its meaning")
    })
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use crate::assemble::{DEFAULT_SNAP_DEG, assemble};
    use crate::finding::samples::{beam, push};
    use crate::limits::Limits;
    use crate::model::{Quantity, Readings};

    /// θ as it is written from −90° to 90°, φ over `columns` of 15°; `of` gives the true θ.
    fn is_told(columns: usize, of: impl Fn(f64) -> f64) -> bool {
        let mut readings = Readings::new("computed", Quantity::Eirp, &Limits::default());
        for i in 0..=12 {
            for j in 0..columns {
                let (written, phi) = (15.0 * f64::from(i) - 90.0, 15.0 * j as f64);
                let theta = of(written);
                let (true_theta, true_phi) = if theta < 0.0 {
                    (-theta, phi + 180.0)
                } else {
                    (theta, phi)
                };
                push(&mut readings, written, phi, |_, _| {
                    beam(10.0).power(true_theta, true_phi)
                });
            }
        }
        let assembled = assemble(&[readings], DEFAULT_SNAP_DEG, &Limits::default()).unwrap();
        assembled
            .findings
            .iter()
            .any(|f| f.code == "elevation-suspected")
    }

    #[test]
    fn elevations_are_told_and_great_circles_are_not() {
        assert!(is_told(24, |elevation| 90.0 - elevation));
        // The upper half by great circles: once, and twice.
        assert!(!is_told(12, |theta| theta));
        assert!(!is_told(24, |theta| theta));
    }
}
