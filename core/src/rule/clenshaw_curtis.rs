//! The Clenshaw–Curtis rule.
//!
//! wᵢ = (cᵢ/N)·[1 − Σ_{k=1}^{⌊N/2⌋} b_k cos(2kθᵢ)/(4k²−1)], c = 1 at the poles and 2 elsewhere, b_k = 1 where 2k = N and 2
//! elsewhere; Σw = 2. Exact for ring means that are polynomials in cos θ of degree ≤ N, and N+1 for even N.
//!
//! Source: Clenshaw and Curtis 1960; use for TRP in 3GPP TS 38.521-2 M.4.2 (from memory).

use crate::unit::angle::cos_deg;

/// Weights of the N+1 rings, poles included; their sum is 2.
#[must_use]
pub fn weights(intervals: usize) -> Vec<f64> {
    let n = intervals;
    // cos(2kθᵢ) = cos(360°·k·i/N): N values serve all.
    let cosines: Vec<f64> = (0..n)
        .map(|m| cos_deg(360.0 * m as f64 / n as f64))
        .collect();
    let mut weights = vec![0.0; n + 1];
    for i in 0..=n / 2 {
        let mut sum = 0.0;
        for k in 1..=n / 2 {
            let b = if 2 * k == n { 1.0 } else { 2.0 };
            let k4 = 4.0 * (k as f64) * (k as f64) - 1.0;
            sum += b * cosines[k * i % n] / k4;
        }
        let c = if i == 0 { 1.0 } else { 2.0 };
        let weight = c / n as f64 * (1.0 - sum);
        weights[i] = weight;
        weights[n - i] = weight;
    }
    weights
}

#[cfg(test)]
mod tests {
    use super::weights;

    #[test]
    fn closed_fractions() {
        // N = 2: Simpson 1/3, 4/3; N = 3: 1/9, 8/9; N = 4: 1/15, 8/15, 4/5 (Burkardt, QUADRULE tables);
        // N = 6: 1/35, 16/63, 16/35, 164/315 (closed form).
        let tables: [&[f64]; 4] = [
            &[1.0 / 3.0, 4.0 / 3.0, 1.0 / 3.0],
            &[1.0 / 9.0, 8.0 / 9.0, 8.0 / 9.0, 1.0 / 9.0],
            &[1.0 / 15.0, 8.0 / 15.0, 0.8, 8.0 / 15.0, 1.0 / 15.0],
            &[
                1.0 / 35.0,
                16.0 / 63.0,
                16.0 / 35.0,
                164.0 / 315.0,
                16.0 / 35.0,
                16.0 / 63.0,
                1.0 / 35.0,
            ],
        ];
        for want in tables {
            let got = weights(want.len() - 1);
            for (g, w) in got.iter().zip(want) {
                assert!((g - w).abs() < 1e-15);
            }
        }
    }
}
