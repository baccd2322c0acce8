//! The worked examples: each file is read by its layout to the readings of one sphere, to the last bit.
#![cfg_attr(test, allow(clippy::unwrap_used, clippy::expect_used, clippy::panic))]

use spheresum_adapter_layout::{Layout, LayoutAdapter};
use spheresum_core::intake::{Adapter, Confidence, Head, Intake, ReadOptions, Source};
use spheresum_core::unit::level::w_from_dbm;
use spheresum_core::{Limits, Mark, Polarisation, Quantity, Value};
use std::collections::BTreeMap;
use std::path::PathBuf;

fn folder() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("examples")
}

fn layout(name: &str) -> LayoutAdapter {
    let file = format!("{name}.toml");
    let bytes = std::fs::read(folder().join(&file)).unwrap();
    LayoutAdapter::new(
        Layout::from_bytes(&file, bytes).unwrap_or_else(|e| panic!("{e}: {:?}", e.advice())),
    )
}

fn source(name: &str) -> Source {
    let file = format!("{name}.txt");
    let bytes = std::fs::read(folder().join(&file)).unwrap();
    Source::from_bytes(&file, bytes, &Limits::default()).unwrap()
}

fn read(name: &str) -> Intake {
    layout(name)
        .read(&source(name), &Limits::default(), &ReadOptions::default())
        .unwrap_or_else(|e| panic!("{e}: {:?}", e.advice()))
}

/// By θ, φ (whole degrees) and polarisation: the bits of the value in watts.
type Values = BTreeMap<(i64, i64, &'static str), u64>;

/// The reference file's digits, taken apart by hand.
fn reference() -> Values {
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR"))
        .join("../../tests/data/same-sphere/reference.csv");
    let text = std::fs::read_to_string(path).unwrap();
    let mut values = Values::new();
    for line in text.lines().filter(|l| l.starts_with("868.3,")) {
        let fields: Vec<&str> = line.split(',').collect();
        let angle = |n: usize| fields[n].parse::<i64>().unwrap();
        for (n, polarisation) in [(3, "theta"), (4, "phi")] {
            let watts = w_from_dbm(fields[n].parse().unwrap());
            values.insert((angle(1), angle(2), polarisation), watts.to_bits());
        }
    }
    assert_eq!(values.len(), 168);
    values
}

fn same_as_reference(name: &str, marked: &[(i64, i64, &'static str)]) {
    let intake = read(name);
    assert!(intake.findings.is_empty(), "{name}: {:?}", intake.findings);
    let readings = intake.readings.unwrap();
    assert_eq!(readings.quantity(), Quantity::Eirp, "{name}");
    let mhz: Vec<String> = readings
        .frequencies()
        .iter()
        .map(|f| f.unwrap().to_string())
        .collect();
    assert_eq!(mhz, ["868.3 MHz"], "{name}");
    let mut values = Values::new();
    for reading in readings.iter() {
        let Value::Power(watts) = reading.value else {
            panic!("{name}: a field");
        };
        // The clockwise bearings of one example come back as angles below zero.
        let phi = (reading.phi_deg + 360.0) % 360.0;
        let at = (
            reading.theta_deg as i64,
            phi as i64,
            match reading.polarisation {
                Polarisation::Theta => "theta",
                Polarisation::Phi => "phi",
                Polarisation::Total => "total",
            },
        );
        assert_eq!((at.0 as f64, at.1 as f64), (reading.theta_deg, phi));
        let mark = if marked.contains(&at) {
            Mark::AtMost
        } else {
            Mark::Exact
        };
        assert_eq!(reading.mark, mark, "{name}: {at:?}");
        assert!(
            values.insert(at, watts.to_bits()).is_none(),
            "{name}: {at:?} twice"
        );
    }
    assert_eq!(values, reference(), "{name}");
}

#[test]
fn words() {
    same_as_reference("words", &[]);
}

#[test]
fn numbers() {
    same_as_reference("numbers", &[]);
}

#[test]
fn blocks() {
    same_as_reference("blocks", &[]);
}

#[test]
fn cuts() {
    same_as_reference("cuts", &[]);
}

#[test]
fn fixed() {
    // One field holds the word for "below the floor", whose level is the reference's value there.
    same_as_reference("fixed", &[(90, 0, "phi")]);
}

#[test]
fn each_layout_recognises_its_own_file_alone() {
    let names = ["words", "numbers", "blocks", "cuts", "fixed"];
    for mine in names {
        for other in names {
            let look = layout(mine).look(&Head::of(&source(other)));
            let want = match (mine == other, mine) {
                (false, _) => Confidence::None,
                (true, "blocks") => Confidence::Likely,
                (true, _) => Confidence::Certain,
            };
            assert_eq!(look.confidence, want, "{mine} {other}: {}", look.reason);
        }
    }
}

#[test]
fn every_example_is_tested_and_told_of() {
    let tested = include_str!("examples.rs");
    let told = std::fs::read_to_string(folder().join("README.md")).unwrap();
    let mut count = 0;
    for entry in std::fs::read_dir(folder()).unwrap() {
        let name = entry.unwrap().file_name().to_string_lossy().into_owned();
        if let Some(stem) = name.strip_suffix(".toml") {
            assert!(
                tested.contains(&format!("same_as_reference(\"{stem}\"")),
                "{name}"
            );
            assert!(told.contains(&format!("{stem}.toml")), "{name}");
            count += 1;
        }
    }
    assert_eq!(count, 5);
}
