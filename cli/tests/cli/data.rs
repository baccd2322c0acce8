//! The project's good, bad and unsupported files through the command.

use crate::bench::{Bench, figure};
use std::path::{Path, PathBuf};

fn data(below: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../tests/data")
        .join(below)
}

/// Files that no adapter takes for its own: only an adapter that is named has a place for what is wrong.
const NOT_RECOGNISED: [&str; 2] = ["comments-only.csv", "title-line.csv"];

/// Names of the files of a folder, sorted.
fn names(folder: &Path) -> Vec<String> {
    let entries = std::fs::read_dir(folder).unwrap();
    let mut names: Vec<String> = entries
        .map(|e| e.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    names
}

/// Fields of a line of comma-separated values, quotes undone.
fn fields(line: &str) -> Vec<String> {
    let (mut fields, mut quoted) = (vec![String::new()], false);
    let mut signs = line.chars().peekable();
    while let Some(sign) = signs.next() {
        match sign {
            '"' if quoted && signs.peek() == Some(&'"') => {
                signs.next();
                fields.last_mut().unwrap().push('"');
            }
            '"' => quoted = !quoted,
            ',' if !quoted => fields.push(String::new()),
            other => fields.last_mut().unwrap().push(other),
        }
    }
    fields
}

/// Text without line breaks and indents of a wrapped message.
fn joined(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn every_bad_file_exits_with_3_and_its_place() {
    let bench = Bench::new();
    let folder = data("delimited/bad");
    let expected = std::fs::read_to_string(folder.join("EXPECTED.csv")).unwrap();
    let mut rows = expected.lines().map(fields);
    assert_eq!(
        rows.next().unwrap(),
        ["file", "group", "line", "column", "message_contains"]
    );
    let rows: Vec<_> = rows.collect();
    assert!(rows.len() >= 30);
    let mut listed: Vec<String> = rows.iter().map(|r| r[0].clone()).collect();
    listed.push("EXPECTED.csv".to_string());
    listed.sort();
    assert_eq!(listed, names(&folder), "every bad file is listed");
    for row in rows {
        let [name, group, line, column, message] = &row[..] else {
            panic!("{row:?}");
        };
        assert!(["input", "ambiguous", "unsupported", "limit"].contains(&group.as_str()));
        let path = folder.join(name);
        let path = path.to_str().unwrap();
        for command in ["reduce", "look"] {
            let refused = |words: &[&str]| {
                let ran = bench.run(words).must_be(3);
                // Where no adapter is sure, a look proposes a layout.
                let proposal = command == "look" && ran.out.starts_with("# No adapter is sure of ");
                assert!(ran.out.is_empty() || proposal, "{name}: {}", ran.out);
                assert!(ran.err.contains("help: "), "{name}: {}", ran.err);
                ran.err
            };
            let by_itself = refused(&[command, path]);
            let by_name = refused(&[command, path, "--adapter", "delimited"]);
            if NOT_RECOGNISED.contains(&name.as_str()) {
                assert!(by_itself.contains("no adapter recognises"), "{by_itself}");
                assert!(by_itself.contains(path), "{by_itself}");
            } else {
                assert_eq!(by_itself, by_name, "{name}");
            }
            let place = format!("{path}:{line}:{column}\n");
            assert!(
                format!("{by_name}\n").contains(&place),
                "{name}: {place}\n{by_name}"
            );
            assert!(
                joined(&by_name).contains(&joined(message)),
                "{name}: {message}\n{by_name}"
            );
        }
    }
}

#[test]
fn every_good_file_can_be_looked_at() {
    let bench = Bench::new();
    let folder = data("delimited/good");
    let names = names(&folder);
    assert!(names.len() >= 10);
    for name in names {
        let path = folder.join(&name);
        let ran = bench.run(&["look", path.to_str().unwrap()]).must_be(0);
        assert!(ran.err.is_empty(), "{name}: {}", ran.err);
        assert!(ran.out.contains("delimited ("), "{name}: {}", ran.out);
        if name.starts_with("range-loss") {
            assert!(ran.out.contains("curve against frequency"), "{}", ran.out);
        } else {
            assert!(ran.out.contains("equal angle"), "{name}: {}", ran.out);
        }
    }
}

#[test]
fn one_polarisation_alone_exits_with_4_and_its_bound() {
    let bench = Bench::new();
    let path = data("domain/one-polarisation.csv");
    let path = path.to_str().unwrap();
    let ran = bench.run(&["reduce", path, "--json"]).must_be(4);
    let document = ran.json();
    let trp = figure(&document["runs"][0], 0, "trp");
    assert_eq!(trp["state"], "refused");
    let bound = trp["lower"].as_f64().unwrap();
    // Rounded outward, which is down: 8.8359 is told as 8.83.
    let told = format!("at least {:.2} dBm", (bound * 100.0).floor() / 100.0);
    assert!(ran.err.contains("trp is refused"), "{}", ran.err);
    assert!(ran.err.contains(&told), "{told}: {}", ran.err);
    // The bound is what the one polarisation radiates, and no more.
    let part = figure(&document["runs"][0], 0, "trp_theta");
    assert!((part["value"].as_f64().unwrap() - bound).abs() < 0.01);
}

#[test]
fn three_rows_exit_with_4_and_the_reason() {
    let bench = Bench::new();
    let path = data("domain/three-rows.csv");
    let ran = bench.run(&["reduce", path.to_str().unwrap()]).must_be(4);
    assert!(
        ran.err
            .contains("only 1 different θ: a cut or two, not a sphere"),
        "{}",
        ran.err
    );
    assert!(ran.out.is_empty(), "{}", ran.out);
}

#[test]
fn a_listed_grid_exits_with_4_and_the_reason() {
    let bench = Bench::new();
    let path = data("domain/scattered.csv");
    let path = path.to_str().unwrap();
    let ran = bench.run(&["reduce", path]).must_be(4);
    assert!(ran.out.is_empty());
    for part in ["not an equal-angle grid: ", "equal steps", path, "help: "] {
        assert!(ran.err.contains(part), "{part}\n{}", ran.err);
    }
    let look = bench.run(&["look", path]).must_be(0).out;
    assert!(look.contains("cannot be integrated"), "{look}");
}
