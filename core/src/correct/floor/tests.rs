//! Floors by words, and what taking them off leaves of samples written one by one.

#![allow(clippy::unwrap_used)]

use super::*;
use crate::correct::detector::wave_shown_by_log;
use crate::correct::noise::AveragesFrom;
use crate::correct::testing::{mhz, same, silent, sphere};
use crate::error::Group;
use crate::model::{Layout, Polarisation};
use crate::unit::Frequency;
use std::f64::consts::{FRAC_PI_4, PI};

/// −90 dBm and −80 dBm are 1 pW and 10 pW (closed form: 10^(x/10) mW).
const FLOORS: &str = "theta=-90,phi=-80";
/// e^γ (closed form; γ = 0.577 215 664 901 532 9).
const E_GAMMA: f64 = 1.781_072_417_990_198;

fn floor(text: &str, detector: Detector, signal: Signal) -> Floor {
    Floor::new(text.parse().unwrap(), detector, signal)
}

/// Three rings of three columns, every sample measured: (1 + direction + 20·polarisation + 100·frequency)·10 pW.
fn steps(quantity: Quantity, layout: Layout, frequencies: &[Option<Frequency>]) -> Sphere {
    sphere(quantity, layout, (2, 3), frequencies, shown)
}

fn shown((f, p, d): (usize, usize, usize)) -> f64 {
    (1 + d + 20 * p + 100 * f) as f64 * 1e-11
}

#[test]
fn floors_are_read_from_words_and_written_as_such() {
    for (text, written) in [
        ("-95.5", "theta=-95.5,phi=-95.5"),
        ("theta=-95,phi=-97.5", "theta=-95,phi=-97.5"),
        ("phi = -97.5 , theta= -95", "theta=-95,phi=-97.5"),
        ("-400", "theta=-400,phi=-400"),
        ("theta=100,phi=-400", "theta=100,phi=-400"),
        ("estimated", "estimated"),
    ] {
        let source: FloorSource = text.parse().unwrap();
        assert_eq!(source.to_string(), written, "{text}");
    }
    for (text, says) in [
        ("about -95", "\"about -95\" is no noise floor"),
        ("-400.1", "is no noise floor"),
        ("100.1", "is no noise floor"),
        ("nan", "is no noise floor"),
        ("theta=-95,theta=-95,phi=-97", "is no noise floor"),
        ("gamma=-95,phi=-97", "is no noise floor"),
        ("theta,phi=-97", "is no noise floor"),
        ("theta=-95", "the floor of the phi polarisation is missing"),
        ("phi=-95", "the floor of the theta polarisation is missing"),
    ] {
        let error = text.parse::<FloorSource>().unwrap_err();
        assert!(error.message().contains(says), "{text}: {error}");
        assert!(
            error
                .advice()
                .is_some_and(|a| a.contains("theta=DBM,phi=DBM"))
        );
        assert_eq!(error.group(), Group::Usage);
    }
    let noise = silent(None, &[(None, Polarisation::Theta, &[1e-12])]);
    let read = FloorSource::Readings(Box::new(noise));
    assert_eq!(read.to_string(), "silent.csv");
    let of = |source| Floor::new(source, Detector::Rms, Signal::Cw).quantity();
    assert_eq!(of(read), Some(Quantity::Eirp));
    assert_eq!(of(FloorSource::Estimated), None);
}

#[test]
fn an_rms_detector_shows_the_sum() {
    // S = P − N of each polarisation; a pole of EIRP holds half of the total, and half of both floors: 5.5 pW.
    let floor = floor(FLOORS, Detector::Rms, Signal::Cw);
    let frequencies = [None, mhz("868.3")];
    let quiet = take_off(
        steps(Quantity::Eirp, Layout::ThetaPhi, &frequencies),
        &floor,
    )
    .unwrap();
    let values = quiet.sphere.power().unwrap();
    for (at, value) in values.indexed_iter() {
        let level = match at {
            (_, _, 0..=2 | 6..=8) => 5.5e-12,
            (_, 0, _) => 1e-12,
            _ => 1e-11,
        };
        same(*value, shown(at) - level);
        same(quiet.noise.raw[at], shown(at));
    }
    assert!(quiet.sphere.states().iter().all(|s| *s == State::Measured));
    let noise = &quiet.noise;
    assert_eq!(
        (noise.averages, noise.averages_from),
        (1.0, AveragesFrom::Assumed)
    );
    assert_eq!((noise.detector, noise.signal), (Detector::Rms, Signal::Cw));
    assert!(!noise.is_estimated);
    same(noise.level(1, 1).unwrap().power_w, 1e-11);
    assert_eq!(
        quiet.step.did,
        [
            "unknown frequency: theta -90.00 dBm, phi -80.00 dBm",
            "868.3 MHz: theta -90.00 dBm, phi -80.00 dBm",
        ]
    );
    let options: Vec<(&str, &str)> = quiet
        .step
        .options
        .iter()
        .map(|(k, v)| (k.as_str(), v.as_str()))
        .collect();
    assert_eq!(
        options,
        [("detector", "rms"), ("floor", FLOORS), ("signal", "cw")]
    );
    assert_eq!(quiet.step.step, "floor");

    // Received power has no total: each polarisation's pole has its own floor. A total alone has one floor, of both.
    let received = steps(Quantity::ReceivedPower, Layout::ThetaPhi, &[None]);
    let quiet = take_off(received, &floor).unwrap();
    let values = quiet.sphere.power().unwrap();
    same(values[(0, 0, 0)], 1e-11 - 1e-12);
    same(values[(0, 1, 8)], 29e-11 - 1e-11);
    let quiet = take_off(steps(Quantity::Eirp, Layout::TotalOnly, &[None]), &floor).unwrap();
    for (at, value) in quiet.sphere.power().unwrap().indexed_iter() {
        same(*value, shown(at) - 1.1e-11);
    }
}

