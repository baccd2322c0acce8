//! Every good file, against the closed forms it was written from, and against digits read off it by hand.
#![cfg_attr(test, allow(clippy::unwrap_used, clippy::expect_used, clippy::panic))]

use spheresum_adapter_keyed::KeyedAdapter;
use spheresum_core::intake::{Adapter, Confidence, Head, Intake, ReadOptions, Source};
use spheresum_core::model::FieldScale;
use spheresum_core::unit::level::w_from_dbm;
use spheresum_core::{
    Complex64, Finding, Limits, Mark, Polarisation, Quantity, Reading, Readings, Value,
};
use std::path::PathBuf;

fn folder() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../tests/data/keyed/good")
}

fn read(name: &str) -> Intake {
    let bytes = std::fs::read(folder().join(name)).unwrap();
    let limits = Limits::small();
    let source = Source::from_bytes(name, bytes, &limits).unwrap();
    KeyedAdapter::new()
        .read(&source, &limits, &ReadOptions::default())
        .unwrap_or_else(|e| panic!("{name}: {e}: {:?}", e.advice()))
}

/// EIRP of the invented gauge, W: 10 mW (0.1 + sin²θ) along θ, 5 mW (0.1 + cos²θ sin²φ) along φ.
fn eirp_w(reading: &Reading) -> f64 {
    let (theta, phi) = (reading.theta_deg.to_radians(), reading.phi_deg.to_radians());
    let along_theta = 0.01 * (0.1 + theta.sin().powi(2));
    let along_phi = 0.005 * (0.1 + (theta.cos() * phi.sin()).powi(2));
    match reading.polarisation {
        Polarisation::Theta => along_theta,
        Polarisation::Phi => along_phi,
        Polarisation::Total => along_theta + along_phi,
    }
}

fn power(reading: &Reading) -> f64 {
    match reading.value {
        Value::Power(p) => p,
        Value::Field(_) => panic!("a field"),
    }
}

/// Checks every exact reading of a file against a closed form, and gives them back.
fn all_equal(
    name: &str,
    quantity: Quantity,
    count: usize,
    want: impl Fn(&Reading) -> f64,
) -> (Readings, Vec<Finding>) {
    let intake = read(name);
    let readings = intake.readings.unwrap();
    assert_eq!(readings.quantity(), quantity, "{name}");
    assert_eq!(readings.len(), count, "{name}");
    for reading in readings.iter().filter(|r| r.mark == Mark::Exact) {
        let (got, want) = (power(&reading), want(&reading));
        assert!(
            (got / want - 1.0).abs() < 2e-5,
            "{name}: line {}: {got} is not {want}",
            reading.line
        );
    }
    (readings, intake.findings)
}

fn mhz(readings: &Readings) -> Vec<f64> {
    readings
        .frequencies()
        .iter()
        .map(|f| f.map_or(f64::NAN, |f| f.mhz()))
        .collect()
}

/// θ, φ (degrees or radians) and the two values of each row of a reference file, as written, and its line.
fn reference(name: &str, first_line: usize) -> Vec<[f64; 4]> {
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../tests/data/same-sphere");
    let text = std::fs::read_to_string(path.join(name)).unwrap();
    text.lines()
        .skip(first_line)
        .map(|line| {
            let numbers: Vec<f64> = line.split(',').map(|t| t.parse().unwrap()).collect();
            [numbers[1], numbers[2], numbers[3], numbers[4]]
        })
        .collect()
}

#[test]
fn the_same_sphere() {
    let readings = read("same-sphere.txt").readings.unwrap();
    assert_eq!(mhz(&readings), [868.3]);
    let want = reference("reference.csv", 3);
    assert_eq!((want.len(), readings.len()), (84, 168));
    for (at, row) in want.iter().enumerate() {
        for (offset, polarisation) in [Polarisation::Theta, Polarisation::Phi]
            .into_iter()
            .enumerate()
        {
            let got = readings.get(2 * at + offset).unwrap();
            assert_eq!(
                (got.theta_deg, got.phi_deg, got.polarisation),
                (row[0], row[1], polarisation)
            );
            // The digits of the file, through core's own conversion, to the last bit.
            assert_eq!(power(&got).to_bits(), w_from_dbm(row[2 + offset]).to_bits());
            // A record starts every five lines, the first in line 6.
            assert_eq!(got.line as usize, 6 + 5 * at);
        }
    }
}

#[test]
fn the_same_sphere_in_other_units() {
    let readings = read("same-sphere-other-units.txt").readings.unwrap();
    assert_eq!(mhz(&readings), [868.3]);
    let want = reference("other-units.csv", 1);
    assert_eq!((want.len(), readings.len()), (84, 168));
    for (at, row) in want.iter().enumerate() {
        for offset in 0..2 {
            let got = readings.get(2 * at + offset).unwrap();
            assert_eq!(
                (got.theta_deg, got.phi_deg),
                (row[0].to_degrees(), row[1].to_degrees())
            );
            assert_eq!(power(&got).to_bits(), row[2 + offset].to_bits());
        }
    }
}

