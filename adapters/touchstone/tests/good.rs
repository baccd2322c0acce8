//! Every good file and every fact of the format, against values from outside.
#![cfg_attr(test, allow(clippy::unwrap_used, clippy::expect_used, clippy::panic))]

mod data;

use spheresum_adapter_touchstone::TouchstoneAdapter;
use spheresum_core::intake::{Adapter, Confidence, Head, Intake, ReadOptions, Source};
use spheresum_core::model::{Complex64, Parameter};
use spheresum_core::{Limits, PortMatrix, PortPair};
use std::collections::{BTreeMap, BTreeSet};

fn matrix(intake: &Intake) -> &PortMatrix {
    intake.curve.as_ref().unwrap().ports().unwrap()
}

fn codes(intake: &Intake) -> Vec<&str> {
    intake.findings.iter().map(|f| f.code.as_str()).collect()
}

fn good(name: &str) -> Intake {
    data::read_file(&format!("good/{name}"), &ReadOptions::default())
        .unwrap_or_else(|e| panic!("{name}: {e}"))
}

#[test]
fn values_are_those_of_outside() {
    let rows = data::table("expected.csv");
    assert_eq!(rows[0].join(","), "file,frequency_hz,to,from,re,im,source");
    let mut by_file: BTreeMap<&str, Vec<&Vec<String>>> = BTreeMap::new();
    for row in rows.iter().skip(1) {
        assert_eq!(row.len(), 7, "{row:?}");
        assert!(row[6].len() > 5, "{row:?} has no source");
        by_file.entry(&row[0]).or_default().push(row);
    }
    let listed: Vec<&str> = by_file.keys().copied().collect();
    assert_eq!(listed, data::names("good"));
    for (file, rows) in by_file {
        let intake = good(file);
        let matrix = matrix(&intake);
        // Every value that was read is judged, and no other.
        let read = matrix.frequencies().len() * matrix.pairs().count();
        assert_eq!(rows.len(), read, "{file}");
        for row in rows {
            let number = |at: usize| row[at].parse::<f64>().unwrap();
            let pair = PortPair {
                to: row[2].parse().unwrap(),
                from: row[3].parse().unwrap(),
            };
            let at = matrix
                .frequencies()
                .iter()
                .position(|f| f.hz() == number(1));
            let got = matrix.value(at.expect("the frequency"), pair).unwrap();
            let want = Complex64::new(number(4), number(5));
            let tolerance = 1e-12 * want.norm().max(1e-3);
            assert!((got - want).norm() <= tolerance, "{row:?}: {got}");
        }
    }
}

#[test]
fn references_parameters_and_notes() {
    for (file, parameter, reference, notes) in [
        (
            "g-normalised.s2p",
            Parameter::G,
            vec![50.0; 2],
            vec!["normalised"],
        ),
        (
            "h-normalised.s2p",
            Parameter::H,
            vec![50.0; 2],
            vec!["normalised"],
        ),
        (
            "j1_default_option_line.s1p",
            Parameter::S,
            vec![50.0],
            vec![],
        ),
        ("j2_two_port_order.s2p", Parameter::S, vec![50.0; 2], vec![]),
        (
            "j3_db_with_noise.s2p",
            Parameter::S,
            vec![75.0; 2],
            vec!["noise-block"],
        ),
        (
            "j4_three_port_rows.s3p",
            Parameter::S,
            vec![50.0; 3],
            vec![],
        ),
        (
            "j5_v2_order_12_21.ts",
            Parameter::S,
            vec![50.0, 75.0],
            vec![],
        ),
        ("j6_v1_z_normalised.s1p", Parameter::Z, vec![75.0], vec![]),
        ("j7_v2_z_ohms.ts", Parameter::Z, vec![20.0], vec![]),
        (
            "j8_four_port_lines.s4p",
            Parameter::S,
            vec![50.0; 4],
            vec![],
        ),
        ("path-hz.s2p", Parameter::S, vec![50.0; 2], vec![]),
        (
            "ports-from-data.txt",
            Parameter::S,
            vec![50.0, 75.0],
            vec![],
        ),
        ("range-three-port.s3p", Parameter::S, vec![50.0; 3], vec![]),
        (
            "v2-lower-three-port.ts",
            Parameter::S,
            vec![50.0, 60.0, 75.5],
            vec![],
        ),
        (
            "v2-noise.s2p",
            Parameter::S,
            vec![50.0, 25.0],
            vec!["noise-block"],
        ),
        ("v2-upper-two-port.ts", Parameter::Y, vec![50.0; 2], vec![]),
        (
            "v2.1-four-port-no-end.ts",
            Parameter::S,
            vec![50.0; 4],
            vec!["version-2.1", "end-missing"],
        ),
        (
            "y-normalised.s2p",
            Parameter::Y,
            vec![75.0; 2],
            vec!["normalised"],
        ),
        (
            "zero-hertz-two-option-lines.s1p",
            Parameter::S,
            vec![50.0],
            vec!["more-option-lines", "zero-hertz"],
        ),
    ] {
        let intake = good(file);
        assert_eq!(matrix(&intake).parameter(), parameter, "{file}");
        assert_eq!(matrix(&intake).reference_ohm(), reference, "{file}");
        assert_eq!(codes(&intake), notes, "{file}");
    }
}

