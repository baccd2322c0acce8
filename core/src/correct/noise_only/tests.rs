//! Groups of noise-only readings, their means and their scatter by hand.

#![allow(clippy::unwrap_used)]

use super::*;
use crate::correct::testing::{mhz, readings, same, silent};
use crate::error::Group as ErrorGroup;
use crate::limits::Limits;
use crate::model::Reading;
use Polarisation::{Phi, Theta, Total};
use std::f64::consts::{FRAC_PI_4, PI};

#[test]
fn groups_are_apart() {
    let (low, high) = (mhz("860"), mhz("870"));
    let noise = silent(
        None,
        &[
            (low, Theta, &[3.0, 1.0, 2.0]),
            (high, Theta, &[5.0, 7.0]),
            (low, Phi, &[11.0]),
            (low, Theta, &[6.0]),
        ],
    );
    let mean = |p, f| Some(noise.level(p, f, Detector::Rms, 1.0)?.power_w);
    assert_eq!(mean(Theta, low), Some(3.0));
    assert_eq!(mean(Theta, high), Some(6.0));
    assert_eq!(mean(Phi, low), Some(11.0));
    assert_eq!((mean(Phi, high), mean(Total, low)), (None, None));
    assert_eq!(
        (noise.count(Theta), noise.count(Phi), noise.count(Total)),
        (6, 1, 0)
    );
    assert_eq!(noise.frequencies(Theta), ["860 MHz", "870 MHz"]);
    assert_eq!(noise.frequencies(Phi), ["860 MHz"]);
    assert_eq!(
        (noise.quantity(), noise.source()),
        (Quantity::Eirp, "silent.csv")
    );
    assert_eq!(noise.averages(), None);
    // Readings without a frequency stand for all, and come second.
    let noise = silent(None, &[(None, Theta, &[4.0]), (low, Theta, &[9.0])]);
    let mean = |f| Some(noise.level(Theta, f, Detector::Rms, 1.0)?.power_w);
    assert_eq!(
        (mean(low), mean(high), mean(None)),
        (Some(9.0), Some(4.0), Some(4.0))
    );
    assert_eq!(noise.frequencies(Theta), ["860 MHz"]);
}

#[test]
fn levels_and_their_uncertainty() {
    // Power of 4 readings of 9 averages: the mean, and N/√36.
    let rms = silent(None, &[(None, Theta, &[1.0, 2.0, 4.0, 5.0])]);
    let level = rms.level(Theta, None, Detector::Rms, 9.0).unwrap();
    same(level.power_w, 3.0);
    same(level.standard_w.unwrap(), 0.5);
    // Two logarithms, of one average each: the geometric mean 4 over Γ(3/2)² = π/4, of relative variance (4/π)² − 1 (closed form).
    let log = silent(None, &[(None, Theta, &[2.0, 8.0])]);
    let level = log.level(Theta, None, Detector::Log, 1.0).unwrap();
    let power = 4.0 / FRAC_PI_4;
    same(level.power_w, power);
    let relative = libm::sqrt(1.0 / (FRAC_PI_4 * FRAC_PI_4) - 1.0);
    same(level.standard_w.unwrap(), power * relative);
}

/// Four values lower and four higher by a factor or difference; a ninth in the middle.
fn around(below: f64, middle: Option<f64>, above: f64) -> Vec<f64> {
    let pairs = [below, above].repeat(4);
    pairs.into_iter().chain(middle).collect()
}

