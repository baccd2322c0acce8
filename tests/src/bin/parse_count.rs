//! Parses a long table some times over: for counting instructions (`.ci/instructions`), and for timing from outside.
//!
//! `parse_count long|wide ROWS TIMES`, or `parse_count FILE TIMES`.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use spheresum_core::Limits;
use spheresum_core::intake::{ReadOptions, Source};
use spheresum_tests::long_table;

fn main() {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let texts: Vec<&str> = arguments.iter().map(String::as_str).collect();
    let (text, times) = match texts.as_slice() {
        ["long", rows, times] => (long_table::long(rows.parse().unwrap()), times),
        ["wide", rows, times] => (long_table::two_columns(rows.parse().unwrap()), times),
        [file, times] => (std::fs::read_to_string(file).unwrap(), times),
        _ => panic!("parse_count long|wide ROWS TIMES, or parse_count FILE TIMES"),
    };
    let limits = Limits::default();
    let bytes = text.len();
    let file = (texts.len() == 2).then(|| texts[0]);
    let mut source = Source::from_bytes("long.csv", text.into_bytes(), &limits).unwrap();
    let registry = spheresum_adapters::registry();
    let options = ReadOptions::default()
        .with_named("pol", "V=theta,H=phi")
        .with_named("quantity", "eirp");
    let (mut best, mut best_whole) = (f64::INFINITY, f64::INFINITY);
    for _ in 0..times.parse::<usize>().unwrap() {
        let whole = std::time::Instant::now();
        if let Some(file) = file {
            let bytes = std::fs::read(file).unwrap();
            source = Source::from_bytes("long.csv", bytes, &limits).unwrap();
        }
        let start = std::time::Instant::now();
        let (_, intake) = registry
            .read(&source, Some("delimited"), &limits, &options)
            .unwrap();
        best = best.min(start.elapsed().as_secs_f64());
        best_whole = best_whole.min(whole.elapsed().as_secs_f64());
        assert!(!intake.readings.unwrap().is_empty());
    }
    println!(
        "{bytes} bytes, best {:.1} ms, with the file's bytes read and checked {:.1} ms",
        best * 1e3,
        best_whole * 1e3
    );
}
