//! Every good file, against the closed forms it was written from, and against digits read off it by hand.
#![cfg_attr(test, allow(clippy::unwrap_used, clippy::expect_used, clippy::panic))]

use spheresum_adapter_columns::ColumnsAdapter;
use spheresum_core::intake::{Adapter, Confidence, Head, Intake, ReadOptions, Source};
use spheresum_core::model::FieldScale;
use spheresum_core::unit::level::w_from_dbm;
use spheresum_core::{
    Complex64, Finding, Limits, Mark, Polarisation, Quantity, Reading, Readings, Value,
};
use std::path::PathBuf;

fn folder() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../tests/data/columns/good")
}

fn read(name: &str) -> Intake {
    let bytes = std::fs::read(folder().join(name)).unwrap();
    let limits = Limits::small();
    let source = Source::from_bytes(name, bytes, &limits).unwrap();
    ColumnsAdapter::new()
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
    let readings = read("same-sphere.dat").readings.unwrap();
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
            assert_eq!(got.line as usize, at + 5);
        }
    }
}

#[test]
fn the_same_sphere_in_other_units() {
    let readings = read("same-sphere-other-units.dat").readings.unwrap();
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
            // Watts as written: `0.15009976074844049D-01` is the double nearest to 0.015009976074844049.
            assert_eq!(power(&got).to_bits(), row[2 + offset].to_bits());
        }
    }
}

#[test]
fn commented_names_with_a_line_of_units() {
    let name = "eirp-commented-names-and-units.txt";
    let (readings, findings) = all_equal(name, Quantity::Eirp, 80, eirp_w);
    assert_eq!(mhz(&readings), [868.3]);
    assert!(findings.is_empty());
    // Line 7: 0.00 45.00 0.0000 4.7712.
    let second = readings.get(2).unwrap();
    assert_eq!(
        (second.theta_deg, second.phi_deg, second.line),
        (0.0, 45.0, 7)
    );
    assert_eq!(power(&second), 1e-3);
}

#[test]
fn declared_widths_with_marks_and_blank_fields() {
    // 40 rows, two values each; four are missing: one at a line's end, one blank field, NaN and ---.
    let name = "eis-widths-marks.txt";
    let (readings, _) = all_equal(name, Quantity::Eis, 76, |r| 1e-14 / eirp_w(r));
    let marked: Vec<Reading> = readings.iter().filter(|r| r.mark != Mark::Exact).collect();
    assert_eq!(marked.len(), 3);
    // >-80.0 dBm is 10 pW.
    assert_eq!(marked[0].mark, Mark::AtLeast);
    assert!((power(&marked[0]) / 1e-11 - 1.0).abs() < 1e-14);
    assert_eq!(
        (marked[1].mark, power(&marked[1])),
        (Mark::AtLeast, f64::INFINITY)
    );
    assert_eq!(marked[2].mark, Mark::AtMost);
    assert!((power(&marked[2]) / 10_f64.powf(-14.25) - 1.0).abs() < 1e-13);
    assert_eq!(
        (marked[1].line, marked[1].polarisation),
        (17, Polarisation::Phi)
    );
}

#[test]
fn fields_that_run_together_with_letterless_exponents() {
    let readings = read("field-run-together.dat").readings.unwrap();
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
        assert!((got - want).norm() < 1e-8, "line {}", reading.line);
    }
    // Line 7, θ = 0°, φ = 90°: `0.10000000-102-0.31622777D-01`, conjugated because of exp(-jwt).
    let Value::Field(third) = readings.get(4).unwrap().value else {
        panic!("no field")
    };
    assert_eq!((third.re, third.im), (1e-103, 0.031622777));
}

#[test]
fn words_groups_and_a_scale_factor() {
    let factor = |r: &Reading| if r.frequency == 0 { 1.0 } else { 0.5 };
    let name = "eirp-long-scale-factor.prn";
    let (readings, findings) = all_equal(name, Quantity::Eirp, 160, |r| factor(r) * eirp_w(r));
    assert_eq!(mhz(&readings), [868.3, 869.525]);
    // Line 5: 868.300 0 0 pol phi 5.000000E-01.
    let second = readings.get(1).unwrap();
    assert_eq!(
        (second.polarisation, power(&second), second.line),
        (Polarisation::Phi, 5e-4, 5)
    );
    assert_eq!(
        findings.iter().map(|f| f.code.as_str()).collect::<Vec<_>>(),
        ["scale-factor"]
    );
}

#[test]
fn bare_names_over_exponents_after_d() {
    let name = "received-bare-names.out";
    let (readings, _) = all_equal(name, Quantity::ReceivedPower, 80, |r| eirp_w(r) * 1e-5);
    assert_eq!(mhz(&readings), [868.3]);
    // Line 6: 0.00000000d+00  0.45000000d+02  0.10000000d-07  0.30000000d-07.
    let fourth = readings.get(3).unwrap();
    assert_eq!(
        (fourth.phi_deg, power(&fourth), fourth.line),
        (45.0, 3e-8, 6)
    );
}

#[test]
fn decimal_commas() {
    let name = "gain-decimal-comma.txt";
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
fn range_loss() {
    let curve = read("range-loss.txt").curve.unwrap();
    let theta: Vec<(f64, f64)> = curve
        .points(Polarisation::Theta)
        .iter()
        .map(|(f, v)| (f.mhz(), *v))
        .collect();
    assert_eq!(theta, [(860.0, 40.0), (868.3, 40.083), (880.0, 40.2)]);
    assert_eq!(curve.points(Polarisation::Phi).len(), 3);
}

#[test]
fn all_good_files_are_tested_and_recognised() {
    let tested = include_str!("good.rs");
    let adapter = ColumnsAdapter::new();
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
        // Its quantity stands in the preamble, where a look does not go.
        let want = if name == "received-bare-names.out" {
            Confidence::Likely
        } else {
            Confidence::Certain
        };
        assert_eq!(look.confidence, want, "{name}: {}", look.reason);
        count += 1;
    }
    assert!(count >= 8);
}
