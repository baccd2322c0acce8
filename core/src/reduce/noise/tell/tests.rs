//! What is said of the noise of channels, word by word.

#![allow(clippy::unwrap_used)]

use super::*;
use crate::finding::Severity;
use crate::reduce::noise::testing::{channel, plain};

const VISIBLE: &str = "; the lowest TRP that this setup can see is -71.2 dBm";

fn with(change: impl Fn(&mut NoiseReport)) -> NoiseReport {
    let mut report = plain();
    change(&mut report);
    report
}

/// Findings of channels at 860 MHz, 870 MHz and so on; of a single one.
fn told(reports: &[NoiseReport]) -> Vec<Finding> {
    let places = ["860", "870", "880"];
    let channels: Vec<ChannelResult> = reports
        .iter()
        .zip(places)
        .map(|(report, at)| channel(Some(at), Some(report.clone())))
        .collect();
    findings(&channels, &NoiseOptions::default())
}

fn codes(findings: &[Finding]) -> Vec<&str> {
    findings.iter().map(|f| f.code.as_str()).collect()
}

fn advice_of(report: &NoiseReport) -> String {
    told(std::slice::from_ref(report))[0]
        .advice
        .clone()
        .unwrap()
}

#[test]
fn a_corrected_channel() {
    let found = told(&[plain()]);
    assert_eq!(codes(&found), ["noise-corrected"]);
    assert_eq!(found[0].severity, Severity::Note);
    assert_eq!(found[0].effect_db, Some(1.234));
    assert_eq!(
        found[0].message,
        "the TRP was corrected for noise: with the floor left in it would read 1.23 dB high"
    );
    let advice = "for a standard uncertainty of 0.25 dB by noise sweep 2.3 times as slowly";
    assert_eq!(advice_of(&plain()), format!("{advice}{VISIBLE}"));
    // A channel without a frequency among several has no name, and one without noise is not told.
    let channels = [channel(None, Some(plain())), channel(Some("870"), None)];
    let found = findings(&channels, &NoiseOptions::default());
    assert!(found[0].message.starts_with("the TRP was corrected"));
    assert!(findings(&channels[1..], &NoiseOptions::default()).is_empty());
    let clear = with(|r| r.verdict = Verdict::Clear);
    assert!(told(&[clear]).is_empty());
}

#[test]
fn the_worst_channel_is_told() {
    let limited = |bias| {
        with(|r| {
            r.verdict = Verdict::NoiseLimited;
            r.bias_db = bias;
        })
    };
    let large = with(|r| r.bias_db = Some(9.0));
    // The verdict comes first, then the size of the bias; nothing left is worse than any.
    let found = told(&[large.clone(), limited(Some(-2.0)), limited(Some(1.5))]);
    assert_eq!(codes(&found), ["noise-limited"]);
    assert_eq!(found[0].severity, Severity::Warning);
    assert_eq!(
        found[0].message,
        "noise limits the TRP at 870 MHz: with the floor left in it would read 2.00 dB low, and what is left is uncertain"
    );
    assert_eq!(found[0].effect_db, Some(-2.0));
    assert!(found[0].advice.as_deref().unwrap().ends_with(VISIBLE));
    let found = told(&[limited(Some(50.0)), large, limited(None)]);
    assert_eq!(
        found[0].message,
        "nothing of the signal is left above the noise at 880 MHz: only an upper end of the TRP can be given"
    );
    assert_eq!(
        (found[0].code.as_str(), found[0].effect_db),
        ("noise-limited", None)
    );
    let zero = told(&[limited(Some(0.0))]);
    assert!(zero[0].message.contains("would read 0.00 dB high"));
}

#[test]
fn an_upper_end_is_given_where_there_is_one() {
    // 1.96 standard uncertainties above −1 nW: of 0.5 nW it is below zero, of √(0.3² + 0.45²) nW above.
    let left = |noise, floor| {
        let report = with(|r| {
            r.bias_db = None;
            r.value_w = -1e-9;
            r.noise_standard_w = noise;
            r.floor_standard_w = floor;
        });
        told(&[report])[0]
            .message
            .ends_with("above the noise: only an upper end of the TRP can be given")
    };
    assert!(!left(0.3e-9, Some(0.4e-9)));
    assert!(left(0.3e-9, Some(0.45e-9)));
    assert!(!left(0.51e-9, None));
    assert!(left(0.52e-9, None));
}

