//! Every bad file: group, line, column and words of its error, as `EXPECTED.csv` beside them says.
#![cfg_attr(test, allow(clippy::unwrap_used, clippy::expect_used, clippy::panic))]

use spheresum_adapter_matrix::MatrixAdapter;
use spheresum_core::intake::{Adapter, ReadOptions, Source};
use spheresum_core::{Error, Limits};
use std::collections::BTreeSet;
use std::path::PathBuf;

fn folder() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../tests/data/matrix/bad")
}

fn error_of(name: &str) -> Error {
    let limits = Limits::default();
    let bytes = std::fs::read(folder().join(name)).unwrap();
    let read = Source::from_bytes(name, bytes, &limits)
        .and_then(|s| MatrixAdapter::new().read(&s, &limits, &ReadOptions::default()));
    match read {
        Err(error) => error,
        Ok(_) => panic!("{name} was read"),
    }
}

/// Rows of `EXPECTED.csv`: file, group, line, column, part of the message.
fn expected() -> Vec<[String; 5]> {
    let text = std::fs::read_to_string(folder().join("EXPECTED.csv")).unwrap();
    let mut lines = text.lines();
    assert_eq!(
        lines.next(),
        Some("file,group,line,column,message_contains")
    );
    lines
        .map(|line| {
            let mut fields: Vec<String> = line.splitn(5, ',').map(ToString::to_string).collect();
            let message = fields.pop().unwrap();
            let message = match message.strip_prefix('"').and_then(|m| m.strip_suffix('"')) {
                Some(quoted) => quoted.replace("\"\"", "\""),
                None => message,
            };
            fields.push(message);
            fields.try_into().unwrap()
        })
        .collect()
}

#[test]
fn each_has_its_place_and_words() {
    let mut wrong = Vec::new();
    for [file, group, line, column, part] in expected() {
        let error = error_of(&file);
        let place = error.place().cloned().unwrap_or_default();
        let got = (
            error.group().as_str().to_string(),
            place.line.unwrap_or(0).to_string(),
            place.column.unwrap_or(0).to_string(),
        );
        if got != (group, line, column) || !error.message().contains(&part) {
            wrong.push(format!("{file}: {got:?} {error}"));
        }
        assert!(
            error.advice().is_some_and(|a| !a.is_empty()),
            "{file} has no hint"
        );
        assert!(place.byte.is_some(), "{file} has no byte");
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn the_list_is_that_of_the_files() {
    let listed: BTreeSet<String> = expected().into_iter().map(|[file, ..]| file).collect();
    let present: BTreeSet<String> = std::fs::read_dir(folder())
        .unwrap()
        .map(|e| e.unwrap().file_name().to_string_lossy().into_owned())
        .filter(|name| name != "EXPECTED.csv")
        .collect();
    assert_eq!(listed, present);
    assert!(listed.len() >= 30);
}
