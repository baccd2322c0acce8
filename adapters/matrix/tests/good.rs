//! Every good file, against the digits that stand in it.
#![cfg_attr(test, allow(clippy::unwrap_used, clippy::expect_used, clippy::panic))]

use spheresum_adapter_matrix::MatrixAdapter;
use spheresum_core::intake::{Adapter, Confidence, Head, Intake, ReadOptions, Source};
use spheresum_core::model::FieldScale;
use spheresum_core::unit::level::{ratio_from_db, w_from_dbm};
use spheresum_core::{Limits, Mark, Polarisation, Quantity, Reading, Readings, Value};
use std::collections::BTreeSet;
use std::path::PathBuf;

fn data() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../tests/data")
}

fn source(name: &str) -> Source {
    let bytes = std::fs::read(data().join("matrix/good").join(name)).unwrap();
    Source::from_bytes(name, bytes, &Limits::small()).unwrap()
}

fn read(name: &str) -> Intake {
    MatrixAdapter::new()
        .read(&source(name), &Limits::small(), &ReadOptions::default())
        .unwrap_or_else(|e| panic!("{name}: {e}"))
}

fn readings(name: &str, quantity: Quantity, count: usize) -> Readings {
    let readings = read(name).readings.unwrap();
    assert_eq!(
        (readings.quantity(), readings.len()),
        (quantity, count),
        "{name}"
    );
    readings
}

fn codes(name: &str) -> Vec<String> {
    read(name).findings.into_iter().map(|f| f.code).collect()
}

fn power(reading: &Reading) -> f64 {
    match reading.value {
        Value::Power(p) => p,
        Value::Field(_) => panic!("a field"),
    }
}

fn mhz(readings: &Readings) -> Vec<Option<f64>> {
    readings
        .frequencies()
        .iter()
        .map(|f| f.map(|f| f.mhz()))
        .collect()
}

/// The directions and polarisations that were read, none twice.
fn places(readings: &Readings) -> BTreeSet<String> {
    let all: BTreeSet<String> = readings
        .iter()
        .map(|r| {
            format!(
                "{} {} {} {}",
                r.frequency, r.theta_deg, r.phi_deg, r.polarisation
            )
        })
        .collect();
    assert_eq!(all.len(), readings.len());
    all
}

/// The cells of most files say where they stand: −10 − θ/10 − φ/1000, 0.5 more along φ, 0.0001 more at the second frequency.
fn digits(reading: &Reading) -> f64 {
    -10.0 - reading.theta_deg / 10.0 - reading.phi_deg / 1000.0
        + if reading.polarisation == Polarisation::Phi {
            0.5
        } else {
            0.0
        }
        + 0.0001 * reading.frequency as f64
}

fn is_near(got: f64, want: f64, name: &str, line: u32) {
    assert!(
        (got / want - 1.0).abs() < 1e-12,
        "{name}: line {line}: {got} is not {want}"
    );
}

/// Values of a file in `tests/data/same-sphere` as its digits say, by direction.
fn reference(name: &str) -> Vec<(f64, f64, [f64; 2])> {
    let text = std::fs::read_to_string(data().join("same-sphere").join(name)).unwrap();
    text.lines()
        .filter(|l| l.starts_with(|c: char| c.is_ascii_digit()))
        .map(|l| {
            let n: Vec<f64> = l.split(',').map(|t| t.parse().unwrap()).collect();
            (n[1], n[2], [n[3], n[4]])
        })
        .collect()
}

