//! Means of the two polarisations over a full ring at a pole, which are equal for every state of polarisation.

use super::Finding;

/// Means that differ by more than this: a finding, dB.
const TOLERANCE_DB: f64 = 0.05;

/// Tells the largest difference.
pub(crate) fn pole_imbalance(worst_db: f64) -> Option<Finding> {
    (worst_db > TOLERANCE_DB).then(|| {
        Finding::note(
            "pole-imbalance",
            format!("over a full ring at a pole the two polarisations should have equal means; they differ by {worst_db:.2} dB"),
        )
        .effect_db(worst_db)
        .advice("check the range loss of each polarisation, the alignment of the probe, and drift during the sweep; weak readings scatter like this by noise: give the floor by --floor")
    })
}
