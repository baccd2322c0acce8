//! What a person decides for a file, range paths, and the limits.
#![cfg_attr(test, allow(clippy::unwrap_used, clippy::expect_used, clippy::panic))]

mod data;

use data::read_text;
use spheresum_adapter_touchstone::TouchstoneAdapter;
use spheresum_core::correct::RangeLoss;
use spheresum_core::intake::{Adapter, Intake, ReadOptions, Source};
use spheresum_core::unit::frequency::FrequencyUnit;
use spheresum_core::{Frequency, Group, Limits, Polarisation, Result};

const RANGE: &str = "good/range-three-port.s3p";

fn with(named: &[(&str, &str)]) -> ReadOptions {
    named
        .iter()
        .fold(ReadOptions::default(), |o, (n, v)| o.with_named(n, v))
}

fn loss(options: &ReadOptions) -> Result<RangeLoss> {
    RangeLoss::curve(data::read_file(RANGE, options)?.curve.unwrap())
}

fn points(intake: &Intake, polarisation: Polarisation) -> Vec<(f64, f64)> {
    let curve = intake.curve.as_ref().unwrap();
    let points = curve.points(polarisation).iter();
    points.map(|(f, db)| (f.mhz(), *db)).collect()
}

#[track_caller]
fn close(got: &[(f64, f64)], want: &[(f64, f64)]) {
    assert_eq!(got.len(), want.len());
    for (got, want) in got.iter().zip(want) {
        assert_eq!(got.0, want.0);
        assert!((got.1 - want.1).abs() < 1e-10, "{got:?} {want:?}");
    }
}

#[test]
fn transfers_become_losses() {
    // The file holds the transfers in dB: the losses are those with the other sign.
    let intake = data::read_file(RANGE, &with(&[("theta", "S21"), ("phi", "s31")])).unwrap();
    close(
        &points(&intake, Polarisation::Theta),
        &[(860.0, 40.0), (868.3, 40.083), (880.0, 40.2)],
    );
    close(
        &points(&intake, Polarisation::Phi),
        &[(860.0, 41.5), (868.3, 41.64), (880.0, 41.8)],
    );
    let loss = RangeLoss::curve(intake.curve.unwrap()).unwrap();
    let at = Frequency::parse("864.15", FrequencyUnit::Mhz);
    let between = loss.at(Polarisation::Phi, at).unwrap();
    assert!((between - 41.57).abs() < 1e-10);
}

#[test]
fn one_polarisation_given_with_the_file() {
    let options = with(&[("path", "S12")]).with_polarisation(Polarisation::Phi);
    let intake = data::read_file("good/path-hz.s2p", &options).unwrap();
    assert!(points(&intake, Polarisation::Theta).is_empty());
    // Closed form: |0.00707 − 0.00707j| = 0.00707 √2, 20 log10 of it −40.00216 dB.
    let first = points(&intake, Polarisation::Phi)[0];
    assert_eq!(first.0, 860.0);
    assert!((first.1 + 20.0 * (0.00707 * 2_f64.sqrt()).log10()).abs() < 1e-10);
    // The other polarisation has no loss yet.
    let error = RangeLoss::curve(intake.curve.unwrap()).unwrap_err();
    assert_eq!(error.group(), Group::Usage);
    assert!(error.message().contains("theta"), "{error}");
}

#[test]
fn no_path_is_guessed() {
    let error = loss(&ReadOptions::default()).unwrap_err();
    assert_eq!(error.group(), Group::Usage);
    let hint = error.advice().unwrap();
    assert!(
        hint.contains("theta=S21,phi=S31") && hint.contains("--range-path"),
        "{hint}"
    );
    assert!(error.place().is_some());
    let one = data::read_file("good/j1_default_option_line.s1p", &ReadOptions::default()).unwrap();
    let error = RangeLoss::curve(one.curve.unwrap()).unwrap_err();
    assert!(error.advice().unwrap().contains("two ports"), "{error}");
}

#[test]
fn one_path_for_both_is_noted() {
    let options = with(&[("theta", "S21"), ("phi", "S21")]);
    let intake = data::read_file(RANGE, &options).unwrap();
    assert_eq!(intake.findings[0].code, "same-path");
}

#[test]
fn a_gain_is_no_loss() {
    let options = with(&[("theta", "S21"), ("phi", "S12")]);
    let intake = data::read_file("good/v2-noise.s2p", &options).unwrap();
    let error = RangeLoss::curve(intake.curve.unwrap()).unwrap_err();
    assert_eq!(error.group(), Group::Input);
    assert!(error.message().contains("theta, 860 MHz"), "{error}");
    assert!(error.advice().unwrap().contains("gains power"), "{error}");
}

#[test]
fn options_that_are_refused() {
    let plain = ReadOptions::default;
    let mhz = Frequency::parse("868.3", FrequencyUnit::Mhz).unwrap();
    for (options, part) in [
        (with(&[("separator", "comma")]), "no option \"separator\""),
        (with(&[("ports", "5")]), "no value of the option ports"),
        (with(&[("ports", "two")]), "no value of the option ports"),
        (with(&[("theta", "S11")]), "reflection"),
        (with(&[("theta", "21")]), "no value of the option theta"),
        (with(&[("theta", "Z21")]), "no value of the option theta"),
        (with(&[("theta", "S51")]), "no value of the option theta"),
        (with(&[("theta", "S41")]), "S41 is not there: 3 ports"),
        (with(&[("path", "S21")]), "for which polarisation"),
        (
            plain().with_polarisation(Polarisation::Phi),
            "which transfer",
        ),
        (
            with(&[("path", "S21")]).with_polarisation(Polarisation::Total),
            "one polarisation",
        ),
        (
            with(&[("theta", "S21")]).with_polarisation(Polarisation::Phi),
            "paths of both",
        ),
        (plain().with_frequency(mhz), "frequencies of its own"),
    ] {
        let error = data::read_file(RANGE, &options).unwrap_err();
        assert_eq!(error.group(), Group::Usage, "{error}");
        assert!(error.message().contains(part), "{part}: {error}");
        assert!(error.advice().is_some_and(|a| a.len() > 10), "{error}");
    }
    let error = read_text(
        "a.s2p",
        "# MHz Z RI\n1 0.1 0 0.1 0 0.1 0 0.1 0\n",
        &[("theta", "S21")],
    );
    assert_eq!(error.unwrap_err().group(), Group::Unsupported);
}