#[test]
fn marks_and_gaps_stay_what_they_are() {
    let mut parts = steps(Quantity::Eirp, Layout::ThetaPhi, &[None]).into_parts();
    for (at, state) in [
        ((0, 0, 3), State::Missing),
        ((0, 0, 4), State::Filled),
        ((0, 0, 5), State::AtMost),
        ((0, 1, 3), State::AtLeast),
        ((0, 1, 4), State::AtLeast),
    ] {
        parts.states[at] = state;
    }
    let bound = |at, lower, upper| Bound { at, lower, upper };
    parts.bounds = vec![
        bound((0, 0, 4), 1e-11, Some(9e-11)),
        bound((0, 0, 5), 2e-11, Some(8e-11)),
        bound((0, 1, 3), 3e-11, None),
        bound((0, 1, 4), 0.4e-11, None),
    ];
    let quiet = take_off(
        parts.clone().build().unwrap(),
        &floor(FLOORS, Detector::Rms, Signal::Cw),
    )
    .unwrap();
    let values = quiet.sphere.power().unwrap();
    for d in 3..=5 {
        same(values[(0, 0, d)], shown((0, 0, d)));
    }
    // At least X: X − N, and never below nothing.
    same(values[(0, 1, 3)], 24e-11 - 1e-11);
    same(values[(0, 1, 4)], 25e-11 - 1e-11);
    assert_eq!(quiet.sphere.states(), &parts.states);
    let bounds = quiet.sphere.bounds();
    assert_eq!(bounds.len(), 4);
    assert_eq!(bounds[..2], parts.bounds[..2]);
    same(bounds[2].lower, 2e-11);
    assert_eq!((bounds[2].upper, bounds[3].upper), (None, None));
    assert_eq!(bounds[3].lower.to_bits(), 0.0_f64.to_bits());
    assert_eq!(quiet.step.did.len(), 1);
}

#[test]
fn a_log_detector_is_solved_for_the_wave() {
    // −90 dBm of averaged logarithms are noise of e^γ pW, which alone shows 1 pW (closed form). Theta shows 0.5 pW and 0.1 pW at two
    // directions, the rest is strong.
    let (half, tenth) = ((0, 0, 3), (0, 0, 5));
    let power = |at| match at {
        _ if at == half => 0.5e-12,
        _ if at == tenth => 0.1e-12,
        other => shown(other),
    };
    let whole = sphere(Quantity::Eirp, Layout::ThetaPhi, (2, 3), &[None], power);
    let floor = floor("-90", Detector::Log, Signal::Cw).with_averages(Some(4.0));
    let quiet = take_off(whole, &floor).unwrap();
    let (noise, values) = (&quiet.noise, quiet.sphere.power().unwrap());
    let level = noise.level(0, 0).unwrap().power_w;
    same(level, E_GAMMA * 1e-12);
    assert_eq!(
        (noise.averages, noise.averages_from),
        (4.0, AveragesFrom::Said)
    );
    for (at, value) in values.indexed_iter() {
        same(*value, wave_estimate(power(at), level, Some(4.0)));
        let low = at == half || at == tenth;
        let state = if low { State::AtMost } else { State::Measured };
        assert_eq!(quiet.sphere.states()[at], state, "{at:?}");
        assert_eq!(*value < 0.0, low, "{at:?}");
    }
    // Two deviations of four averages, √(π²/6/4) each, higher: 0.5 pW become 1.80 pW, which the upper bound shows. 0.1 pW stay below what
    // noise shows: 1 pW is moved instead.
    let higher = libm::exp(2.0 * PI / libm::sqrt(24.0));
    let bounds = quiet.sphere.bounds();
    assert_eq!(bounds.len(), 2);
    for (bound, (at, moved)) in bounds.iter().zip([(half, 0.5e-12), (tenth, 1e-12)]) {
        assert_eq!(bound.at, at);
        same(bound.lower, values[at]);
        let upper = bound.upper.unwrap();
        same(wave_shown_by_log(upper, level), moved * higher);
    }
    assert_eq!(
        quiet.step.did,
        [
            "unknown frequency: theta -87.49 dBm, phi -87.49 dBm",
            "2 samples show less than the noise alone, and are at most what their scatter lets them be",
        ]
    );
    let averages = quiet.step.options.get("averages").map(String::as_str);
    assert_eq!(averages, Some("4"));
}