#[test]
fn braces_with_keys_in_any_order() {
    let factor = |r: &Reading| if r.frequency == 0 { 1.0 } else { 0.5 };
    let name = "eirp-braces-any-order.txt";
    let (readings, findings) = all_equal(name, Quantity::Eirp, 80, |r| factor(r) * eirp_w(r));
    assert_eq!(mhz(&readings), [868.3, 869.525]);
    assert_eq!(
        readings.metadata()[0],
        ("site".to_string(), "river mouth".to_string())
    );
    assert!(findings.is_empty());
    // Lines 11 to 16: θ = 0, φ = 0, along φ, 0.5 mW.
    let second = readings.get(1).unwrap();
    assert_eq!(
        (second.polarisation, power(&second), second.line),
        (Polarisation::Phi, 5e-4, 12)
    );
}

#[test]
fn rules_with_marks_and_missing_keys() {
    // 40 records of two values each; three are missing: two keys, and one `---`.
    let name = "eis-rules-marks.txt";
    let (readings, findings) = all_equal(name, Quantity::Eis, 77, |r| 1e-14 / eirp_w(r));
    assert_eq!(mhz(&readings), [868.3]);
    let marked: Vec<Reading> = readings.iter().filter(|r| r.mark != Mark::Exact).collect();
    assert_eq!(marked.len(), 3);
    // > −80 dBm is 10 pW.
    assert_eq!(marked[0].mark, Mark::AtLeast);
    assert!((power(&marked[0]) / 1e-11 - 1.0).abs() < 1e-14);
    assert_eq!(
        (marked[1].mark, power(&marked[1])),
        (Mark::AtLeast, f64::INFINITY)
    );
    assert_eq!(marked[2].mark, Mark::AtMost);
    assert!((power(&marked[2]) / 10_f64.powf(-14.25) - 1.0).abs() < 1e-13);
    assert_eq!(findings.len(), 1);
    assert_eq!(findings[0].code, "values-missing");
    assert!(findings[0].message.starts_with("2 records"));
    // The fourth record starts in line 19.
    assert_eq!(findings[0].place.as_ref().unwrap().line, Some(19));
}

#[test]
fn a_key_that_comes_again() {
    let intake = read("field-first-key-again.log");
    let readings = intake.readings.unwrap();
    assert_eq!(readings.quantity(), Quantity::Field(FieldScale::SqrtWatt));
    assert_eq!((readings.len(), mhz(&readings)), (80, vec![868.3]));
    for reading in readings.iter() {
        // √EIRP, with the phase φ along θ and the phase θ along φ.
        let phase_deg = match reading.polarisation {
            Polarisation::Theta => reading.phi_deg,
            _ => reading.theta_deg,
        };
        let want = Complex64::from_polar(eirp_w(&reading).sqrt(), phase_deg.to_radians());
        let Value::Field(got) = reading.value else {
            panic!("no field")
        };
        assert!((got - want).norm() < 1.5e-8, "line {}", reading.line);
    }
    // The counter of steps is not used.
    assert_eq!(intake.findings[0].code, "columns-unused");
    assert!(intake.findings[0].message.contains("step"));
}

#[test]
fn tabulators_and_decimal_commas() {
    let name = "gain-tabs-decimal-comma.txt";
    let (readings, findings) = all_equal(name, Quantity::Gain, 40, |r| eirp_w(r) / 0.01);
    assert_eq!(mhz(&readings), [868.3]);
    assert!(
        readings
            .iter()
            .all(|r| r.polarisation == Polarisation::Total)
    );
    assert_eq!(
        findings.iter().map(|f| f.code.as_str()).collect::<Vec<_>>(),
        ["decimal-comma"]
    );
}

#[test]
fn all_from_the_head() {
    let name = "received-one-polarisation.toml";
    let (readings, findings) = all_equal(name, Quantity::ReceivedPower, 40, |r| eirp_w(r) * 1e-5);
    assert_eq!(mhz(&readings), [868.3]);
    assert!(
        readings
            .iter()
            .all(|r| r.polarisation == Polarisation::Theta)
    );
    assert!(findings[0].message.contains("temperature"));
}

#[test]
fn all_good_files_are_tested_and_recognised() {
    let tested = include_str!("good.rs");
    let adapter = KeyedAdapter::new();
    let mut count = 0;
    for entry in std::fs::read_dir(folder()).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        assert!(
            tested.contains(&format!("\"{name}\"")),
            "{name} is not tested"
        );
        let source =
            Source::from_bytes(&name, std::fs::read(&path).unwrap(), &Limits::small()).unwrap();
        let look = adapter.look(&Head::of(&source));
        assert_eq!(
            look.confidence,
            Confidence::Certain,
            "{name}: {}",
            look.reason
        );
        count += 1;
    }
    assert!(count >= 7);
}
