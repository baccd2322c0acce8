//! How far readings of a log detector scatter.

use super::exponential_integral::EULER;

/// Variance of ln X of an exponential variable, the power of noise: π²/6 (closed form).
pub const LOG_VARIANCE: f64 = std::f64::consts::PI * std::f64::consts::PI / 6.0;

/// Ratio of wave to noise from which on the first two terms of the series in 1/s are used: they are right to 3e-4 there.
const SERIES: f64 = 50.0;

/// Most terms of the mixture: weights of a Poisson law of mean 50 are below 1e-17 beyond.
const TERMS: u32 = 150;

/// Variance of ln X, X the power of a wave in noise, s times as strong as it.
///
/// X is a Γ(1+k) variable, k of a Poisson law of mean s: ⟨ψ′(1+k)⟩ + Var ψ(1+k), with the digamma function ψ and its derivative (closed
/// form). For a strong wave 2/s + 1/s².
#[must_use]
pub fn log_variance(s: f64) -> f64 {
    if s > SERIES {
        return 2.0 / s + 1.0 / (s * s);
    }
    let s = s.max(0.0);
    let (mut weight, mut digamma, mut trigamma) = (libm::exp(-s), -EULER, LOG_VARIANCE);
    let (mut mean, mut square, mut inner) = (0.0, 0.0, 0.0);
    for k in 1..=TERMS {
        mean += weight * digamma;
        square += weight * digamma * digamma;
        inner += weight * trigamma;
        let k = f64::from(k);
        weight *= s / k;
        digamma += 1.0 / k;
        trigamma -= 1.0 / (k * k);
    }
    inner + square - mean * mean
}

/// Variance of the power of a wave that was solved from one log reading, W²: (S/(1 − e^(−s)))²·Var(ln X), to first order, since
/// d ln P/dS = (1 − e^(−s))/S; s = S/N. An estimate below zero ([`wave_estimate`](super::wave_estimate)) counts as such.
#[must_use]
pub fn wave_variance(signal_w: f64, noise_w: f64) -> f64 {
    if noise_w <= 0.0 {
        return 0.0;
    }
    let s = signal_w / noise_w;
    // S/(1 − e^(−s)) is N where there is no wave.
    let slope = if s.abs() < 1e-9 {
        noise_w
    } else {
        signal_w / -libm::expm1(-s)
    };
    slope * slope * log_variance(s)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_ends_are_known() {
        // Noise alone: π²/6, 5.57 dB as a standard deviation (reference row C14 and common practice of spectrum analysis).
        assert!((log_variance(0.0) - LOG_VARIANCE).abs() < 1e-15);
        let db = 10.0 / std::f64::consts::LN_10 * libm::sqrt(log_variance(0.0));
        assert!((db - 5.570_043_140_052_504).abs() < 1e-12);
        // Both forms where they meet.
        let (series, mixture) = (log_variance(SERIES * (1.0 + 1e-12)), log_variance(SERIES));
        assert!((series / mixture - 1.0).abs() < 3e-4);
        // A strong wave: that of a small relative change, as of power.
        let strong = wave_variance(1e4, 1.0);
        assert!((strong / (2.0 * 1e4) - 1.0).abs() < 1e-3);
        assert!((wave_variance(0.0, 3.0) - 9.0 * LOG_VARIANCE).abs() < 1e-12);
        assert_eq!(wave_variance(1.0, 0.0).to_bits(), 0.0_f64.to_bits());
    }

    #[test]
    fn a_wave_in_units_of_its_noise() {
        // (S/(1 − e^−s))²·Var(ln X): 3 W in 2 W of noise, and 2 W below nothing; where s is too small, the slope is that at 0, N·(1 + s/2).
        for (signal, noise) in [(3.0, 2.0), (0.6, 4.0), (-2.0, 2.5)] {
            let s: f64 = signal / noise;
            let slope = signal / (1.0 - libm::exp(-s));
            let wanted = slope * slope * log_variance(s);
            assert!((wave_variance(signal, noise) / wanted - 1.0).abs() < 1e-14);
        }
        for s in [1e-12, 2e-9, -1e-12] {
            let found = wave_variance(3.0 * s, 3.0) / (9.0 * LOG_VARIANCE);
            assert!((found - 1.0).abs() < 1e-8, "{s}: {found}");
        }
        assert_eq!(wave_variance(1.0, -1.0).to_bits(), 0.0_f64.to_bits());
    }

    #[test]
    fn it_falls_with_the_wave() {
        // Independent: summed with Python 3.11 in double precision from the same mixture with other bounds.
        for (s, wanted) in [
            (0.1, 1.640_254_264_8),
            (1.0, 1.375_879_244_4),
            (5.0, 0.449_171_469_2),
            (20.0, 0.102_689_282_3),
        ] {
            assert!((log_variance(s) - wanted).abs() < 1e-9, "{s}");
        }
    }
}
