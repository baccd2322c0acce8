//! The exponential integral E₁, as far as log detection needs it.

/// Euler's constant γ.
pub(super) const EULER: f64 = 0.577_215_664_901_532_9;

/// Where the series ends and the continued fraction begins.
const SERIES_UP_TO: f64 = 2.0;

/// ln x + E₁(x) for x ≥ 0: −γ at 0, where each part alone is infinite; below 0 its analytic continuation, for x ≥ −20.
///
/// Up to 2 by −γ − Σ (−x)ᵏ/(k·k!) (DLMF 6.6.2), above by the logarithm and e^−x times the continued fraction of DLMF 6.9.1 in its even
/// form, from its far end.
pub(super) fn log_plus_e1(x: f64) -> f64 {
    if x <= SERIES_UP_TO {
        let (mut term, mut sum) = (1.0, 0.0);
        // 2³⁰/30! is 4e-24; below −2 all terms have one sign, and 20¹⁰⁰/100! is 1e-28.
        let terms = if x < -SERIES_UP_TO { 100 } else { 30 };
        for k in 1..=terms {
            term *= -x / f64::from(k);
            sum -= term / f64::from(k);
        }
        return sum - EULER;
    }
    // E₁(x) = e^−x / (x+1 − 1²/(x+3 − 2²/(x+5 − …))).
    let mut tail = 0.0;
    for k in (1..=80_i32).rev() {
        let k = f64::from(k);
        tail = k * k / (x + 2.0 * k + 1.0 - tail);
    }
    libm::log(x) + libm::exp(-x) / (x + 1.0 - tail)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn e1_is_that_of_the_tables() {
        // Abramowitz and Stegun, Handbook of Mathematical Functions, table 5.1 (from memory), ten digits after the point.
        for (x, e1) in [
            (0.5, 0.559_773_594_8),
            (1.0, 0.219_383_934_4),
            (2.0, 0.048_900_510_7),
        ] {
            let found = log_plus_e1(x) - libm::log(x);
            assert!((found - e1).abs() < 1e-10, "{x}: {found}");
        }
        // x·e^x·E₁(x) at 10, the same source.
        let found = (log_plus_e1(10.0) - libm::log(10.0)) * 10.0 * libm::exp(10.0);
        assert!((found - 0.915_633_339_4).abs() < 1e-9, "{found}");
    }

    #[test]
    fn the_continuation_below_nothing() {
        // Independent: mpmath with 40 digits, ∫₀ˣ (1 − e^−t)/t dt − γ.
        for (x, wanted) in [
            (-20.0, -25_615_649.668_324_316),
            (-12.5, -23_562.591_859_908_026),
            (-3.0, -8.835_220_281_957_306),
        ] {
            let found = log_plus_e1(x);
            assert!((found / wanted - 1.0).abs() < 1e-14, "{x}: {found}");
        }
        assert_eq!(log_plus_e1(0.0).to_bits(), (-EULER).to_bits());
    }

    #[test]
    fn series_and_fraction_meet() {
        let (below, above) = (log_plus_e1(2.0), log_plus_e1(2.0 + 1e-9));
        // The slope (1 − e^−2)/2 times 1e-9.
        assert!((above - below - 0.432_332e-9).abs() < 1e-14);
    }
}
