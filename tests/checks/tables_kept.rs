//! The built-in tables are kept in order: nothing lies about unused, no figure rests on our own output, and every row can fail.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use spheresum_core::figure::FigureState;
use spheresum_core::table::{self, Asked, Check, SPHERES};
use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

/// Files below a folder with an ending, relative to it.
fn files(folder: &Path, ending: &str) -> BTreeSet<String> {
    let mut found = BTreeSet::new();
    let mut folders = vec![folder.to_path_buf()];
    while let Some(at) = folders.pop() {
        for entry in std::fs::read_dir(&at).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else if path.extension().is_some_and(|e| e == ending) {
                let relative = path.strip_prefix(folder).unwrap();
                let parts: Vec<_> = relative.iter().map(|p| p.to_str().unwrap()).collect();
                found.insert(parts.join("/"));
            }
        }
    }
    found
}

#[test]
fn every_file_is_built_in() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../core/tables");
    let tables: BTreeSet<String> = table::builtin().map(|(name, _)| name.to_string()).collect();
    assert_eq!(files(&folder, "tbl"), tables);
    let spheres: BTreeSet<String> = SPHERES.iter().map(|s| format!("{}.csv", s.name)).collect();
    assert_eq!(files(&folder.join("spheres"), "csv"), spheres);
}

#[test]
fn every_sphere_is_used() {
    let all: String = table::builtin().map(|(_, text)| text).collect();
    for sphere in SPHERES {
        assert!(
            all.contains(&format!("sphere: {}\n", sphere.name)),
            "{} is in no table",
            sphere.name
        );
    }
}

/// Earlier output of this library is never the only evidence for a figure.
#[test]
fn no_figure_rests_on_snapshots() {
    let mut firm: BTreeMap<String, bool> = BTreeMap::new();
    for (name, text) in table::builtin() {
        for case in table::parse(name, text).unwrap().cases {
            for row in &case.rows {
                if let Check::Gives {
                    of: Asked::One(of), ..
                } = &row.check
                {
                    *firm.entry(of.clone()).or_default() |= !row.is_snapshot();
                }
            }
        }
    }
    let soft: Vec<_> = firm.iter().filter(|(_, firm)| !**firm).collect();
    assert!(soft.is_empty(), "{soft:?}");
}

#[test]
fn the_example_of_the_readme_reads_and_passes() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../core/tables/README.md");
    let readme = std::fs::read_to_string(path).unwrap();
    let (_, after) = readme.split_once("```text\n").unwrap();
    let (example, _) = after.split_once("```").unwrap();
    for case in table::parse("README.md", example).unwrap().cases {
        let outcome = table::run_rust(&case);
        for row in &case.rows {
            let judgement = table::judge(row, &outcome);
            assert!(judgement.passed, "{}: {}", case.name, judgement.message);
        }
    }
}

/// A row that asks for something slightly else must fail on the Rust face: no row passes whatever comes out.
#[test]
fn every_row_can_fail() {
    for (name, text) in table::builtin() {
        for case in table::parse(name, text).unwrap().cases {
            let outcome = table::run_rust(&case);
            for row in &case.rows {
                let mut wrong = row.clone();
                match &mut wrong.check {
                    Check::Gives { amount, within, .. } => {
                        amount.value += 3.0
                            * within
                                .about(amount.value)
                                .max(1e-12 * amount.value.abs().max(1.0));
                    }
                    Check::Never { of, amount, .. } => {
                        // The right amount must be recognised as such.
                        let right = case.rows.iter().find_map(|r| match &r.check {
                            Check::Gives {
                                of: x,
                                amount: right,
                                ..
                            } if x == of && right.unit == amount.unit => Some(*right),
                            _ => None,
                        });
                        *amount = right.unwrap();
                    }
                    Check::Is { state, .. } => {
                        *state = match *state {
                            FigureState::NotAboveZero => FigureState::Zero,
                            _ => FigureState::NotAboveZero,
                        };
                    }
                    Check::Fails(group) => *group = spheresum_core::Group::Io,
                    other => panic!("{other:?} is new: spoil it here"),
                }
                let judgement = table::judge(&wrong, &outcome);
                assert!(
                    !judgement.passed,
                    "{name}:{} {}",
                    row.line, judgement.message
                );
            }
        }
    }
}
