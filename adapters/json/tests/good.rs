//! Every good file, against the closed forms and the digits it was written from.
#![cfg_attr(test, allow(clippy::unwrap_used, clippy::expect_used, clippy::panic))]

use spheresum_adapter_json::JsonAdapter;
use spheresum_core::intake::{Adapter, Confidence, Head, Intake, ReadOptions, Source};
use spheresum_core::model::FieldScale;
use spheresum_core::unit::level::{ratio_from_db, w_from_dbm};
use spheresum_core::{Complex64, Limits, Mark, Polarisation, Quantity, Reading, Readings, Value};
use std::path::PathBuf;

fn folder() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../tests/data/json/good")
}

fn source(name: &str) -> Source {
    let bytes = std::fs::read(folder().join(name)).unwrap();
    Source::from_bytes(name, bytes, &Limits::small()).unwrap()
}

fn read(name: &str) -> Intake {
    JsonAdapter::new()
        .read(&source(name), &Limits::small(), &ReadOptions::default())
        .unwrap_or_else(|e| panic!("{name}: {e}"))
}

/// EIRP of the invented gauge, W: 10 mW (0.1 + sin²θ) along θ, 5 mW (0.1 + cos²θ sin²φ) along φ.
fn eirp_w(reading: &Reading) -> f64 {
    let (theta, phi) = (reading.theta_deg.to_radians(), reading.phi_deg.to_radians());
    match reading.polarisation {
        Polarisation::Theta => 0.01 * (0.1 + theta.sin().powi(2)),
        _ => 0.005 * (0.1 + (theta.cos() * phi.sin()).powi(2)),
    }
}

fn power(reading: &Reading) -> f64 {
    match reading.value {
        Value::Power(p) => p,
        Value::Field(_) => panic!("a field"),
    }
}

/// Checks every exact reading against a closed form; values are written with five decimals of a decibel.
fn all_equal(name: &str, readings: &Readings, count: usize, want: impl Fn(&Reading) -> f64) {
    assert_eq!(readings.len(), count, "{name}");
    for reading in readings.iter().filter(|r| r.mark == Mark::Exact) {
        let (got, want) = (power(&reading), want(&reading));
        assert!(
            (got / want - 1.0).abs() < 2e-6,
            "{name}: line {}: {got} is not {want}",
            reading.line
        );
    }
}

/// Direction, polarisation, value, mark and line of every reading.
fn every(readings: &Readings) -> Vec<(f64, f64, Polarisation, f64, Mark, u32)> {
    readings
        .iter()
        .map(|r| {
            (
                r.theta_deg,
                r.phi_deg,
                r.polarisation,
                power(&r),
                r.mark,
                r.line,
            )
        })
        .collect()
}

fn mhz(readings: &Readings) -> Vec<f64> {
    let all = readings.frequencies().iter();
    all.map(|f| f.map_or(f64::NAN, |f| f.mhz())).collect()
}

fn codes(intake: &Intake) -> Vec<&str> {
    intake.findings.iter().map(|f| f.code.as_str()).collect()
}

#[test]
fn a_grid_over_two_frequencies() {
    let intake = read("document-grid.json");
    assert!(intake.findings.is_empty());
    let readings = intake.readings.unwrap();
    assert_eq!(readings.quantity(), Quantity::Eirp);
    assert_eq!(mhz(&readings), [868.3, 869.525]);
    // The second frequency is written 3 dB lower: half.
    all_equal("document-grid.json", &readings, 2 * 7 * 6 * 2, |r| {
        eirp_w(r) * if r.frequency == 0 { 1.0 } else { 0.5 }
    });
    let first = readings.get(0).unwrap();
    assert_eq!((first.theta_deg, first.phi_deg, first.line), (0.0, 0.0, 17));
    let metadata: Vec<(&str, &str)> = readings
        .metadata()
        .iter()
        .map(|(k, v)| (k.as_str(), v.as_str()))
        .collect();
    assert_eq!(
        metadata,
        [
            ("device", "river-level telemetry gauge"),
            ("serial", "17"),
            ("calibrated", "true"),
            ("note", "housing \"B\""),
            ("note", "antenna upright"),
        ]
    );
}

#[test]
fn marks_and_missing_values() {
    use Polarisation::{Phi, Theta};
    let readings = read("document-marks.json").readings.unwrap();
    assert_eq!(readings.quantity(), Quantity::Eis);
    assert_eq!(mhz(&readings), [868.3]);
    let w = w_from_dbm;
    assert_eq!(
        every(&readings),
        [
            (90.0, 0.0, Theta, w(-110.25), Mark::Exact, 6),
            (90.0, 0.0, Phi, w(-80.0), Mark::AtLeast, 6),
            (90.0, 45.5, Theta, w(-112.5), Mark::AtMost, 7),
            (90.0, 45.5, Phi, f64::INFINITY, Mark::AtLeast, 7),
            (90.0, 90.0, Phi, w(-101.0), Mark::Exact, 8),
            (90.0, 135.0, Phi, w(-90.5), Mark::AtLeast, 9),
        ]
    );
}