#[test]
fn readings_below_the_floor_are_told() {
    let low = |db| with(|r| r.below_noise_db = Some(db));
    let found = told(&[plain(), low(3.456), low(1.0)]);
    assert_eq!(codes(&found), ["noise-corrected", "floor-too-high"]);
    assert_eq!(
        (found[1].severity, found[1].effect_db),
        (Severity::Warning, Some(3.456))
    );
    assert_eq!(
        found[1].message,
        "the readings at 870 MHz lie 3.46 dB below the floor, beyond their scatter: it is not the floor of these readings"
    );
    let found = told(&[low(3.456)]);
    assert!(
        found[1]
            .message
            .starts_with("the readings lie 3.46 dB below")
    );
    let measure = "measure the floor again before anything else";
    assert_eq!(advice_of(&low(1.0)), format!("{measure}{VISIBLE}"));
}

#[test]
fn what_was_assumed_or_is_not_known() {
    let found = told(&[with(|r| r.averages_from = AveragesFrom::Assumed)]);
    assert_eq!(codes(&found), ["noise-corrected", "averages-assumed"]);
    assert_eq!(found[1].severity, Severity::Warning);
    let scatter = with(|r| r.averages_from = AveragesFrom::Scatter);
    assert_eq!(codes(&told(&[scatter])), ["noise-corrected"]);
    // Of any channel, not of the worst alone.
    let unknown = with(|r| {
        r.verdict = Verdict::Clear;
        r.floor_standard_w = None;
    });
    let found = told(&[plain(), unknown.clone()]);
    assert_eq!(codes(&found), ["noise-corrected", "floor-uncertainty"]);
    assert_eq!(found[1].severity, Severity::Note);
    let estimated = with(|r| {
        r.is_estimated = true;
        r.floor_standard_w = None;
    });
    let found = told(std::slice::from_ref(&estimated));
    assert_eq!(codes(&found), ["noise-corrected", "floor-estimated"]);
    assert_eq!(found[1].severity, Severity::Warning);
    let silent = "measure the floor with the device silent";
    assert_eq!(advice_of(&estimated), format!("{silent}{VISIBLE}"));
    assert_eq!(codes(&told(&[unknown])), ["floor-uncertainty"]);
}

#[test]
fn few_logarithms() {
    let log = |averages, signal, verdict| {
        let report = with(|r| {
            r.detector = Detector::Log;
            r.signal = signal;
            r.averages = averages;
            r.verdict = verdict;
        });
        told(&[report])
    };
    let found = log(3.5, Signal::Cw, Verdict::Corrected);
    assert_eq!(codes(&found), ["noise-corrected", "log-few-averages"]);
    assert_eq!(found[1].severity, Severity::Note);
    assert!(
        found[1]
            .message
            .starts_with("3.5 averages of a log detector")
    );
    for quiet in [
        log(4.0, Signal::Cw, Verdict::Corrected),
        log(3.5, Signal::NoiseLike, Verdict::Corrected),
        log(3.5, Signal::Cw, Verdict::Clear),
        told(&[with(|r| r.averages = 3.5)]),
    ] {
        assert!(!codes(&quiet).contains(&"log-few-averages"), "{quiet:?}");
    }
}

#[test]
fn what_to_do_next() {
    let next = |slower, minutes, ratio| {
        let report = with(|r| {
            r.slower = slower;
            r.slower_min = minutes;
            r.dwell_ratio = ratio;
            r.lowest_visible_dbm = None;
        });
        advice_of(&report)
    };
    let within = "the uncertainty by noise is within 0.25 dB already";
    assert_eq!(
        next(Some(Slower::Factor(1.0)), Some(9.0), Some(0.1)),
        within
    );
    let sweep = "for a standard uncertainty of 0.25 dB by noise sweep 1.2 times as slowly";
    let slower = Some(Slower::Factor(1.2));
    assert_eq!(next(slower, None, Some(0.8)), sweep);
    assert_eq!(
        next(slower, Some(71.6), Some(0.9)),
        format!("{sweep}, 72 minutes")
    );
    assert_eq!(
        next(slower, Some(71.6), Some(0.634)),
        format!("{sweep}, 72 minutes; dwelling longer only where it matters takes 63 % of that")
    );
    let floor = |factor| {
        let floor_averages = 5.52;
        next(
            Some(Slower::Floor {
                floor_averages,
                factor,
            }),
            None,
            Some(0.1),
        )
    };
    let again =
        "no slower sweep reaches 0.25 dB: measure the floor again with 5.5 times as many averages";
    assert_eq!(floor(1.0), again);
    assert_eq!(
        floor(1.3),
        format!("{again}, and then sweep 1.3 times as slowly")
    );
    let nearer = "sweep ten times as slowly or bring the receiver nearer, and look again";
    assert_eq!(next(None, None, None), nearer);
}
