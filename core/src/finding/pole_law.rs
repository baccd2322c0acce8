//! How the polarisations of a pole share its total over φ.
//!
//! At a pole the field is one vector, and the unit vectors turn under it: Pθ(φ) = A + B cos 2φ + C sin 2φ and
//! Pφ(φ) = A − B cos 2φ − C sin 2φ, cos² and sin² where it is linear (closed form, from E₀θ = Eθ cos φ − Eφ sin φ). Each polarisation is
//! scaled to its own mean first, so that the range loss does not matter.

use super::Finding;
use crate::unit::{angle, sum};

/// Readings off the law by more than this share of the pole's total: 0.5 dB of it, as `pole-spread` has it.
const TOLERANCE: f64 = 0.122;
/// With fewer columns the law has as many constants as there are readings.
const FEWEST_COLUMNS: usize = 5;

/// Largest departure from the law as a share of the total; `None` where the ring cannot tell.
///
/// The slices are a full ring at equal steps of φ: φ in degrees, and both polarisations.
pub(crate) fn departure(phi_deg: &[f64], theta: &[f64], phi: &[f64]) -> Option<f64> {
    let m = phi_deg.len();
    if m < FEWEST_COLUMNS || theta.len() != m || phi.len() != m {
        return None;
    }
    let (mean_theta, mean_phi) = (sum::mean(theta)?, sum::mean(phi)?);
    if !(mean_theta > 0.0 && mean_phi > 0.0) {
        return None;
    }
    let scaled =
        |values: &[f64], mean: f64| -> Vec<f64> { values.iter().map(|v| v / mean).collect() };
    let (theta, phi) = (scaled(theta, mean_theta), scaled(phi, mean_phi));
    // Least squares over a full ring are its Fourier coefficients; both polarisations give the same with opposite signs.
    let coefficient = |of: fn(f64) -> f64| {
        let products: Vec<f64> = phi_deg
            .iter()
            .zip(theta.iter().zip(&phi))
            .map(|(at, (t, p))| (t - p) * of(2.0 * at))
            .collect();
        sum::in_order(&products) / m as f64
    };
    let (b, c) = (coefficient(angle::cos_deg), coefficient(angle::sin_deg));
    let mut worst = 0.0_f64;
    for (at, (t, p)) in phi_deg.iter().zip(theta.iter().zip(&phi)) {
        let turned = b * angle::cos_deg(2.0 * at) + c * angle::sin_deg(2.0 * at);
        worst = worst
            .max((t - 1.0 - turned).abs())
            .max((p - 1.0 + turned).abs());
    }
    Some(worst / 2.0)
}

/// Warns of the largest departure, a share of the pole's total.
pub(crate) fn pole_law(worst: f64) -> Option<Finding> {
    (worst > TOLERANCE).then(|| {
        let size_db = crate::unit::level::db_from_ratio(1.0 + worst);
        Finding::warning(
            "pole-law",
            format!("over φ at a pole the two polarisations should change places as cos² and sin²; a reading is off by {:.0} % of the pole's total ({size_db:.2} dB)", 100.0 * worst),
        )
        .effect_db(size_db)
        .advice("look for a wrong reading, polarisations exchanged in a part of the sweep, a probe that does not turn with φ, leakage between its ports, or φ in other steps than written; weak readings scatter like this by noise: give the floor by --floor")
    })
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::unit::level;

    /// A pole with the field (a, b e^{jδ}) in x and y, with other losses in each polarisation.
    fn ring(m: usize, (a, b, delta_deg): (f64, f64, f64)) -> [Vec<f64>; 3] {
        let phis: Vec<f64> = (0..m).map(|j| 360.0 * j as f64 / m as f64).collect();
        let cross = a * b * angle::cos_deg(delta_deg);
        let power = |phi: f64| {
            let (c, s) = (angle::cos_deg(phi), angle::sin_deg(phi));
            (a * c) * (a * c) + (b * s) * (b * s) + 2.0 * cross * c * s
        };
        let theta = phis.iter().map(|p| 0.3 * power(*p)).collect();
        let phi = phis.iter().map(|p| 0.5 * power(*p + 90.0)).collect();
        [phis, theta, phi]
    }

    #[test]
    fn every_state_of_polarisation_keeps_the_law() {
        for m in [5, 6, 7, 8, 12, 24, 25] {
            for state in [
                (1.0, 0.0, 0.0),
                (0.6, 0.8, 0.0),
                (1.0, 1.0, 90.0),
                (0.3, 1.0, 217.0),
            ] {
                let [phis, theta, phi] = ring(m, state);
                let off = departure(&phis, &theta, &phi).unwrap();
                assert!(off < 1e-12, "{m} {state:?}: {off}");
                assert!(pole_law(off).is_none());
            }
        }
    }

    #[test]
    fn faults_break_it() {
        let [phis, theta, phi] = ring(24, (1.0, 0.2, 40.0));
        let fires =
            |theta: &[f64], phi: &[f64]| departure(&phis, theta, phi).and_then(pole_law).is_some();
        // One reading 3 dB high; a quarter of the turn exchanged; a probe that does not turn for one polarisation.
        let mut wrong = theta.clone();
        wrong[1] *= level::ratio_from_db(3.0);
        assert!(fires(&wrong, &phi));
        let (mut a, mut b) = (theta.clone(), phi.clone());
        a[..6].swap_with_slice(&mut b[..6]);
        assert!(fires(&a, &b));
        assert!(fires(&theta, &[0.5; 24]));
        // Read to ±0.1 dB: nothing.
        let rough: Vec<f64> = theta
            .iter()
            .enumerate()
            .map(|(j, v)| v * level::ratio_from_db(if j % 2 == 0 { 0.1 } else { -0.1 }))
            .collect();
        assert!(!fires(&rough, &phi));
        // Too few columns, or nothing at the pole.
        assert!(departure(&[0.0, 90.0, 180.0, 270.0], &[1.0; 4], &[2.0; 4]).is_none());
        assert!(departure(&phis, &[0.0; 24], &[0.0; 24]).is_none());
    }
}
