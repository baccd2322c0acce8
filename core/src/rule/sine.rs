//! The sine rule.
//!
//! TRP = π/(2NM) Σᵢ₌₁^{N−1} Σⱼ Pᵢⱼ sin θᵢ, that is wᵢ = (π/N) sin θᵢ. Poles carry no weight. It reads an isotropic source low by
//! (π/2N)·cot(π/2N): −0.025 dB at 15°, −0.101 dB at 30°.
//!
//! Source: CTIA OTA test plan, 3GPP TS 34.114 and TS 37.544 (formula from memory).

use crate::unit::angle::sin_deg;
use std::f64::consts::PI;

/// Weights of the N+1 rings; the poles' are 0.
#[must_use]
pub fn weights(intervals: usize) -> Vec<f64> {
    let n = intervals as f64;
    (0..=intervals)
        .map(|i| PI / n * sin_deg(180.0 * i as f64 / n))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::weights;

    #[test]
    fn isotropic_bias_is_the_closed_form() {
        // Σ sin(iπ/N) = cot(π/2N), closed form.
        for n in [3, 6, 9, 12, 36] {
            let sum: f64 = weights(n).iter().sum();
            let x = std::f64::consts::PI / (2.0 * n as f64);
            assert!((sum / 2.0 - x / libm::tan(x)).abs() < 1e-14);
        }
    }
}