#[test]
fn an_overload_below_the_noise_stays_at_least() {
    // A reading of at least 0.5 pW where noise alone shows 1 pW says nothing of the wave: at least nothing, at most anything.
    let at = (0, 0, 4);
    let mut parts = steps(Quantity::Eirp, Layout::ThetaPhi, &[None]).into_parts();
    let Data::Power(values) = &mut parts.data else {
        unreachable!("powers");
    };
    values[at] = 0.5e-12;
    parts.states[at] = State::AtLeast;
    parts.bounds = vec![Bound {
        at,
        lower: 0.5e-12,
        upper: None,
    }];
    let floor = floor("-90", Detector::Log, Signal::Cw);
    let quiet = take_off(parts.build().unwrap(), &floor).unwrap();
    assert_eq!(quiet.sphere.states()[at], State::AtLeast);
    let [bound] = quiet.sphere.bounds() else {
        unreachable!("one sample is marked");
    };
    assert_eq!((bound.at, bound.lower, bound.upper), (at, 0.0, None));
    assert_eq!(quiet.step.did.len(), 1);
}

#[test]
fn a_signal_like_noise_is_a_mean_logarithm_too() {
    // Many averages, as where nobody said how many: both read low by e^γ, S = e^γ·(P − 1 pW).
    let whole = || steps(Quantity::Eirp, Layout::ThetaPhi, &[None]);
    let plain = floor("-90", Detector::Log, Signal::NoiseLike);
    let quiet = take_off(whole(), &plain).unwrap();
    for (at, value) in quiet.sphere.power().unwrap().indexed_iter() {
        same(*value, E_GAMMA * (shown(at) - 1e-12));
    }
    // Of two averages the mean is Γ(3/2)² = π/4 of the power (closed form).
    let two = plain.with_averages(Some(2.0));
    let quiet = take_off(whole(), &two).unwrap();
    for (at, value) in quiet.sphere.power().unwrap().indexed_iter() {
        same(*value, shown(at) / FRAC_PI_4 - E_GAMMA * 1e-12);
    }
}

#[test]
fn averages_of_the_floor_stand_in_the_step() {
    let mut floor = floor(FLOORS, Detector::Rms, Signal::NoiseLike);
    if let FloorSource::Levels { averages, .. } = &mut floor.source {
        *averages = Some(25.0);
    }
    let quiet = take_off(steps(Quantity::Eirp, Layout::ThetaPhi, &[None]), &floor).unwrap();
    let said = quiet.step.options.get("floor-averages");
    assert_eq!(said.map(String::as_str), Some("25"));
    // Power of 25 averages: N/√25 (closed form).
    same(quiet.noise.level(0, 1).unwrap().standard_w.unwrap(), 2e-12);
}

#[test]
fn floors_are_for_powers_of_their_own_quantity() {
    let plain = floor(FLOORS, Detector::Rms, Signal::Cw);
    for quantity in [Quantity::Gain, Quantity::Eis, Quantity::Relative] {
        let error = take_off(steps(quantity, Layout::ThetaPhi, &[None]), &plain).unwrap_err();
        let wanted =
            format!("a noise floor is subtracted from powers, and the readings are of {quantity}");
        assert_eq!(error.message(), wanted);
        assert_eq!(error.group(), Group::Usage);
    }
    let groups: [(Option<Frequency>, Polarisation, &[f64]); 2] = [
        (None, Polarisation::Theta, &[1e-12]),
        (None, Polarisation::Phi, &[1e-12]),
    ];
    let read = FloorSource::Readings(Box::new(silent(None, &groups)));
    let floor = Floor::new(read, Detector::Rms, Signal::Cw);
    let error = take_off(
        steps(Quantity::ReceivedPower, Layout::ThetaPhi, &[None]),
        &floor,
    )
    .unwrap_err();
    assert!(
        error
            .message()
            .contains("another quantity than the readings of received")
    );
    assert!(take_off(steps(Quantity::Eirp, Layout::ThetaPhi, &[None]), &floor).is_ok());
}

#[test]
fn an_estimated_floor_says_that_it_is_one() {
    let floor = Floor::new(FloorSource::Estimated, Detector::Rms, Signal::Cw);
    let quiet = take_off(steps(Quantity::Eirp, Layout::ThetaPhi, &[None]), &floor).unwrap();
    assert!(quiet.noise.is_estimated);
    assert_eq!(quiet.noise.level(0, 0).unwrap().standard_w, None);
}
