//! What a receiver that averages decibels does to noise and to a signal in it.
//!
//! A receiver that averages power (rms) shows the sum of signal and noise. One that averages the logarithm shows less: Gaussian noise reads
//! low by e^γ (2.5068 dB, γ Euler's constant), and a continuous wave of power S in noise of power N reads
//! S·exp(E₁(S/N)), E₁ the exponential integral. Both follow from ⟨ln X⟩ of X, a central or noncentral χ² variable of two degrees of
//! freedom (closed form of common practice; the tests derive it a second way).
//!
//! Nothing here subtracts anything: these are the relations between what is shown and what is there.

mod averaged;
mod estimate;
mod exponential_integral;
mod scatter;

pub use averaged::{noise_from_log_of, relative_variance_of_log};
pub use estimate::wave_estimate;
pub use scatter::{LOG_VARIANCE, log_variance, wave_variance};

use exponential_integral::{EULER, log_plus_e1};

/// Ratio above which the noise changes a log reading by less than rounding does: E₁(40) = 1.0e-19.
const NOISE_GONE: f64 = 40.0;

/// Power in W of Gaussian noise of which the mean of the logarithm shows `shown_w`: e^γ times as much, +2.5068 dB. It holds for
/// a floor, and for a signal that is itself like noise, with the floor in it.
#[must_use]
pub fn noise_from_log(shown_w: f64) -> f64 {
    shown_w * libm::exp(EULER)
}

/// Share of the power of Gaussian noise that the mean of its logarithm shows: e^−γ, −2.5068 dB.
#[must_use]
pub fn noise_shown_by_log() -> f64 {
    libm::exp(-EULER)
}

/// What the mean of the logarithm shows, W, for a continuous wave of `signal_w` in noise of `noise_w` (its true power):
/// S·exp(E₁(S/N)), and N·e^−γ without a wave.
///
/// NaN where one of them is negative or not a number.
#[must_use]
pub fn wave_shown_by_log(signal_w: f64, noise_w: f64) -> f64 {
    if !(signal_w >= 0.0 && noise_w >= 0.0) {
        return f64::NAN;
    }
    if noise_w == 0.0 || signal_w / noise_w > NOISE_GONE {
        return signal_w;
    }
    noise_w * libm::exp(log_plus_e1(signal_w / noise_w))
}

/// Power in W of a continuous wave that the mean of the logarithm shows as `shown_w` in noise of `noise_w` (its true power, see
/// [`noise_from_log`]): the solution S of P = S·exp(E₁(S/N)).
///
/// `None` where there is none: the reading lies below N·e^−γ, which is what noise alone shows, so that the wave is at most what the scatter
/// of the reading lets it be; or an argument is negative or not finite.
#[must_use]
pub fn wave_from_log(shown_w: f64, noise_w: f64) -> Option<f64> {
    if !(shown_w >= 0.0 && noise_w >= 0.0 && shown_w.is_finite() && noise_w.is_finite()) {
        return None;
    }
    if noise_w == 0.0 || shown_w / noise_w > NOISE_GONE {
        return Some(shown_w);
    }
    let wanted = libm::log(shown_w / noise_w);
    if wanted < -EULER {
        return None;
    }
    Some(estimate::solution(wanted + EULER) * noise_w)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    fn db(ratio: f64) -> f64 {
        10.0 * libm::log10(ratio)
    }

    /// ⟨ln X⟩ another way: noncentral χ² of two degrees of freedom is a Γ(1+k) variable, k of a Poisson law of mean s, and
    /// ⟨ln Γ(1+k)⟩ = −γ + 1 + 1/2 + … + 1/k (closed form).
    fn mean_log_by_mixture(s: f64) -> f64 {
        let (mut weight, mut harmonic, mut sum) = (libm::exp(-s), 0.0, 0.0);
        for k in 1..1000_u32 {
            sum += weight * harmonic;
            weight *= s / f64::from(k);
            harmonic += 1.0 / f64::from(k);
        }
        sum - EULER
    }

    #[test]
    fn noise_alone_reads_2_51_db_low() {
        // 2.51 dB: common practice of spectrum analysis. The digits: 10γ/ln 10.
        assert!((db(noise_from_log(1.0)) - 2.5068).abs() < 5e-5);
        let shown = wave_shown_by_log(0.0, 3e-12);
        assert!((noise_from_log(shown) / 3e-12 - 1.0).abs() < 1e-15);
        assert!((noise_from_log(noise_shown_by_log()) - 1.0).abs() < 1e-15);
    }

    #[test]
    fn a_wave_in_noise_reads_what_the_mixture_says() {
        for s in [
            1e-6, 0.01, 0.3, 1.0, 1.5, 3.0, 10.0, 30.0, 39.0, 41.0, 300.0,
        ] {
            let shown = wave_shown_by_log(s * 2e-12, 2e-12) / 2e-12;
            let expected = libm::exp(mean_log_by_mixture(s));
            assert!(
                (shown / expected - 1.0).abs() < 1e-13,
                "{s}: {shown} {expected}"
            );
        }
    }

    #[test]
    fn without_noise_to_speak_of_the_wave_is_shown() {
        // Above 40 times the noise nothing is computed at all, and the wave is shown to the last bit.
        for (signal, noise) in [(3e-9, 7e-13), (1.1e-10, 2.7e-12), (5e-9, 0.0)] {
            let shown = wave_shown_by_log(signal, noise);
            assert_eq!(shown.to_bits(), signal.to_bits());
            assert_eq!(wave_from_log(signal, noise), Some(signal));
        }
    }

    #[test]
    fn the_wave_comes_back() {
        for noise in [1.0, 7e-13] {
            for s in [1e-3, 0.1, 0.5, 1.0, 2.0, 8.0, 39.9, 40.1, 1e6] {
                let shown = wave_shown_by_log(s * noise, noise);
                let back = wave_from_log(shown, noise).unwrap() / noise;
                // A small wave moves the reading by s alone, which rounding of a reading of about 0.56 leaves to 1e-16.
                assert!((back - s).abs() <= 1e-14 * s + 1e-15, "{s}: {back}");
            }
        }
    }

    #[test]
    fn below_what_noise_shows_there_is_no_wave() {
        let alone = wave_shown_by_log(0.0, 1.0);
        assert!(wave_from_log(alone * 0.999_999, 1.0).is_none());
        assert!(wave_from_log(alone * 1.000_001, 1.0).unwrap() < 2e-6);
        assert!(wave_from_log(0.0, 1.0).is_none());
        assert_eq!(wave_from_log(5e-9, 0.0), Some(5e-9));
    }

    #[test]
    fn odd_arguments_give_no_panic() {
        for odd in [f64::NAN, f64::INFINITY, -1.0] {
            assert!(wave_from_log(odd, 1.0).is_none());
            assert!(wave_from_log(1.0, odd).is_none());
        }
        assert!(wave_shown_by_log(-1.0, 1.0).is_nan());
        assert!(wave_shown_by_log(f64::NAN, 1.0).is_nan());
        assert!(wave_from_log(1e-310, 1e-310).unwrap() >= 0.0);
    }
}
