//! A beam that falls exponentially with the cosine of the angle from its axis.

use crate::unit::angle::{cos_deg, sin_deg};

/// U = exp(κ(cos γ − 1)), γ the angle from the axis (the von Mises–Fisher form). Smooth everywhere, any axis.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ExponentialBeam {
    /// Concentration κ.
    pub kappa: f64,
    /// θ of the axis, degrees.
    pub axis_theta_deg: f64,
    /// φ of the axis, degrees.
    pub axis_phi_deg: f64,
}

impl ExponentialBeam {
    /// Power relative to the peak.
    pub(super) fn power(&self, theta_deg: f64, phi_deg: f64) -> f64 {
        // 1 − cos γ = (1 − cos Δθ) + sin θ sin θ₀ (1 − cos Δφ): no cancellation on the axis.
        let apart = (1.0 - cos_deg(theta_deg - self.axis_theta_deg))
            + sin_deg(theta_deg)
                * sin_deg(self.axis_theta_deg)
                * (1.0 - cos_deg(phi_deg - self.axis_phi_deg));
        libm::exp(-self.kappa * apart)
    }

    /// Mean over the sphere: (1 − e^{−2κ})/(2κ), closed form.
    pub(super) fn mean(&self) -> f64 {
        -libm::expm1(-2.0 * self.kappa) / (2.0 * self.kappa)
    }
}