#[test]
fn the_same_sphere_to_the_last_bit() {
    let radians = f64::to_degrees as fn(f64) -> f64;
    for (name, reference_name, angle, value) in [
        (
            "same-sphere.csv",
            "reference.csv",
            (|d| d) as fn(f64) -> f64,
            w_from_dbm as fn(f64) -> f64,
        ),
        (
            "same-sphere-other-units.tsv",
            "other-units.csv",
            radians,
            |w| w,
        ),
    ] {
        let readings = readings(name, Quantity::Eirp, 168);
        assert_eq!(mhz(&readings), [Some(868.3)]);
        places(&readings);
        let want = reference(reference_name);
        for reading in readings.iter() {
            let row = want
                .iter()
                .find(|(t, p, _)| (angle(*t), angle(*p)) == (reading.theta_deg, reading.phi_deg));
            let (_, _, values) = row.unwrap();
            let index = usize::from(reading.polarisation == Polarisation::Phi);
            assert_eq!(
                power(&reading),
                value(values[index]),
                "{name}: line {}",
                reading.line
            );
        }
        assert!(codes(name).is_empty());
    }
}

#[test]
fn sections_in_spreadsheet_cells() {
    let name = "eirp-semicolon-decimal-comma.csv";
    let readings = readings(name, Quantity::Eirp, 120);
    assert_eq!(mhz(&readings), [Some(868.3), Some(869.525)]);
    assert_eq!(places(&readings).len(), 2 * 2 * 5 * 6);
    for r in readings.iter() {
        is_near(power(&r), w_from_dbm(digits(&r)), name, r.line);
    }
    let first = readings.get(0).unwrap();
    assert_eq!((first.line, power(&first)), (8, w_from_dbm(-10.0)));
    assert_eq!(codes(name), ["decimal-comma"]);
    let quantity = ("Quantity".to_string(), "EIRP".to_string());
    assert!(readings.metadata().contains(&quantity));
}

#[test]
fn axes_in_entries_and_claimed_counts() {
    let name = "received-axis-entries.csv";
    let readings = readings(name, Quantity::ReceivedPower, 60);
    assert_eq!(mhz(&readings), [Some(868.3)]);
    assert_eq!(places(&readings).len(), 60);
    for r in readings.iter() {
        is_near(power(&r), w_from_dbm(digits(&r)), name, r.line);
    }
    assert!(codes(name).is_empty());
}

#[test]
fn blocks_turned_and_units_of_their_own() {
    let name = "eirp-turned-blocks.tsv";
    let readings = readings(name, Quantity::Eirp, 60);
    assert_eq!(mhz(&readings), [None]);
    assert_eq!(places(&readings).len(), 60);
    for r in readings.iter() {
        let want = match r.polarisation {
            // µW: 100 + θ + φ/1000.
            Polarisation::Phi => (100.0 + r.theta_deg + r.phi_deg / 1000.0) * 1e-6,
            _ => w_from_dbm(digits(&r)),
        };
        is_near(power(&r), want, name, r.line);
    }
    assert!(codes(name).is_empty());
}

#[test]
fn marks_and_missing_sensitivities() {
    let name = "eis-phi-rows-blanks.txt";
    let readings = readings(name, Quantity::Eis, 20);
    let at = |theta: f64, phi: f64, polarisation| {
        let all: Vec<(f64, Mark)> = readings
            .iter()
            .filter(|r| (r.theta_deg, r.phi_deg, r.polarisation) == (theta, phi, polarisation))
            .map(|r| (power(&r), r.mark))
            .collect();
        all
    };
    use Polarisation::{Phi, Theta};
    assert_eq!(at(135.0, 0.0, Theta), [(w_from_dbm(-100.3), Mark::Exact)]);
    assert_eq!(at(45.0, 120.0, Theta), [(w_from_dbm(-101.1), Mark::AtMost)]);
    assert_eq!(at(90.0, 120.0, Theta), [(w_from_dbm(-80.0), Mark::AtLeast)]);
    assert_eq!(at(135.0, 120.0, Theta), [(f64::INFINITY, Mark::AtLeast)]);
    assert!(at(45.0, 240.0, Theta).is_empty() && at(135.0, 240.0, Theta).is_empty());
    assert_eq!(at(180.0, 360.0, Theta), [(w_from_dbm(-100.4), Mark::Exact)]);
    assert_eq!(at(180.0, 0.0, Phi), [(w_from_dbm(-103.4), Mark::Exact)]);
    assert_eq!(at(0.0, 0.0, Phi), [(w_from_dbm(-103.0), Mark::Exact)]);
    // The second block is smaller, and that is said.
    assert_eq!(codes(name), ["blocks-unlike"]);
}

