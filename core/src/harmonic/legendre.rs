//! Associated Legendre functions, fully normalised.
//!
//! P̄_lm(cosθ) for 0 ≤ m ≤ l with 2π ∫ P̄_lm² sinθ dθ = 1, without the Condon–Shortley phase: P̄_lm(cosθ)·e^{jmφ} is the orthonormal
//! harmonic Y_lm up to (−1)^m. Source: DLMF 14.10.3 in normalised form.

use crate::unit::angle::{cos_deg, sin_deg};
use std::f64::consts::PI;

/// Highest degree that is computed. Up to it no value leaves the range of floating-point numbers where it matters.
pub const MAX_DEGREE: usize = 180;

/// Position of (l, m) among the values of [`normalised`].
#[must_use]
pub const fn position(l: usize, m: usize) -> usize {
    l * (l + 1) / 2 + m
}

/// P̄_lm at θ, degrees, for all l up to a degree and 0 ≤ m ≤ l, at [`position`]. Degrees above [`MAX_DEGREE`] are left out.
///
/// Up the diagonal P̄_mm = √((2m+1)/2m) sinθ P̄_{m−1,m−1}, then up in l at fixed m:
/// P̄_lm = a (cosθ P̄_{l−1,m} − b P̄_{l−2,m}), a² = (4l²−1)/(l²−m²), b² = ((l−1)²−m²)/(4(l−1)²−1).
/// The values stay below √l: nothing overflows, and what underflows is nothing.
#[must_use]
pub fn normalised(theta_deg: f64, degree: usize) -> Vec<f64> {
    let degree = degree.min(MAX_DEGREE);
    let (sine, cosine) = (sin_deg(theta_deg), cos_deg(theta_deg));
    let mut values = vec![0.0; position(degree, degree) + 1];
    let mut diagonal = 0.5 / PI.sqrt();
    for m in 0..=degree {
        let order = m as f64;
        if m > 0 {
            diagonal *= ((2.0 * order + 1.0) / (2.0 * order)).sqrt() * sine;
        }
        values[position(m, m)] = diagonal;
        let (mut before, mut last) = (0.0, diagonal);
        for l in m + 1..=degree {
            let (l1, below) = (l as f64, (l - 1) as f64);
            let a = ((4.0 * l1 * l1 - 1.0) / (l1 * l1 - order * order)).sqrt();
            let b = ((below * below - order * order) / (4.0 * below * below - 1.0)).sqrt();
            let next = a * (cosine * last - if l == m + 1 { 0.0 } else { b * before });
            (before, last) = (last, next);
            values[position(l, m)] = next;
        }
    }
    values
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn low_degrees_have_their_closed_forms() {
        // Closed forms; sections H01 to H04: Abramowitz & Stegun / DLMF 14.30 (from memory), computed.
        let (pole, equator) = (normalised(0.0, 2), normalised(90.0, 2));
        let near = |got: f64, want: f64| (got - want).abs() < 1e-15;
        assert!(near(pole[position(0, 0)], 0.282_094_791_773_878_1));
        assert!(near(pole[position(1, 0)], 0.488_602_511_902_919_9));
        assert!(near(equator[position(2, 0)], -0.315_391_565_252_52));
        assert!(near(equator[position(1, 1)], 0.345_494_149_471_335_5));
        // Only m = 0 lives on the axis.
        assert_eq!(pole[position(2, 1)], 0.0);
        assert_eq!(pole[position(2, 2)], 0.0);
    }

    #[test]
    fn squares_add_up_at_every_degree() {
        // Closed form: the addition theorem at one direction, P̄_l0² + 2 Σ P̄_lm² = (2l+1)/4π.
        for theta_deg in [0.0, 0.01, 1.0, 17.3, 45.0, 89.9, 90.0, 135.0, 179.99] {
            let values = normalised(theta_deg, MAX_DEGREE);
            for l in 0..=MAX_DEGREE {
                let mut total = values[position(l, 0)] * values[position(l, 0)];
                for m in 1..=l {
                    total += 2.0 * values[position(l, m)] * values[position(l, m)];
                }
                let want = (2.0 * l as f64 + 1.0) / (4.0 * PI);
                assert!(
                    (total / want - 1.0).abs() < 1e-11,
                    "{theta_deg}° degree {l}"
                );
            }
        }
    }

    #[test]
    fn degrees_beyond_the_limit_are_left_out() {
        assert_eq!(
            normalised(30.0, MAX_DEGREE + 1000).len(),
            position(MAX_DEGREE, MAX_DEGREE) + 1
        );
    }
}
