//! Real spherical harmonics, orthonormal over the sphere.

use crate::harmonic::legendre::{self, position};
use crate::unit::angle::{cos_deg, sin_deg};
use std::f64::consts::SQRT_2;

/// Position of (l, m), −l ≤ m ≤ l, among the values of [`real_harmonics`]: l² + l + m.
#[must_use]
pub fn index(l: usize, m: isize) -> usize {
    (l * l + l).saturating_add_signed(m)
}

/// Y_lm at a direction for all degrees up to `degree`, at [`index`]: P̄_l0 for m = 0, √2 P̄_lm cos mφ for m > 0, √2 P̄_l|m| sin |m|φ
/// for m < 0. ∫ Y_lm² dΩ = 1, and the mean over the sphere of a sum is its first coefficient over √4π.
#[must_use]
pub fn real_harmonics(theta_deg: f64, phi_deg: f64, degree: usize) -> Vec<f64> {
    let degree = degree.min(legendre::MAX_DEGREE);
    let of_theta = legendre::normalised(theta_deg, degree);
    let mut values = vec![0.0; (degree + 1) * (degree + 1)];
    for m in 0..=degree {
        let turn = m as f64 * phi_deg;
        let (cosine, sine) = (SQRT_2 * cos_deg(turn), SQRT_2 * sin_deg(turn));
        for l in m..=degree {
            let p = of_theta[position(l, m)];
            let middle = l * l + l;
            if m == 0 {
                values[middle] = p;
            } else {
                values[middle + m] = p * cosine;
                values[middle - m] = p * sine;
            }
        }
    }
    values
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::harmonic::Orthonormal;
    use crate::rule::clenshaw_curtis;
    use std::f64::consts::PI;

    #[test]
    fn values_of_another_library_come_out() {
        // Independent: mpmath 1.3.0 and scipy 1.17.1, complex harmonics with Condon–Shortley phase at (θ, φ) = (120°, 200°):
        // the real ones are √2 (−1)^m Re Y_lm and √2 (−1)^m Im Y_lm.
        let got = real_harmonics(120.0, 200.0, 2);
        let pairs = [
            (index(1, 0), -0.244_301_255_951_459_96),
            (index(1, 1), -SQRT_2 * 0.281_162_337_759_546_76),
            (index(1, -1), -SQRT_2 * 0.102_334_721_941_175_35),
            (index(2, 0), -0.078_847_891_313_130_0),
            (index(2, 1), SQRT_2 * 0.314_349_049_971_551_2),
            (index(2, -1), SQRT_2 * 0.114_413_697_359_503_66),
            (index(2, 2), SQRT_2 * 0.221_927_404_485_061_4),
            (index(2, -2), SQRT_2 * 0.186_219_203_251_546_07),
        ];
        for (at, want) in pairs {
            assert!((got[at] - want).abs() < 1e-14, "{at}: {} {want}", got[at]);
        }
    }

    /// Directions of a grid, and weights with which polynomials of degree `intervals` integrate exactly.
    fn fine(intervals: usize) -> Vec<(f64, f64, f64)> {
        let m = 2 * intervals;
        let weights = clenshaw_curtis::weights(intervals);
        let mut all = Vec::new();
        for (ring, w) in weights.iter().enumerate() {
            for column in 0..m {
                let theta_deg = 180.0 * ring as f64 / intervals as f64;
                let phi_deg = 360.0 * column as f64 / m as f64;
                all.push((theta_deg, phi_deg, w * 2.0 * PI / m as f64));
            }
        }
        all
    }

    #[test]
    fn they_are_orthonormal() {
        // Closed form; the rule is exact for products of degree 2 · 12 on 24 intervals.
        let degree = 12;
        let count = (degree + 1) * (degree + 1);
        let mut gram = vec![0.0; count * count];
        for (theta_deg, phi_deg, weight) in fine(2 * degree) {
            let y = real_harmonics(theta_deg, phi_deg, degree);
            for i in 0..count {
                for j in 0..count {
                    gram[i * count + j] += weight * y[i] * y[j];
                }
            }
        }
        for i in 0..count {
            for j in 0..count {
                let want = f64::from(u8::from(i == j));
                assert!((gram[i * count + j] - want).abs() < 1e-12, "{i} {j}");
            }
        }
    }

    #[test]
    fn coefficients_of_powers_are_found_on_scattered_directions() {
        // Sections H05, H06, H08 to H11 (closed forms): sin²θ, and the Huygens source ((1 + cosθ)/2)².
        let scattered: Vec<(f64, f64)> = (0..60)
            .map(|i| {
                let turn = f64::from(i);
                let cosine = 1.0 - (2.0 * turn + 1.0) / 60.0;
                (
                    libm::acos(cosine).to_degrees(),
                    (turn * 137.507_764) % 360.0,
                )
            })
            .collect();
        let mut basis = Orthonormal::new(scattered.len());
        for k in 0..25 {
            let column = scattered.iter().map(|d| real_harmonics(d.0, d.1, 4)[k]);
            assert!(basis.push(column.collect()));
        }
        let fit = |power: fn(f64) -> f64| {
            let values: Vec<f64> = scattered.iter().map(|d| power(cos_deg(d.0))).collect();
            basis.coefficients(&basis.amounts(&values))
        };
        let sine2 = fit(|c| 1.0 - c * c);
        let huygens = fit(|c| (1.0 + c) * (1.0 + c) / 4.0);
        for (got, want) in [
            (sine2[0], 2.363_271_801_207_355),
            (sine2[index(2, 0)], -1.056_887_279_361_602_9),
            (huygens[0], 1.181_635_900_603_677_4),
            (huygens[index(1, 0)], 1.023_326_707_946_488_5),
            (huygens[index(2, 0)], 0.264_221_819_840_400_7),
            (huygens[0] / (4.0 * PI).sqrt(), 1.0 / 3.0),
            (sine2[index(3, 2)], 0.0),
            (huygens[index(4, -1)], 0.0),
        ] {
            assert!((got - want).abs() < 1e-12, "{got} {want}");
        }
    }
}