#[test]
fn fields_with_the_other_time_convention() {
    let readings = read("document-field.json").readings.unwrap();
    assert_eq!(readings.quantity(), Quantity::Field(FieldScale::SqrtWatt));
    assert_eq!(readings.len(), 5 * 4 * 2);
    for reading in readings.iter() {
        let (t, p) = (reading.theta_deg.to_radians(), reading.phi_deg.to_radians());
        // A short dipole along x of 10 mW, whose EIRP is 15 mW at most, at a phase of 30° in e^{+jωt}.
        let size = 0.015_f64.sqrt()
            * match reading.polarisation {
                Polarisation::Theta => t.cos() * p.cos(),
                _ => -p.sin(),
            };
        let want = Complex64::from_polar(1.0, 30_f64.to_radians()) * size;
        let Value::Field(got) = reading.value else {
            panic!("no field");
        };
        assert!((got - want).norm() < 1e-7, "{reading:?}");
    }
    // Both axes are in radians.
    assert_eq!(
        readings.get(2).map(|r| (r.theta_deg, r.phi_deg)),
        Some((0.0, 90.0))
    );
}

#[test]
fn blocks_of_both_kinds() {
    use Polarisation::Total;
    let intake = read("document-blocks.json");
    assert_eq!(codes(&intake), ["zero-power"]);
    let readings = intake.readings.unwrap();
    assert_eq!(readings.quantity(), Quantity::Gain);
    let db = ratio_from_db;
    assert_eq!(
        every(&readings),
        [
            (90.0, 0.0, Total, db(2.15), Mark::Exact, 4),
            (90.0, 90.0, Total, db(1.5), Mark::Exact, 4),
            (90.0, 180.0, Total, db(-30.0), Mark::AtMost, 4),
            (45.0, 0.0, Total, 1.6406, Mark::Exact, 6),
            (135.0, 0.0, Total, 0.5, Mark::Exact, 7),
            (0.0, 0.0, Total, 0.0, Mark::Exact, 10),
            (0.0, 0.0, Total, db(-12.5), Mark::Exact, 11),
        ]
    );
    let at: Vec<usize> = readings.iter().map(|r| r.frequency).collect();
    assert_eq!(at, [0, 0, 0, 1, 1, 0, 2]);
    let all = mhz(&readings);
    assert!(all[1].is_nan() && all[0] == 868.3 && all[2] == 868.9);
}

#[test]
fn a_list_of_objects_with_escapes() {
    let intake = read("rows.json");
    assert_eq!(codes(&intake), ["columns-unused"]);
    let readings = intake.readings.unwrap();
    assert_eq!(mhz(&readings), [868.3, 869.525]);
    all_equal("rows.json", &readings, 2 * 5 * 4 * 2, |r| {
        eirp_w(r) * if r.frequency == 0 { 1.0 } else { 0.5 }
    });
    let third = readings.get(2).unwrap();
    assert_eq!((third.theta_deg, third.phi_deg, third.line), (0.0, 90.0, 4));
}

#[test]
fn rows_under_a_key_and_numbers_in_quotes() {
    let intake = read("rows-nested.json");
    assert!(intake.findings.is_empty());
    let readings = intake.readings.unwrap();
    assert_eq!(readings.quantity(), Quantity::ReceivedPower);
    assert_eq!(mhz(&readings), [868.3]);
    all_equal("rows-nested.json", &readings, 20, |r| eirp_w(r) * 1e-5);
    assert_eq!(readings.get(0).map(|r| r.line), Some(6));
    assert_eq!(
        readings.metadata()[0],
        ("device".to_string(), "gauge".to_string())
    );
    assert_eq!(
        readings.metadata()[2],
        ("points".to_string(), "20".to_string())
    );
}

#[test]
fn an_object_of_lists_in_one_line() {
    let intake = read("lists.json");
    assert!(intake.findings.is_empty());
    let readings = intake.readings.unwrap();
    assert_eq!(
        (readings.quantity(), mhz(&readings)),
        (Quantity::Eirp, vec![868.3])
    );
    // Twelve directions, two polarisations, one missing.
    all_equal("lists.json", &readings, 23, eirp_w);
    let marked: Vec<_> = every(&readings)
        .into_iter()
        .filter(|r| r.4 != Mark::Exact)
        .collect();
    assert_eq!(
        marked,
        [(
            60.0,
            120.0,
            Polarisation::Phi,
            w_from_dbm(-30.0),
            Mark::AtMost,
            1
        )]
    );
}

