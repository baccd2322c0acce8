//! Variances by hand, and what a floor becomes behind a range loss.

#![allow(clippy::unwrap_used)]

use super::*;
use crate::correct::detector::log_variance;
use crate::correct::testing::{mhz, noise, same, sphere, within};
use crate::model::{Curve, Layout, Quantity};
use std::f64::consts::PI;

fn of(detector: Detector, signal: Signal, averages: f64) -> Noise {
    let raw = Array3::from_shape_fn((1, 2, 3), |(_, p, d)| (10 + 10 * p + d) as f64);
    let levels = vec![vec![Level::new(3.0, Some(0.5)), Level::new(7.0, None)]];
    noise(levels, averages, detector, signal, raw)
}

#[test]
fn words_name_detectors_and_signals() {
    for (detector, word) in [(Detector::Rms, "rms"), (Detector::Log, "log")] {
        assert_eq!(
            (detector.as_str(), detector.to_string().as_str()),
            (word, word)
        );
        assert_eq!(word.parse::<Detector>().unwrap(), detector);
    }
    for (signal, word) in [(Signal::Cw, "cw"), (Signal::NoiseLike, "noise-like")] {
        assert_eq!((signal.as_str(), signal.to_string().as_str()), (word, word));
        assert_eq!(word.parse::<Signal>().unwrap(), signal);
    }
    let error = "peak".parse::<Detector>().unwrap_err();
    assert_eq!(error.message(), "there is no detector \"peak\"");
    assert_eq!(error.advice(), Some("detector: rms log"));
}

#[test]
fn variances_by_hand() {
    // The table of `Noise::variance`, with N = 3, S = 5, P = 8.
    let level = Level::new(3.0, None);
    let of = |detector, signal, n| of(detector, signal, n).variance(level, 5.0, 8.0);
    // (2·3·8 − 9)/4 and 64/5.
    same(of(Detector::Rms, Signal::Cw, 4.0), 9.75);
    same(of(Detector::Rms, Signal::NoiseLike, 4.0), 12.8);
    // (S/(1 − e^−s))²·Var(ln X)/n, s = 5/3.
    let s = 5.0 / 3.0;
    let slope = 5.0 / (1.0 - libm::exp(-s));
    let wanted = slope * slope * log_variance(s) / 4.0;
    same(of(Detector::Log, Signal::Cw, 4.0), wanted);
    // One average: r = 1. Two: 1 + r = 16/π².
    same(of(Detector::Log, Signal::NoiseLike, 1.0), 32.0);
    let two = 64.0 * (1.0 - PI * PI / 16.0);
    same(of(Detector::Log, Signal::NoiseLike, 2.0), two);
}

#[test]
fn noise_alone_scatters_at_least() {
    // N²/n of power, N²·(π²/6)/n of logarithms.
    let level = Level::new(3.0, None);
    same(
        of(Detector::Rms, Signal::Cw, 4.0).least_variance(level),
        2.25,
    );
    let wanted = 9.0 * PI * PI / 24.0;
    same(
        of(Detector::Log, Signal::Cw, 4.0).least_variance(level),
        wanted,
    );
    assert_eq!(of(Detector::Rms, Signal::Cw, 1.0).shown_of_noise(), 1.0);
    // e^−γ.
    let share = of(Detector::Log, Signal::Cw, 1.0).shown_of_noise();
    same(share, 0.561_459_483_566_885_2);
}

