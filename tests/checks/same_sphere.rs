//! One sphere in a file of each family: the same digits and units give the same figures to the last bit, other units within
//! 1e-12 of the value.
//!
//! The sphere is the closed form of a short dipole along x of 10 mW, with 0.01 mW added in each polarisation, in dBm with four
//! decimals; `tests/data/same-sphere/reference.csv` holds it as the canonical file.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use spheresum_core::Limits;
use spheresum_core::figure::Figure;
use spheresum_core::intake::{ReadOptions, Source};
use spheresum_core::reduce::{ReduceOptions, reduce_readings};
use spheresum_core::unit::level::w_from_dbm;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

fn data() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("data")
}

/// All figures of a file that is read by detection alone, by name, and the adapter that read it.
fn figures(path: &Path) -> (String, BTreeMap<String, Figure>) {
    let limits = Limits::default();
    let name = path.display().to_string();
    let bytes = std::fs::read(path).unwrap();
    let source = Source::from_bytes(&name, bytes, &limits).unwrap();
    let registry = spheresum_adapters::registry();
    let (id, intake) = registry
        .read(&source, None, &limits, &ReadOptions::default())
        .unwrap_or_else(|e| panic!("{name}: {e}"));
    let readings = intake.readings.unwrap();
    let reduction = reduce_readings(&[readings], &ReduceOptions::default(), &limits).unwrap();
    assert_eq!(reduction.channels.len(), 1, "{name}");
    let figures = reduction.channels[0].figures.iter();
    (
        id,
        figures.map(|f| (f.name.to_string(), f.clone())).collect(),
    )
}

/// The files called `stem.*` among the good ones of every family.
fn files(stem: &str) -> Vec<(String, PathBuf)> {
    let mut found = Vec::new();
    for family in std::fs::read_dir(data()).unwrap() {
        let family = family.unwrap().path();
        let Ok(entries) = std::fs::read_dir(family.join("good")) else {
            continue;
        };
        let id = family.file_name().unwrap().to_string_lossy().into_owned();
        for entry in entries {
            let path = entry.unwrap().path();
            if path.file_stem().is_some_and(|s| s == stem) {
                found.push((id.clone(), path));
            }
        }
    }
    found.sort();
    found
}

#[test]
fn same_digits_give_the_same_bits() {
    let (_, reference) = figures(&data().join("same-sphere/reference.csv"));
    let found = files("same-sphere");
    let families: Vec<&str> = found.iter().map(|f| f.0.as_str()).collect();
    let registry = spheresum_adapters::registry();
    // Touchstone has no directions.
    let mut readers: Vec<&str> = registry.iter().map(|a| a.describe().id.as_str()).collect();
    readers.retain(|id| *id != "touchstone");
    readers.sort_unstable();
    assert_eq!(families, readers, "each family of readings has the sphere");
    for (family, path) in &found {
        let (id, figures) = figures(path);
        assert_eq!(&id, family, "{}", path.display());
        assert_eq!(figures.len(), reference.len());
        for (name, figure) in &figures {
            let of = &reference[name];
            let bits = |v: Option<f64>| v.map(f64::to_bits);
            assert_eq!(bits(figure.value), bits(of.value), "{family}: {name}");
            assert_eq!(bits(figure.lower), bits(of.lower), "{family}: {name}");
            assert_eq!(bits(figure.upper), bits(of.upper), "{family}: {name}");
            assert_eq!(figure.theta_deg, of.theta_deg, "{family}: {name}");
        }
    }
}

/// The mean over the sphere of 15 mW (cos²θ cos²φ + sin²φ) is 10 mW (cos²θ cos²φ: 1/6, sin²φ: 1/2), and 0.02 mW are added: closed
/// form. Clenshaw–Curtis is exact for it on this grid; the four decimals leave 1e-4 dB.
#[test]
fn every_family_gives_the_power_of_the_closed_form() {
    let mut options = ReduceOptions::default();
    options.rule = "clenshaw-curtis".parse().unwrap();
    let want_dbm = 10.0 * 10.02_f64.log10();
    for (family, path) in files("same-sphere") {
        let limits = Limits::default();
        let bytes = std::fs::read(&path).unwrap();
        let source = Source::from_bytes(&family, bytes, &limits).unwrap();
        let registry = spheresum_adapters::registry();
        let read = registry.read(&source, None, &limits, &ReadOptions::default());
        let readings = read.unwrap().1.readings.unwrap();
        let reduction = reduce_readings(&[readings], &options, &limits).unwrap();
        let trp = reduction.channels[0].figure("trp").unwrap().value.unwrap();
        assert!((trp - want_dbm).abs() < 1e-4, "{family}: {trp} dBm");
    }
}

#[test]
fn other_units_give_the_same_power() {
    let (_, reference) = figures(&data().join("same-sphere/reference.csv"));
    let mut found = files("same-sphere-other-units");
    assert!(found.len() >= 4, "{found:?}");
    found.push((
        "delimited".to_string(),
        data().join("same-sphere/other-units.csv"),
    ));
    for (family, path) in &found {
        let (id, figures) = figures(path);
        assert_eq!(&id, family, "{}", path.display());
        for (name, figure) in &figures {
            let of = &reference[name];
            let (Some(got), Some(want)) = (figure.value, of.value) else {
                assert_eq!(figure.value, of.value, "{family}: {name}");
                continue;
            };
            // In watts, or as a ratio, where the figure is in decibels.
            let relative = if figure.unit.symbol().starts_with("dB") {
                w_from_dbm(got - want) * 1e3 - 1.0
            } else {
                got / want - 1.0
            };
            assert!(
                relative.abs() <= 1e-12,
                "{family}: {name}: {got} is not {want}"
            );
        }
    }
}