#[test]
fn fields_from_four_blocks() {
    let name = "field-four-blocks.csv";
    let readings = readings(name, Quantity::Field(FieldScale::Volt), 60);
    assert_eq!(places(&readings).len(), 60);
    for r in readings.iter() {
        let Value::Field(e) = r.value else {
            panic!("no field")
        };
        // re = ±(θ/1000 + φ/100000), im = ±(1 + θ/1000 + φ/100000), conjugated: the file is e^{−jωt}.
        let sign = if r.polarisation == Polarisation::Phi {
            -1.0
        } else {
            1.0
        };
        let re = sign * (r.theta_deg / 1e3 + r.phi_deg / 1e5);
        assert!((e.re - re).abs() < 1e-12, "line {}", r.line);
        assert!((e.im + sign + re).abs() < 1e-12, "line {}", r.line);
    }
    assert!(codes(name).is_empty());
}

#[test]
fn gain_without_a_corner() {
    let name = "gain-total-no-corner.txt";
    let readings = readings(name, Quantity::Gain, 8);
    let got: Vec<(f64, f64, f64)> = readings
        .iter()
        .map(|r| (r.theta_deg, r.phi_deg, power(&r)))
        .collect();
    let low = ratio_from_db(-1.0);
    let want = [
        (0.0, 0.0, low),
        (0.0, 90.0, low),
        (0.0, 180.0, low),
        (0.0, 270.0, low),
        (90.0, 0.0, 1.0),
        (90.0, 90.0, ratio_from_db(1.0)),
        (90.0, 180.0, ratio_from_db(0.25)),
        (90.0, 270.0, 0.0),
    ];
    assert_eq!(got, want);
    assert!(
        readings
            .iter()
            .all(|r| r.polarisation == Polarisation::Total)
    );
    assert_eq!(codes(name), ["zero-power"]);
}

#[test]
fn each_is_known_at_sight() {
    let mut count = 0;
    for entry in std::fs::read_dir(data().join("matrix/good")).unwrap() {
        let name = entry.unwrap().file_name().to_string_lossy().into_owned();
        let look = MatrixAdapter::new().look(&Head::of(&source(&name)));
        assert_eq!(
            look.confidence,
            Confidence::Certain,
            "{name}: {}",
            look.reason
        );
        count += 1;
    }
    assert_eq!(count, 8);
}

#[test]
fn files_of_other_families_are_not_claimed() {
    for family in std::fs::read_dir(data()).unwrap() {
        let folder = family.unwrap().path().join("good");
        if !folder.is_dir() || folder.ends_with("matrix/good") {
            continue;
        }
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            let bytes = std::fs::read(&path).unwrap();
            let Ok(source) = Source::from_bytes("t", bytes, &Limits::small()) else {
                continue;
            };
            let look = MatrixAdapter::new().look(&Head::of(&source));
            assert!(
                look.confidence <= Confidence::Maybe,
                "{}: {}",
                path.display(),
                look.reason
            );
        }
    }
}

#[test]
fn examples_of_the_readme_are_read() {
    let readme = include_str!("../README.md");
    let mut count = 0;
    for example in readme.split("```text\n").skip(1) {
        let example = example.split("```").next().unwrap();
        if example.contains('…') || example.lines().count() < 3 {
            continue;
        }
        let source = Source::from_text("README.md", example, &Limits::small()).unwrap();
        let options = ReadOptions::default();
        let read = MatrixAdapter::new().read(&source, &Limits::small(), &options);
        assert!(read.is_ok(), "{example}{}", read.unwrap_err());
        count += 1;
    }
    assert_eq!(count, 3);
}
