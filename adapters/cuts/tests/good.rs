//! Every good file, against the digits that stand in it.
#![cfg_attr(test, allow(clippy::unwrap_used, clippy::expect_used, clippy::panic))]

use spheresum_adapter_cuts::CutsAdapter;
use spheresum_core::intake::{Adapter, Confidence, Head, Intake, ReadOptions, Source};
use spheresum_core::model::FieldScale;
use spheresum_core::unit::level::w_from_dbm;
use spheresum_core::{Limits, Mark, Polarisation, Quantity, Reading, Readings, Value};
use std::collections::BTreeSet;
use std::path::PathBuf;

fn data() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../tests/data")
}

fn source(name: &str) -> Source {
    let bytes = std::fs::read(data().join("cuts/good").join(name)).unwrap();
    Source::from_bytes(name, bytes, &Limits::small()).unwrap()
}

fn read(name: &str) -> Intake {
    CutsAdapter::new()
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

/// The values of most files say where they stand: −10 − θ/10 − φ/1000, 0.5 more along φ, 0.0001 more at the second frequency.
fn check_digits(name: &str, readings: &Readings) {
    for r in readings.iter() {
        let dbm = -10.0 - r.theta_deg / 10.0 - r.phi_deg / 1000.0
            + if r.polarisation == Polarisation::Phi {
                0.5
            } else {
                0.0
            }
            + 0.0001 * r.frequency as f64;
        let (got, want) = (power(&r), w_from_dbm(dbm));
        assert!(
            (got / want - 1.0).abs() < 1e-12,
            "{name}: line {}: {got} is not {want}",
            r.line
        );
    }
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
fn great_circles_below_outer_titles() {
    let name = "eirp-great-circle-sections.csv";
    let readings = readings(name, Quantity::Eirp, 48);
    assert_eq!(mhz(&readings), [Some(868.3), Some(869.525)]);
    assert_eq!(places(&readings).len(), 2 * 2 * 2 * 6);
    check_digits(name, &readings);
    let first = readings.get(0).unwrap();
    // Folding is core's work.
    assert_eq!(
        (first.theta_deg, first.phi_deg, first.line),
        (-150.0, 0.0, 9)
    );
    assert_eq!(codes(name), ["decimal-comma"]);
}

#[test]
fn theta_and_phi_cuts_in_one_file() {
    let name = "eis-mixed-cuts.txt";
    let readings = readings(name, Quantity::Eis, 10);
    let got: Vec<(f64, f64, Polarisation, f64, Mark)> = readings
        .iter()
        .map(|r| (r.theta_deg, r.phi_deg, r.polarisation, power(&r), r.mark))
        .collect();
    use Mark::{AtLeast, AtMost, Exact};
    use Polarisation::{Phi, Theta};
    let want = [
        (0.0, 0.0, Theta, w_from_dbm(-100.0), Exact),
        (0.0, 0.0, Phi, w_from_dbm(-101.0), Exact),
        (45.0, 0.0, Theta, w_from_dbm(-100.5), AtMost),
        (90.0, 0.0, Theta, f64::INFINITY, AtLeast),
        (90.0, 0.0, Phi, w_from_dbm(-80.0), AtLeast),
        (45.0, 90.0, Theta, w_from_dbm(-102.0), Exact),
        (45.0, 90.0, Phi, w_from_dbm(-103.0), Exact),
        (45.0, 180.0, Theta, w_from_dbm(-102.5), Exact),
        (45.0, 270.0, Theta, w_from_dbm(-102.7), Exact),
        (45.0, 270.0, Phi, w_from_dbm(-103.7), Exact),
    ];
    assert_eq!(got, want);
    assert!(codes(name).is_empty());
}

#[test]
fn frequencies_in_the_rows_and_columns_in_another_order() {
    let name = "field-frequencies-in-rows.csv";
    let readings = readings(name, Quantity::Field(FieldScale::SqrtWatt), 24);
    assert_eq!(mhz(&readings), [Some(868.3), Some(869.525)]);
    assert_eq!(places(&readings).len(), 2 * 3 * 2 * 2);
    for r in readings.iter() {
        let Value::Field(e) = r.value else {
            panic!("no field")
        };
        // θ/1000 + 0.1 and 0.2 along θ, 0.3 and 0.4 along φ, conjugated: the file is e^{−jωt}.
        let along_phi = if r.polarisation == Polarisation::Phi {
            0.2
        } else {
            0.0
        };
        let re = r.theta_deg / 1e3 + 0.1 + along_phi;
        assert!(
            (e.re - re).abs() < 1e-12 && (e.im + re + 0.1).abs() < 1e-12,
            "line {}",
            r.line
        );
        assert!([30.0, 120.0].contains(&r.phi_deg));
    }
    assert!(codes(name).is_empty());
}

#[test]
fn one_polarisation_a_cut() {
    for (name, quantity, count, findings) in [
        (
            "received-one-polarisation-a-cut.txt",
            Quantity::ReceivedPower,
            12,
            &[][..],
        ),
        (
            "level-titles-say-all.txt",
            Quantity::InstrumentLevel,
            18,
            &["columns-unused"],
        ),
    ] {
        let readings = readings(name, quantity, count);
        assert_eq!(mhz(&readings), [Some(868.3)]);
        assert_eq!(places(&readings).len(), count);
        check_digits(name, &readings);
        assert_eq!(codes(name), findings);
    }
}

#[test]
fn a_single_cut_with_a_polarisation_column() {
    let name = "gain-single-cut.csv";
    let readings = readings(name, Quantity::Gain, 4);
    let got: Vec<(f64, f64, Polarisation, f64)> = readings
        .iter()
        .map(|r| (r.theta_deg, r.phi_deg, r.polarisation, power(&r)))
        .collect();
    use Polarisation::{Phi, Theta};
    let want = [
        (0.0, 45.0, Theta, 1.25),
        (0.0, 45.0, Phi, 0.5),
        (90.0, 45.0, Theta, 2.0),
        (90.0, 45.0, Phi, 0.0),
    ];
    assert_eq!(got, want);
}

#[test]
fn each_is_known_at_sight() {
    let mut count = 0;
    for entry in std::fs::read_dir(data().join("cuts/good")).unwrap() {
        let name = entry.unwrap().file_name().to_string_lossy().into_owned();
        let look = CutsAdapter::new().look(&Head::of(&source(&name)));
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
        if !folder.is_dir() || folder.ends_with("cuts/good") {
            continue;
        }
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            let bytes = std::fs::read(&path).unwrap();
            let Ok(source) = Source::from_bytes("t", bytes, &Limits::small()) else {
                continue;
            };
            let look = CutsAdapter::new().look(&Head::of(&source));
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
        if example.contains('…') {
            continue;
        }
        let source = Source::from_text("README.md", example, &Limits::small()).unwrap();
        let read = CutsAdapter::new().read(&source, &Limits::small(), &ReadOptions::default());
        assert!(read.is_ok(), "{example}{}", read.unwrap_err());
        count += 1;
    }
    assert_eq!(count, 3);
}
