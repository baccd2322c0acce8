//! The power of a wave from a log reading, without bias: what sums need.
//!
//! With l = ln(P/N) + γ of a reading P in noise N, the wave is N·s with Ein(s) = l, Ein the entire exponential integral (ln s + E₁(s) + γ). It
//! rises through 0 at l = 0, which is what noise alone shows on average; readings below that have a solution below zero. A single wave is
//! none of these, but kept in sums they undo what scatter adds on the other side, as differences below zero do for powers.
//!
//! A mean of n logarithms scatters by v(s)/n around l, and s bends upwards: ds/dl = g = s/(1 − e^−s), d²s/dl² = g·g′. Half of that times
//! v/n is taken off (delta method, second order).

use super::NOISE_GONE;
use super::exponential_integral::{EULER, log_plus_e1};
use super::scatter::log_variance;

/// Below e^−20 of the noise a reading is as low as can be: the solution moves by less than the logarithm of the reading's.
const LOWEST: f64 = -20.0;

/// Most steps towards the solution, so that rounding cannot keep it going.
const MOST_STEPS: usize = 100;

/// s of Ein(s) = l.
pub(super) fn solution(l: f64) -> f64 {
    // Ein rises, is concave, and its slope at 0 is 1: from l, which is not above the solution, Newton's steps only go up, and end at it.
    let wanted = l - EULER;
    let mut s = l;
    for _ in 0..MOST_STEPS {
        let next = s + (wanted - log_plus_e1(s)) / slope(s);
        // A NaN ends it too.
        if next > s {
            s = next;
        } else {
            break;
        }
    }
    s
}

/// Ein′(s) = (1 − e^−s)/s, 1 at 0.
fn slope(s: f64) -> f64 {
    if s == 0.0 {
        return 1.0;
    }
    -libm::expm1(-s) / s
}

/// d²s/dl² = g·g′, g = s/(1 − e^−s).
fn bend(s: f64) -> f64 {
    let g = 1.0 / slope(s);
    // g′ = (1 − e^−s − s·e^−s)/(1 − e^−s)² = (1 − (g − s))·g/s, by its series where that is 0/0.
    let prime = if s.abs() < 1e-4 {
        0.5 + s / 6.0
    } else {
        (1.0 + s - g) * g / s
    };
    g * prime
}

/// Power in W of a continuous wave in noise of `noise_w` (its true power) that the mean of `averages` logarithms shows as `shown_w`: an
/// estimate whose mean is right to second order of the scatter, and which may be below zero. `None`: the averages are not known, and what
/// their scatter adds is left in.
///
/// NaN where an argument is negative or not finite.
#[must_use]
pub fn wave_estimate(shown_w: f64, noise_w: f64, averages: Option<f64>) -> f64 {
    if !(shown_w >= 0.0 && noise_w >= 0.0 && shown_w.is_finite() && noise_w.is_finite()) {
        return f64::NAN;
    }
    if noise_w == 0.0 {
        return shown_w;
    }
    let ratio = shown_w / noise_w;
    let s = if ratio > NOISE_GONE {
        ratio
    } else {
        solution((libm::log(ratio) + EULER).max(LOWEST))
    };
    let excess = averages.map_or(0.0, |n| bend(s) * log_variance(s) / (2.0 * n.max(1.0)));
    noise_w * (s - excess)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::correct::detector::{wave_from_log, wave_shown_by_log};

    /// Ein(s) = Σ −(−s)ᵏ/(k·k!), summed from the small terms (closed form).
    fn ein(s: f64) -> f64 {
        let mut terms = Vec::new();
        let mut power = 1.0;
        for k in 1..=120_i32 {
            power *= -s / f64::from(k);
            terms.push(-power / f64::from(k));
        }
        terms.iter().rev().sum()
    }

    #[test]
    fn solutions_on_both_sides() {
        for s in [-3.5, -2.0, -1.0, -0.1, -1e-6, 1e-6, 0.3, 1.9, 2.1, 10.0] {
            let found = solution(ein(s));
            assert!((found - s).abs() < 1e-13 * s.abs().max(1.0), "{s}: {found}");
        }
        assert_eq!(solution(0.0).to_bits(), 0.0_f64.to_bits());
        // The lowest that is asked for.
        let lowest = solution(LOWEST);
        assert!((ein(lowest) - LOWEST).abs() < 1e-12, "{lowest}");
    }

    #[test]
    fn derivatives_are_those_of_differences() {
        for s in [-3.0, -0.5, -2e-4, 0.0, 5e-5, 2e-4, 1.0, 6.0] {
            let l = ein(s);
            let h = 1e-3;
            let (low, mid, high) = (solution(l - h), solution(l), solution(l + h));
            assert!(
                ((high - low) / (2.0 * h) * slope(s) - 1.0).abs() < 1e-5,
                "{s}"
            );
            let second = (high - 2.0 * mid + low) / (h * h);
            assert!(
                (second / bend(s) - 1.0).abs() < 1e-4,
                "{s}: {second} {}",
                bend(s)
            );
        }
    }

    #[test]
    fn the_bend_near_nothing() {
        // g = s/(1 − e^−s) is 1 + s/2 + s²/12 and g′ is ½ + s/6 (Bernoulli's numbers): g·g′ = ½ + 5s/12 + O(s²).
        for s in [-9e-5, 3e-5, 9e-5, 1.1e-4] {
            let wanted = 0.5 + 5.0 * s / 12.0;
            assert!((bend(s) - wanted).abs() < 1e-8, "{s}: {}", bend(s));
        }
    }

    #[test]
    fn a_wave_well_above_comes_back() {
        for s in [0.2, 1.0, 8.0, 39.0, 41.0, 1e5] {
            let shown = wave_shown_by_log(s * 3e-12, 3e-12);
            let plain = wave_estimate(shown, 3e-12, None);
            let first = wave_from_log(shown, 3e-12).unwrap_or(f64::NAN);
            assert!((plain / first - 1.0).abs() < 1e-12, "{s}");
            // A strong wave: the variance 2/s of its logarithm adds N/n.
            let less = (plain - wave_estimate(shown, 3e-12, Some(4.0))) / 3e-12;
            if s > 1e4 {
                assert!((less - 0.25).abs() < 1e-3, "{less}");
            }
        }
        assert_eq!(
            wave_estimate(5e-9, 0.0, Some(1.0)).to_bits(),
            5e-9_f64.to_bits()
        );
    }

    #[test]
    fn odd_arguments_give_no_panic() {
        for odd in [f64::NAN, f64::INFINITY, -1.0] {
            assert!(wave_estimate(odd, 1.0, None).is_nan());
            assert!(wave_estimate(1.0, odd, None).is_nan());
        }
        let nothing = wave_estimate(0.0, 2.0, Some(1.0));
        assert!(nothing < 0.0 && nothing > -20.0, "{nothing}");
        assert!(wave_estimate(1e-310, 1e-310, Some(1.0)).is_finite());
    }
}