#[test]
fn notes_have_places() {
    for name in data::names("good") {
        for finding in good(&name).findings {
            let place = finding.place.unwrap_or_default();
            assert!(place.line.is_some(), "{name}: {}", finding.code);
        }
    }
    let noise = good("j3_db_with_noise.s2p").findings.remove(0);
    assert!(noise.message.contains("2 frequencies"), "{}", noise.message);
    assert_eq!(noise.place.unwrap().line, Some(6));
}

#[test]
fn facts_of_the_format() {
    let rows = data::table("facts.csv");
    let heading =
        "id,name,text,frequency_hz,parameter,to,from,re,im,reference_ohm,finding,tolerance,source";
    assert_eq!(rows[0].join(","), heading);
    let mut seen = BTreeSet::new();
    for row in rows.iter().skip(1) {
        let [
            id,
            name,
            text,
            hz,
            parameter,
            to,
            from,
            re,
            im,
            reference,
            finding,
            tolerance,
            source,
        ] = &row[..]
        else {
            panic!("{row:?}");
        };
        let text = text.replace('|', "\n");
        let intake = data::read_text(name, &text, &[]).unwrap_or_else(|e| panic!("{id}: {e}"));
        let matrix = matrix(&intake);
        let mut judged = 0;
        let mut judge = |field: &String, holds: &dyn Fn(f64) -> bool| {
            if !field.is_empty() {
                judged += 1;
                assert!(holds(field.parse().unwrap()), "{row:?}: {matrix:?}");
            }
        };
        judge(hz, &|hz| matrix.frequencies()[0].hz() == hz);
        let port = to.parse().unwrap_or(1);
        judge(reference, &|ohm| matrix.reference_ohm()[port - 1] == ohm);
        let tolerance: f64 = if tolerance.is_empty() {
            0.0
        } else {
            tolerance.parse().unwrap()
        };
        let value = || {
            let from = from.parse().unwrap();
            matrix.value(0, PortPair { to: port, from }).unwrap()
        };
        judge(re, &|re| (value().re - re).abs() <= tolerance);
        judge(im, &|im| (value().im - im).abs() <= tolerance);
        if !parameter.is_empty() {
            judged += 1;
            assert_eq!(matrix.parameter().letter(), parameter, "{row:?}");
        }
        let is_noted = finding.is_empty() || codes(&intake).contains(&finding.as_str());
        assert!(is_noted, "{row:?}: {:?}", intake.findings);
        assert!(judged > 0 && source.len() > 10, "{row:?}");
        seen.insert(id.clone());
    }
    // The others are tested by files: see the README beside the table.
    let want: BTreeSet<String> = (1..=29)
        .filter(|n| ![20, 23].contains(n))
        .map(|n| format!("J{n:02}"))
        .collect();
    assert_eq!(seen, want);
}

#[test]
fn good_files_are_recognised() {
    let adapter = TouchstoneAdapter::new();
    for name in data::names("good") {
        let bytes = std::fs::read(data::path(&format!("good/{name}"))).unwrap();
        let source = Source::from_bytes(&name, bytes, &Limits::small()).unwrap();
        let look = adapter.look(&Head::of(&source));
        assert_eq!(
            look.confidence,
            Confidence::Certain,
            "{name}: {}",
            look.reason
        );
    }
}
