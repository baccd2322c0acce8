//! Readings at a pole that should be one value: the total, whatever φ it is read at, and repeats.

use super::Finding;

/// Readings of one value at a pole that differ by more than this: a finding, dB.
const TOLERANCE_DB: f64 = 0.5;

/// Warns of the largest difference.
pub(crate) fn pole_spread(worst_db: f64) -> Option<Finding> {
    (worst_db > TOLERANCE_DB).then(|| {
        Finding::warning(
            "pole-spread",
            format!("readings at a pole that should be one value differ by {worst_db:.2} dB; their mean was taken"),
        )
        .effect_db(worst_db)
        .advice("look for a single wrong reading at θ = 0° or 180°, drift, or two polarisations that were exchanged; weak readings scatter like this by noise: give the floor by --floor")
    })
}
