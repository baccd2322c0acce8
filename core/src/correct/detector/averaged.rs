//! Moments in watts of averaged logarithms of noise.
//!
//! The mean of n logarithms of noise of power P, as power, is P·G, G the geometric mean of n exponential variables, whose moments are
//! ⟨Gᵏ⟩ = Γ(1 + k/n)ⁿ (closed form: ⟨xᵃ⟩ = Γ(1 + a) of an exponential variable, and independence). Its mean is P·e^−γ for many averages,
//! and P for one. Readings are summed in watts, and so it is this mean that they are put right by.

use super::exponential_integral::EULER;
use super::scatter::LOG_VARIANCE;

/// Averages from which on the series in x = 1/n is used, where 1 + x would be rounded; it leaves out 1e-15 there.
const MANY: f64 = 1e4;

/// ζ(3), Apéry's constant (from memory).
const ZETA_3: f64 = 1.202_056_903_159_594_3;

/// ζ(4) = π⁴/90.
const ZETA_4: f64 = 0.4 * LOG_VARIANCE * LOG_VARIANCE;

/// ln ⟨G⟩ of n averages, from 0 for one down to −γ: n·ln Γ(1 + x), or −γ + ζ(2)x/2 − ζ(3)x²/3 + ζ(4)x³/4 (DLMF 5.7.3).
fn log_mean(averages: f64) -> f64 {
    let x = 1.0 / averages;
    if averages > MANY {
        return -EULER + x * (LOG_VARIANCE / 2.0 - x * (ZETA_3 / 3.0 - x * ZETA_4 / 4.0));
    }
    averages * libm::lgamma(1.0 + x)
}

/// ln (⟨G²⟩/⟨G⟩²) of n averages, from ln 2 for one down to 0.
fn log_spread(averages: f64) -> f64 {
    let x = 1.0 / averages;
    if averages > MANY {
        return x * (LOG_VARIANCE - x * (2.0 * ZETA_3 - x * 3.5 * ZETA_4));
    }
    averages * libm::lgamma(1.0 + 2.0 * x) - 2.0 * log_mean(averages)
}

/// Power in W of Gaussian noise of which the mean of `averages` logarithms shows `shown_w`, without bias in watts: P/⟨G⟩, which is
/// e^γ·P (2.5068 dB more) for many averages and P for one. Fewer than one are one.
#[must_use]
pub fn noise_from_log_of(shown_w: f64, averages: f64) -> f64 {
    shown_w * libm::exp(-log_mean(averages.max(1.0)))
}

/// Relative variance ⟨G²⟩/⟨G⟩² − 1 of such a power: 1 for one average, (π²/6)/n for many.
#[must_use]
pub fn relative_variance_of_log(averages: f64) -> f64 {
    libm::expm1(log_spread(averages.max(1.0)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::correct::detector::noise_from_log;

    #[test]
    fn the_ends_are_known() {
        // One average is the power itself: exponential, of relative variance 1.
        assert!((noise_from_log_of(3.0, 1.0) - 3.0).abs() < 1e-14);
        assert!((relative_variance_of_log(1.0) - 1.0).abs() < 1e-14);
        // Two: Γ(3/2)² = π/4, and 1/(π/4)² − 1.
        let quarter = std::f64::consts::FRAC_PI_4;
        assert!((noise_from_log_of(1.0, 2.0) * quarter - 1.0).abs() < 1e-14);
        let of_two = 1.0 / (quarter * quarter) - 1.0;
        assert!((relative_variance_of_log(2.0) - of_two).abs() < 1e-13);
        // Many: 2.5068 dB.
        let many = noise_from_log_of(1.0, 1e12) / noise_from_log(1.0);
        assert!((many - 1.0).abs() < 1e-11);
        assert!((relative_variance_of_log(1e9) * 1e9 / LOG_VARIANCE - 1.0).abs() < 1e-8);
    }

    #[test]
    fn series_and_gamma_meet() {
        for of in [
            |n: f64| noise_from_log_of(1.0, n),
            |n: f64| relative_variance_of_log(n) * n,
        ] {
            let (below, above) = (of(MANY), of(MANY * (1.0 + 1e-9)));
            assert!((below / above - 1.0).abs() < 1e-8, "{below} {above}");
        }
    }

    #[test]
    fn the_series_to_its_last_term() {
        // Independent: mpmath with 40 digits, as below. The term in 1/n³ of ln ⟨G⟩ is 3e-13 here.
        for (n, factor, variance) in [
            (
                10_001.0,
                1.780_925_958_459_359_2,
                1.644_664_495_685_440_6e-4,
            ),
            (20_000.0, 1.780_999_177_612_784_7, 8.224_407_538_991_748e-5),
        ] {
            let found = noise_from_log_of(1.0, n) / factor - 1.0;
            assert!(found.abs() < 5e-15, "{n}: {found:e}");
            let found = relative_variance_of_log(n) / variance - 1.0;
            assert!(found.abs() < 5e-12, "{n}: {found:e}");
        }
        // Fewer averages than one are one.
        assert!((noise_from_log_of(3.0, 0.5) - 3.0).abs() < 1e-14);
        assert!((relative_variance_of_log(0.5) - 1.0).abs() < 1e-14);
    }

    #[test]
    fn as_summed_elsewhere() {
        // Independent: mpmath with 40 digits, 1/Γ(1+1/n)ⁿ and Γ(1+2/n)ⁿ/Γ(1+1/n)²ⁿ − 1.
        for (n, factor, variance) in [
            (4.0, 1.481_547_790_487_823_3, 0.353_976_395_034_780_3),
            (16.0, 1.694_374_429_718_291, 0.098_841_302_623_235_5),
            (100.0, 1.766_554_067_721_776_8, 0.016_344_794_486_217_66),
            (1e6, 1.781_070_953_118_166, 1.644_933_015_639_037_6e-6),
        ] {
            assert!(
                (noise_from_log_of(1.0, n) / factor - 1.0).abs() < 1e-12,
                "{n}"
            );
            let found = relative_variance_of_log(n);
            assert!((found / variance - 1.0).abs() < 1e-11, "{n}: {found}");
        }
    }
}
