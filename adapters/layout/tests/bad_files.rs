//! Every bad file, read by a good layout: group, line, column and words of its error, as `EXPECTED.csv` beside them says. The part
//! of a file's name in front of `--` is that of its layout.
#![cfg_attr(test, allow(clippy::unwrap_used, clippy::expect_used, clippy::panic))]

mod expected;

use expected::{data, expected, listed_and_present};
use spheresum_adapter_layout::{Layout, LayoutAdapter};
use spheresum_core::intake::{Adapter, ReadOptions, Source};
use spheresum_core::{Error, Limits};

fn error_of(name: &str) -> Error {
    let limits = Limits::default();
    let layout = format!("{}.toml", name.split_once("--").unwrap().0);
    let text = std::fs::read_to_string(data("files").join(&layout)).unwrap();
    let adapter = LayoutAdapter::new(Layout::parse(&layout, &text).unwrap());
    let bytes = std::fs::read(data("files").join(name)).unwrap();
    let read = Source::from_bytes(name, bytes, &limits)
        .and_then(|s| adapter.read(&s, &limits, &ReadOptions::default()));
    match read {
        Err(error) => error,
        Ok(_) => panic!("{name} was read"),
    }
}

#[test]
fn each_has_its_place_and_words() {
    let mut wrong = Vec::new();
    for row in expected("files") {
        let error = error_of(&row[0]);
        wrong.extend(expected::difference(&row, &error, &row[0]));
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn the_list_is_that_of_the_files() {
    let (listed, present) = listed_and_present("files", ".txt");
    assert_eq!(listed, present);
    assert!(listed.len() >= 30);
}

#[test]
fn where_the_layout_is_to_blame_its_line_is_named() {
    for (name, part) in [
        ("table--word.txt", "table.toml, line 15"),
        ("table--word.txt", "[tokens]"),
        ("table--other-heading.txt", "did you mean \"Pwr V\"?"),
        ("numbered--missing-angle.txt", "numbered.toml, line 11"),
        ("matrix--no-title.txt", "matrix.toml, line 6"),
        ("matrix--no-corner.txt", "corner = false"),
        ("matrix--strange-word.txt", "matrix.toml, line 6"),
        ("cuts--title-no-number.txt", "cuts.toml, line 6"),
        ("fixed--stars.txt", "fixed.toml, line 13"),
    ] {
        let error = error_of(name);
        let hint = error.advice().unwrap_or_default();
        assert!(hint.contains(part), "{name}: {hint}");
    }
}