#[test]
fn a_path_without_transfer_has_a_place() {
    let text = "# MHz S RI\n0 0 0 0 0 0 0 0 0\n868.3 0.1 0 0 0 0.5 0 0.1 0\n";
    let error = read_text("a.s2p", text, &[("theta", "S21")]).unwrap_err();
    let place = error.place().unwrap();
    assert_eq!(
        (error.group(), place.line, place.column),
        (Group::Input, Some(3), Some(13))
    );
    assert!(read_text("a.s2p", text, &[("theta", "S12")]).is_ok());
}

#[test]
fn ports_are_what_the_person_says() {
    let two = "# MHz S RI\n868.3 0.1 0\n869.3 0.1 0 0.8 0.1 0.8 0.1 0.2 0\n";
    let error = read_text("a.txt", two, &[("ports", "2")]).unwrap_err();
    let place = error.place().unwrap();
    assert_eq!((place.line, place.column), (Some(2), Some(11)), "{error}");
    let error = read_text("a.txt", two, &[("ports", "1")]).unwrap_err();
    assert_eq!(error.place().unwrap().line, Some(3), "{error}");
    // Against the name.
    let text = "# MHz S RI\n868.3 0.1 0 0.8 0.1 0.8 0.1 0.2 0\n";
    assert!(read_text("a.s4p", text, &[]).is_err());
    assert!(read_text("a.s4p", text, &[("ports", "2")]).is_ok());
    // A name alone does not make two ports of one.
    let error = read_text("a.s2p", "# MHz S RI\n868.3 0.1 0\n", &[]).unwrap_err();
    assert_eq!(error.group(), Group::Ambiguous);
    // In version 2 the file says it.
    let version_2 = "[Version] 2.0\n# MHz S RI\n[Number of Ports] 1\n[Number of Frequencies] 1\n[Network Data]\n868.3 0.1 0\n[End]\n";
    let error = read_text("a.ts", version_2, &[("ports", "2")]).unwrap_err();
    assert_eq!(
        (error.group(), error.place().unwrap().line),
        (Group::Usage, Some(3))
    );
    let noted = read_text("a.s2p", version_2, &[]).unwrap().findings;
    assert_eq!(noted[0].code, "name-and-ports");
}

#[test]
fn what_is_odd_is_noted() {
    let noted = |text: &str| -> Vec<String> {
        let intake = read_text("a.ts", text, &[]).unwrap_or_else(|e| panic!("{e}"));
        intake.findings.into_iter().map(|f| f.code).collect()
    };
    let head = "[Version] 2.0\n# MHz S RI\n[Number of Ports] 1\n";
    let body = "[Network Data]\n868.3 0.1 0\n[End]\n";
    assert_eq!(noted(&format!("{head}{body}")), ["no-frequency-count"]);
    let head = format!("{head}[Number of Frequencies] 1\n");
    let order = "[Two-Port Data Order] 12_21\n";
    assert_eq!(noted(&format!("{head}{order}{body}")), ["order-unused"]);
    assert_eq!(
        noted(&format!("{head}{body}1 2 3\n4 5 6\n")),
        ["behind-end"]
    );
    assert!(noted(&format!("{head}{body}! a comment\n")).is_empty());
    let noise = "[Version] 2.0\n# MHz S RI\n[Number of Ports] 2\n[Two-Port Data Order] 12_21\n[Number of Frequencies] 1\n\
                 [Number of Noise Frequencies] 3\n[Network Data]\n868.3 1 0 1 0 1 0 1 0\n[Noise Data]\n868.3 1 0.5 0 20\n[End]\n";
    assert_eq!(noted(noise), ["noise-block", "noise-count"]);
}

#[test]
fn limits_have_places() {
    let text = "# MHz S RI\n868 0.1 0\n869 0.1 0\n870 0.1 0\n";
    let place = |limits: &Limits| {
        let source = Source::from_text("a.s1p", text, &Limits::default()).unwrap();
        let adapter = TouchstoneAdapter::new();
        let error = adapter
            .read(&source, limits, &ReadOptions::default())
            .unwrap_err();
        let place = error.place().cloned().unwrap();
        (error.group(), place.line.unwrap(), place.column.unwrap())
    };
    let of = |change: &dyn Fn(&mut Limits)| {
        let mut limits = Limits::default();
        change(&mut limits);
        place(&limits)
    };
    assert_eq!(of(&|l| l.max_readings = 2), (Group::Limit, 4, 1));
    assert_eq!(of(&|l| l.max_frequencies = 1), (Group::Limit, 3, 1));
    assert_eq!(of(&|l| l.max_fields = 2), (Group::Limit, 1, 7 + 2));
    assert_eq!(of(&|l| l.max_line_bytes = 9), (Group::Limit, 1, 1));
}