#[test]
fn scatter_tells_averages() {
    // Eight values a(1 ± d) have a variance of 8a²d²/7; nine with one in the middle, 8a²d²/8. Weighted by 7 and 8 they make
    // (8·0.1² + 8·0.3²)/15 of the squared mean, and its reciprocal are the averages (closed form). Seven readings do not count.
    let first = around(0.9, None, 1.1);
    let second = around(3.5, Some(5.0), 6.5);
    let few = [1.0, 9.0, 1.0, 9.0, 1.0, 9.0, 1.0];
    let noise = silent(
        None,
        &[
            (None, Theta, &first),
            (None, Phi, &second),
            (None, Total, &few),
        ],
    );
    let found = noise.averages_by_scatter(Detector::Rms).unwrap();
    same(found, 15.0 / 0.8);
    // Logarithms ±d, of variance π²/6 each.
    let of = |a: f64, d: f64| (a * libm::exp(-d), a, a * libm::exp(d));
    let ((low, _, high), (lower, middle, higher)) = (of(1.0, 0.1), of(5.0, 0.3));
    let first = around(low, None, high);
    let second = around(lower, Some(middle), higher);
    let noise = silent(
        None,
        &[
            (None, Theta, &first),
            (None, Phi, &second),
            (None, Total, &few),
        ],
    );
    let found = noise.averages_by_scatter(Detector::Log).unwrap();
    same(found, 15.0 / 0.8 * PI * PI / 6.0);
}

#[test]
fn scatter_that_tells_nothing() {
    let of =
        |values: &[f64]| silent(None, &[(None, Theta, values)]).averages_by_scatter(Detector::Rms);
    // Fewer than eight, none that differ, and a relative variance of 8·0.001²/7.
    assert_eq!(of(&[1.0, 2.0, 1.0, 2.0, 1.0, 2.0, 1.0]), None);
    assert_eq!(of(&[1.0; 9]), None);
    assert_eq!(of(&around(0.999, None, 1.001)), None);
    same(of(&around(0.98, None, 1.02)).unwrap(), 7.0 / (8.0 * 4e-4));
    // More scatter than one average has is that of one.
    let wild = silent(None, &[(None, Theta, &around(0.05, None, 20.0))]);
    assert_eq!(wild.averages_by_scatter(Detector::Log), Some(1.0));
}

#[test]
fn readings_that_are_no_noise() {
    let error = NoiseOnly::of(&readings(Quantity::Gain, &[])).unwrap_err();
    assert_eq!(error.group(), ErrorGroup::Input);
    assert_eq!(
        error.message(),
        "a noise floor is a power, and these are readings of gain"
    );
    assert_eq!(
        error.place().map(|p| (p.source.as_deref(), p.line)),
        Some((Some("silent.csv"), None))
    );
    assert!(NoiseOnly::of(&readings(Quantity::ReceivedPower, &[])).is_ok());
    for (value, mark, line, told) in [
        (0.0, Mark::Exact, 3, Some(3)),
        (1.0, Mark::AtMost, 1, Some(1)),
        (1.0, Mark::AtLeast, 0, None),
    ] {
        let limits = Limits::default();
        let mut all = Readings::new("silent.csv", Quantity::Eirp, &limits);
        let frequency = all.frequency_index(None, &limits).unwrap();
        all.push(Reading {
            frequency,
            theta_deg: 0.0,
            phi_deg: 0.0,
            polarisation: Theta,
            value: Value::Power(value),
            mark,
            line,
        })
        .unwrap();
        let error = NoiseOnly::of(&all).unwrap_err();
        assert_eq!(
            error.message(),
            "a noise-only reading is marked, or not above 0 W"
        );
        assert_eq!(error.place().and_then(|p| p.line), told);
    }
}

#[test]
fn the_file_says_its_averages() {
    let said = |key: &str, text: &str| {
        let mut all = readings(Quantity::Eirp, &[]);
        all.add_metadata("operator", "7");
        all.add_metadata(key, text);
        said_averages(&all)
    };
    for (text, wanted) in [("25", 25.0), (" 1 ", 1.0), ("1e12", 1e12), ("1.5", 1.5)] {
        assert_eq!(said("averages", text).unwrap(), Some(wanted));
    }
    assert_eq!(said("Averages", "25").unwrap(), Some(25.0));
    assert_eq!(said("averaged", "25").unwrap(), None);
    for text in ["0.99", "1.01e12", "many", "nan", "-4"] {
        let error = said("averages", text).unwrap_err();
        assert_eq!(
            error.message(),
            format!("averages: {text} is no number of averages")
        );
        assert_eq!(error.group(), ErrorGroup::Input);
    }
    let noise = silent(Some("16"), &[(None, Theta, &[1.0])]);
    assert_eq!(noise.averages(), Some(16.0));
}
