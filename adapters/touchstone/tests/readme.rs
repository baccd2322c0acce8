//! The README is true: its examples are read, and it names every keyword, option and note.
#![cfg_attr(test, allow(clippy::unwrap_used, clippy::expect_used, clippy::panic))]

mod data;

use std::path::PathBuf;

const README: &str = include_str!("../README.md");

#[test]
fn examples_are_read() {
    let blocks: Vec<&str> = README
        .split("```text\n")
        .skip(1)
        .filter_map(|rest| rest.split("```").next())
        .collect();
    assert!(blocks.len() >= 3);
    for block in blocks {
        let intake =
            data::read_text("readme", block, &[]).unwrap_or_else(|e| panic!("{e}\n{block}"));
        assert!(intake.findings.is_empty(), "{block}: {:?}", intake.findings);
    }
}

/// The code of the crate, without its tests.
fn code() -> String {
    let mut folders = vec![PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("src")];
    let mut code = String::new();
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else {
                code.push_str(&std::fs::read_to_string(path).unwrap());
            }
        }
    }
    code
}

#[test]
fn every_note_is_listed() {
    // A note's code is the first text in its call.
    let code = code();
    let calls = ["Finding::note(", "Finding::warning("];
    let mut found = 0;
    for call in calls {
        for rest in code.split(call).skip(1) {
            let name = rest.split('"').nth(1).unwrap();
            assert!(README.contains(&format!("| `{name}` |")), "{name}");
            found += 1;
        }
    }
    assert!(found >= 12, "{found}");
}

#[test]
fn every_keyword_and_option_is_listed() {
    let code = include_str!("../src/keyword.rs");
    let list = code
        .split("ALL: ")
        .nth(1)
        .unwrap()
        .split("];")
        .next()
        .unwrap();
    let keywords = list
        .split("(\"[")
        .skip(1)
        .filter_map(|rest| rest.split(']').next());
    let mut found = 0;
    for keyword in keywords {
        assert!(README.contains(&format!("`[{keyword}]`")), "{keyword}");
        found += 1;
    }
    assert!(found >= 13, "{found}");
    let error = data::read_text("a.s1p", "#\n1 0.5 0\n", &[("bogus", "1")]).unwrap_err();
    let list = error
        .advice()
        .unwrap()
        .strip_prefix("its options: ")
        .unwrap()
        .to_string();
    for option in list.split(", ") {
        assert!(README.contains(&format!("`{option}`")), "{option}");
    }
}