#[test]
fn lists_under_a_key_with_decimal_commas() {
    use Polarisation::{Phi, Theta};
    let intake = read("lists-nested-comma.json");
    assert_eq!(codes(&intake), ["decimal-comma"]);
    let readings = intake.readings.unwrap();
    assert_eq!(mhz(&readings), [868.3]);
    let w = w_from_dbm;
    assert_eq!(
        every(&readings),
        [
            (90.0, 0.0, Theta, w(-12.345), Mark::Exact, 8),
            (90.0, 0.0, Phi, w(-3.25), Mark::Exact, 8),
            (90.5, 120.5, Theta, w(1.5), Mark::Exact, 8),
            (90.5, 120.5, Phi, w(-40.5), Mark::AtMost, 8),
            (90.0, 240.0, Phi, w(0.0), Mark::Exact, 8),
        ]
    );
    let first = &readings.metadata()[0];
    assert_eq!(
        (first.0.as_str(), first.1.as_str()),
        ("setup.operator", "laboratory two")
    );
}

#[test]
fn range_loss() {
    let curve = read("range-loss.json").curve.unwrap();
    let of = |p| -> Vec<(f64, f64)> {
        let points = curve.points(p).iter();
        points.map(|(f, v)| (f.mhz(), *v)).collect()
    };
    assert_eq!(
        of(Polarisation::Theta),
        [(868.0, 40.5), (868.6, 40.75), (869.2, 41.0)]
    );
    assert_eq!(of(Polarisation::Phi), [(868.0, 41.25), (868.6, 41.5)]);
}

/// Rows of a comma-separated file with a heading: frequency, θ, φ, and one value a polarisation.
fn csv(name: &str) -> Vec<Vec<String>> {
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../tests/data/same-sphere");
    let text = std::fs::read_to_string(path.join(name)).unwrap();
    let rows = text.lines().filter(|l| !l.starts_with('#')).skip(1);
    rows.map(|l| l.split(',').map(ToString::to_string).collect())
        .collect()
}

#[test]
fn the_same_sphere_in_two_sets_of_units() {
    let number = |text: &String| text.parse::<f64>().unwrap();
    let readings = read("same-sphere.json").readings.unwrap();
    let mut got = every(&readings).into_iter();
    for row in csv("reference.csv") {
        for (polarisation, value) in [(Polarisation::Theta, &row[3]), (Polarisation::Phi, &row[4])]
        {
            let (theta, phi, p, w, mark, _) = got.next().unwrap();
            assert_eq!(
                (theta, phi, p, mark),
                (number(&row[1]), number(&row[2]), polarisation, Mark::Exact)
            );
            assert_eq!(w.to_bits(), w_from_dbm(number(value)).to_bits());
        }
    }
    assert!(got.next().is_none());
    assert_eq!(mhz(&readings), [868.3]);

    let readings = read("same-sphere-other-units.json").readings.unwrap();
    let mut got = every(&readings).into_iter();
    for row in csv("other-units.csv") {
        for value in [&row[3], &row[4]] {
            let (theta, phi, _, w, ..) = got.next().unwrap();
            assert_eq!(theta, number(&row[1]).to_degrees());
            assert_eq!(phi, number(&row[2]).to_degrees());
            assert_eq!(w.to_bits(), number(value).to_bits());
        }
    }
    assert!(got.next().is_none());
    assert_eq!(mhz(&readings), [868.3]);
}

#[test]
fn all_good_files_are_read_and_recognised() {
    let mut names: Vec<String> = std::fs::read_dir(folder())
        .unwrap()
        .map(|e| e.unwrap().file_name().to_string_lossy().into_owned())
        .collect();
    names.sort();
    assert_eq!(names.len(), 11);
    for name in names {
        let source = source(&name);
        let look = JsonAdapter::new().look(&Head::of(&source));
        // `power_theta` could be received power as well, until `quantity` says what it is.
        let want = match name.as_str() {
            "lists.json" => Confidence::Likely,
            _ => Confidence::Certain,
        };
        assert_eq!(look.confidence, want, "{name}: {}", look.reason);
        read(&name);
    }
}

#[test]
fn examples_of_the_readme_are_read() {
    let readme = include_str!("../README.md");
    let examples: Vec<&str> = readme
        .split("```json\n")
        .skip(1)
        .filter_map(|rest| rest.split("```").next())
        .collect();
    assert_eq!(examples.len(), 5);
    for text in examples {
        let limits = Limits::small();
        let source = Source::from_text("README.md", text, &limits).unwrap();
        let intake = JsonAdapter::new()
            .read(&source, &limits, &ReadOptions::default())
            .unwrap_or_else(|e| panic!("{e}\n{text}"));
        assert!(intake.readings.is_some_and(|r| !r.is_empty()), "{text}");
        let look = JsonAdapter::new().look(&Head::of(&source));
        assert_eq!(look.confidence, Confidence::Certain, "{text}");
    }
}
