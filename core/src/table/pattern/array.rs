//! Isotropic points on a line.

use crate::unit::angle::{cos_deg, sin_deg};
use std::f64::consts::TAU;

/// Axis of a line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Axis {
    /// x.
    X,
    /// y.
    Y,
    /// z.
    Z,
}

impl Axis {
    /// All axes.
    pub const ALL: [Self; 3] = [Self::X, Self::Y, Self::Z];

    /// Its letter.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::X => "x",
            Self::Y => "y",
            Self::Z => "z",
        }
    }
}

/// Isotropic points of equal weight on a line through the origin.
///
/// Each step along the axis adds the phase ψ = kd cos γ + β, γ the angle from the axis: U = |Σₙ e^{jnψ}|² / n². The peak n²
/// lies where ψ = 0, so that |β| ≤ kd is required.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LineArray {
    /// Axis of the line.
    pub axis: Axis,
    /// Number of points.
    pub points: u32,
    /// Distance between neighbours, wavelengths.
    pub spacing_wavelengths: f64,
    /// Phase from one point to the next, degrees.
    pub phase_step_deg: f64,
}

impl LineArray {
    fn kd(&self) -> f64 {
        TAU * self.spacing_wavelengths
    }

    fn beta(&self) -> f64 {
        self.phase_step_deg.to_radians()
    }

    /// True where some direction adds all points in phase.
    #[must_use]
    pub fn has_full_peak(&self) -> bool {
        self.beta().abs() <= self.kd() * (1.0 + 1e-12)
    }

    /// Power relative to the peak.
    pub(super) fn power(&self, theta_deg: f64, phi_deg: f64) -> f64 {
        let along = match self.axis {
            Axis::X => sin_deg(theta_deg) * cos_deg(phi_deg),
            Axis::Y => sin_deg(theta_deg) * sin_deg(phi_deg),
            Axis::Z => cos_deg(theta_deg),
        };
        let psi = self.kd() * along + self.beta();
        let (mut re, mut im) = (0.0, 0.0);
        for n in 0..self.points {
            re += libm::cos(f64::from(n) * psi);
            im += libm::sin(f64::from(n) * psi);
        }
        let n = f64::from(self.points);
        (re * re + im * im) / (n * n)
    }

    /// Mean over the sphere: [n + 2 Σ_m (n−m) cos(mβ) sin(mkd)/(mkd)] / n², from ⟨e^{jmkd cos γ}⟩ = sin(mkd)/(mkd) (closed form).
    pub(super) fn mean(&self) -> f64 {
        let n = f64::from(self.points);
        let mut sum = n;
        for m in (1..self.points).map(f64::from) {
            let x = m * self.kd();
            let sinc = if x == 0.0 { 1.0 } else { libm::sin(x) / x };
            sum += 2.0 * (n - m) * libm::cos(m * self.beta()) * sinc;
        }
        sum / (n * n)
    }
}
