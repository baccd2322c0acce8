//! Partial windows in θ: half-weighted edges, and the exact form.

use crate::rule::sine;
use crate::unit::angle::cos_deg;
use std::fmt;

/// A band θ₁…θ₂ over all φ, degrees. Partial figures keep the divisor 4π.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Window {
    /// Upper edge, degrees from +z.
    pub from_deg: f64,
    /// Lower edge, degrees from +z.
    pub to_deg: f64,
}

impl Window {
    /// The whole sphere.
    pub const WHOLE: Self = Self {
        from_deg: 0.0,
        to_deg: 180.0,
    };

    /// ±α about the horizon.
    #[must_use]
    pub const fn near_horizon(alpha_deg: f64) -> Self {
        Self {
            from_deg: 90.0 - alpha_deg,
            to_deg: 90.0 + alpha_deg,
        }
    }

    /// True where both edges lie on rings of the grid of N intervals, or at a pole.
    #[must_use]
    pub fn edges_on_rings(self, intervals: usize) -> bool {
        let on_ring = |edge: f64| {
            let ring = edge * intervals as f64 / 180.0;
            (ring - ring.round()).abs() < 1e-9
        };
        on_ring(self.from_deg) && on_ring(self.to_deg)
    }

    /// Weights under the sine rule with half-weighted edge rings. An edge at a pole is no edge (F3).
    ///
    /// The edges must lie on rings: see [`Window::edges_on_rings`].
    #[must_use]
    pub fn half_weights(self, intervals: usize) -> Vec<f64> {
        let first = (self.from_deg * intervals as f64 / 180.0).round() as usize;
        let last = (self.to_deg * intervals as f64 / 180.0).round() as usize;
        let mut weights = sine::weights(intervals);
        for (i, w) in weights.iter_mut().enumerate() {
            let edge = (i == first && i != 0) || (i == last && i != intervals);
            if i < first || i > last {
                *w = 0.0;
            } else if edge {
                *w *= 0.5;
            }
        }
        weights
    }

    /// Weights of the exact form: the integral over the window of the even cosine series through all ring means (F3b).
    ///
    /// With a_k = (2/N) Σ″ pᵢ cos kθᵢ (first and last term halved, then a₀ and a_N halved) the window is ½ Σ a_k I_k,
    /// I_k = ∫ cos kθ sin θ dθ; collected by ring it is ½ Σ wᵢ pᵢ. The whole sphere gives Clenshaw–Curtis.
    #[must_use]
    pub fn exact_weights(self, intervals: usize) -> Vec<f64> {
        let n = intervals;
        let halved = |k: usize| if k == 0 || k == n { 0.5 } else { 1.0 };
        let integrals: Vec<f64> = (0..=n)
            .map(|k| halved(k) * self.cosine_integral(k))
            .collect();
        // cos(kθᵢ) = cos(180°·k·i/N): 2N values serve all.
        let cosines: Vec<f64> = (0..2 * n)
            .map(|m| cos_deg(180.0 * m as f64 / n as f64))
            .collect();
        (0..=n)
            .map(|i| {
                let mut sum = 0.0;
                for (k, integral) in integrals.iter().enumerate() {
                    sum += integral * cosines[k * i % (2 * n)];
                }
                2.0 / n as f64 * halved(i) * sum
            })
            .collect()
    }

    /// ∫ cos kθ sin θ dθ over the window: ½[cos((k−1)θ)/(k−1) − cos((k+1)θ)/(k+1)]; −cos θ for k = 0, −¼ cos 2θ for k = 1.
    fn cosine_integral(self, k: usize) -> f64 {
        let kf = k as f64;
        let antiderivative = |theta: f64| match k {
            0 => -cos_deg(theta),
            1 => -0.25 * cos_deg(2.0 * theta),
            _ => {
                0.5 * (cos_deg((kf - 1.0) * theta) / (kf - 1.0)
                    - cos_deg((kf + 1.0) * theta) / (kf + 1.0))
            }
        };
        antiderivative(self.to_deg) - antiderivative(self.from_deg)
    }
}

impl fmt::Display for Window {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "θ {}…{}°", self.from_deg, self.to_deg)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rule::clenshaw_curtis;

    #[test]
    fn the_whole_sphere_is_clenshaw_curtis() {
        for n in [2, 3, 5, 6, 12, 17, 36] {
            for (a, b) in Window::WHOLE
                .exact_weights(n)
                .iter()
                .zip(clenshaw_curtis::weights(n))
            {
                assert!((a - b).abs() < 1e-14, "N = {n}");
            }
        }
    }

    #[test]
    fn windows_that_touch_add_up() {
        let upper = Window {
            from_deg: 0.0,
            to_deg: 71.0,
        };
        let lower = Window {
            from_deg: 71.0,
            to_deg: 180.0,
        };
        for n in [4, 7, 12] {
            let whole = clenshaw_curtis::weights(n);
            let (up, down) = (upper.exact_weights(n), lower.exact_weights(n));
            for ((u, d), w) in up.iter().zip(&down).zip(&whole) {
                assert!((u + d - w).abs() < 1e-14);
            }
        }
    }

    #[test]
    fn isotropic_windows_are_their_solid_angle() {
        // Closed form: share = (cos θ₁ − cos θ₂)/2.
        for (from_deg, to_deg) in [
            (45.0, 135.0),
            (60.0, 120.0),
            (67.5, 112.5),
            (0.0, 120.0),
            (12.3, 45.6),
        ] {
            let w = Window { from_deg, to_deg };
            let want = (cos_deg(from_deg) - cos_deg(to_deg)) / 2.0;
            for n in [6, 12, 15] {
                let got: f64 = w.exact_weights(n).iter().sum::<f64>() / 2.0;
                assert!((got - want).abs() < 1e-14);
            }
        }
    }
}
