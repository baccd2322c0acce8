//! Elementary sources. Power in theta and phi polarisation, peak of the sum 1.

use crate::unit::angle::{cos_deg, sin_deg};
use std::f64::consts::FRAC_PI_2;

/// Mean of sin²: 2/3 (closed form; directivity 3/2).
pub(super) const SHORT_DIPOLE_MEAN: f64 = 2.0 / 3.0;
/// Cin(2π)/4 with Cin(2π) = γ + ln 2π − Ci(2π) = 2.437 653 393 057 224 411 8 (closed form, evaluated with mpmath 1.3.0).
pub(super) const HALF_WAVE_DIPOLE_MEAN: f64 = 2.437_653_393_057_224_4 / 4.0;
/// Mean of ((1+cos θ)/2)²: 1/3 (closed form; directivity 3).
pub(super) const HUYGENS_MEAN: f64 = 1.0 / 3.0;

fn squares(theta: f64, phi: f64) -> [f64; 2] {
    [theta * theta, phi * phi]
}

/// Short dipole along z: Eθ = −sin θ.
pub(super) fn z_dipole(theta_deg: f64) -> [f64; 2] {
    squares(sin_deg(theta_deg), 0.0)
}

/// Short dipole along x: Eθ = cos θ cos φ, Eφ = −sin φ (the unit vector x̂ across the direction).
pub(super) fn x_dipole(theta_deg: f64, phi_deg: f64) -> [f64; 2] {
    squares(cos_deg(theta_deg) * cos_deg(phi_deg), sin_deg(phi_deg))
}

/// Small loop about z, the dual of the short dipole: Eφ = sin θ.
pub(super) fn small_loop(theta_deg: f64) -> [f64; 2] {
    squares(0.0, sin_deg(theta_deg))
}

/// Half-wave dipole along z with sinusoidal current: Eθ = cos(½π cos θ)/sin θ, 0 at the poles.
pub(super) fn half_wave_dipole(theta_deg: f64) -> [f64; 2] {
    let sine = sin_deg(theta_deg);
    if sine == 0.0 {
        return [0.0, 0.0];
    }
    squares(libm::cos(FRAC_PI_2 * cos_deg(theta_deg)) / sine, 0.0)
}

/// Huygens source: Eθ = ½(1 + cos θ) cos φ, Eφ = −½(1 + cos θ) sin φ.
pub(super) fn huygens_x(theta_deg: f64, phi_deg: f64) -> [f64; 2] {
    let along = (1.0 + cos_deg(theta_deg)) / 2.0;
    squares(along * cos_deg(phi_deg), along * sin_deg(phi_deg))
}

/// Dipoles along x and y in quadrature, each of half the power: |Eθ|² = ½cos²θ, |Eφ|² = ½ in every φ.
pub(super) fn turnstile(theta_deg: f64) -> [f64; 2] {
    let cosine = cos_deg(theta_deg);
    [cosine * cosine / 2.0, 0.5]
}