#[test]
fn what_was_shown_is_read_or_for_a_gap_computed() {
    let at = (0, 1, 2);
    for state in [State::Measured, State::AtMost, State::AtLeast] {
        for detector in [Detector::Rms, Detector::Log] {
            assert_eq!(of(detector, Signal::Cw, 4.0).shown(at, 5.0, state), 22.0);
        }
    }
    for state in [State::Filled, State::Missing] {
        let of = |detector, signal, value| of(detector, signal, 4.0).shown(at, value, state);
        assert_eq!(of(Detector::Rms, Signal::Cw, 5.0), 12.0);
        assert_eq!(of(Detector::Rms, Signal::NoiseLike, 5.0), 12.0);
        // e^−γ of the sum; S·exp(E₁(S/N)), with E₁(1) of Abramowitz and Stegun, table 5.1; of less than nothing, that of nothing.
        let e_gamma = 0.561_459_483_566_885_2;
        same(of(Detector::Log, Signal::NoiseLike, 5.0), 12.0 * e_gamma);
        let wanted = 7.0 * libm::exp(0.219_383_934_4);
        within(of(Detector::Log, Signal::Cw, 7.0), wanted, 1e-10);
        same(of(Detector::Log, Signal::Cw, -5.0), 7.0 * e_gamma);
    }
    // Out of range: the value itself.
    let rms = of(Detector::Rms, Signal::Cw, 4.0);
    assert_eq!(rms.shown((0, 2, 0), 5.0, State::Filled), 5.0);
    assert_eq!(rms.shown((0, 0, 3), 5.0, State::Measured), 5.0);
    assert_eq!(rms.level(0, 1), Some(Level::new(7.0, None)));
    assert_eq!((rms.level(0, 2), rms.level(1, 0)), (None, None));
}

#[test]
fn an_assumed_number_of_averages_is_not_known() {
    let mut log = of(Detector::Log, Signal::NoiseLike, 2.0);
    assert_eq!(log.known_averages(), Some(2.0));
    // Two averages show π/4 of the power; unknown ones are taken for many, e^−γ.
    same(log.power_of_log(PI), 4.0);
    log.averages_from = AveragesFrom::Scatter;
    assert_eq!(log.known_averages(), Some(2.0));
    log.averages_from = AveragesFrom::Assumed;
    assert_eq!(log.known_averages(), None);
    same(log.power_of_log(PI), PI * 1.781_072_417_990_198);
}

#[test]
fn a_range_loss_lifts_signal_and_noise() {
    let frequencies = [mhz("860"), mhz("870")];
    let mut curve = Curve::new("loss.csv");
    for (frequency, theta, phi) in [("860", 10.0, 20.0), ("870", 30.0, 40.0)] {
        let frequency = mhz(frequency).unwrap();
        curve.push(Polarisation::Theta, frequency, theta).unwrap();
        curve.push(Polarisation::Phi, frequency, phi).unwrap();
    }
    let loss = RangeLoss::curve(curve).unwrap();
    let eirp = |layout| sphere(Quantity::Eirp, layout, (2, 1), &frequencies, |_| 1.0);
    let level = |x: f64| Level::new(x, Some(0.1 * x));
    let raw = Array3::from_shape_fn((2, 2, 3), |(f, p, d)| (1 + f + 2 * p + 4 * d) as f64);
    let levels = vec![vec![level(1.0), level(2.0)], vec![level(3.0), level(4.0)]];
    let both = noise(levels, 4.0, Detector::Rms, Signal::Cw, raw.clone());
    let lifted = both.through(&loss, &eirp(Layout::ThetaPhi)).unwrap();
    // 10^(loss/10).
    let factor = [[10.0, 100.0], [1e3, 1e4]];
    for ((f, p, d), value) in lifted.raw.indexed_iter() {
        same(*value, factor[f][p] * raw[(f, p, d)]);
        let (level, was) = (lifted.level(f, p).unwrap(), (1 + p + 2 * f) as f64);
        same(level.power_w, factor[f][p] * was);
        same(level.standard_w.unwrap(), factor[f][p] * 0.1 * was);
    }
    // A total has that of theta.
    let raw = Array3::from_elem((2, 1, 3), 5.0);
    let levels = vec![vec![level(1.0)], vec![Level::new(2.0, None)]];
    let total = noise(levels, 4.0, Detector::Rms, Signal::Cw, raw);
    let lifted = total.through(&loss, &eirp(Layout::TotalOnly)).unwrap();
    same(lifted.raw[(1, 0, 2)], 5e3);
    same(lifted.level(1, 0).unwrap().power_w, 2e3);
    assert_eq!(lifted.level(1, 0).unwrap().standard_w, None);
}
