//! The committed files, and lines of comma-separated values.

use spheresum_adapter_touchstone::TouchstoneAdapter;
use spheresum_core::intake::{Adapter, Intake, ReadOptions, Source};
use spheresum_core::{Limits, Result};
use std::path::PathBuf;

/// A folder or file below `tests/data/touchstone`.
pub fn path(below: &str) -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
        .join("../../tests/data/touchstone")
        .join(below)
}

/// Names of the files of a folder, sorted.
#[allow(dead_code)]
pub fn names(folder: &str) -> Vec<String> {
    let entries = std::fs::read_dir(path(folder)).unwrap();
    let mut names: Vec<String> = entries
        .map(|e| e.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    names
}

/// Reads a file with options.
#[allow(dead_code)]
pub fn read_file(below: &str, options: &ReadOptions) -> Result<Intake> {
    let limits = Limits::default();
    let path = path(below);
    let name = path.file_name().unwrap().to_string_lossy().into_owned();
    let source = Source::from_bytes(&name, std::fs::read(&path).unwrap(), &limits)?;
    TouchstoneAdapter::new().read(&source, &limits, options)
}

/// Reads a text under a name, with options by name.
#[allow(dead_code)]
pub fn read_text(name: &str, text: &str, named: &[(&str, &str)]) -> Result<Intake> {
    let options = named
        .iter()
        .fold(ReadOptions::default(), |o, (n, v)| o.with_named(n, v));
    let limits = Limits::small();
    let source = Source::from_text(name, text, &limits)?;
    TouchstoneAdapter::new().read(&source, &limits, &options)
}

/// Rows of a file of comma-separated values, with its heading first; fields may be quoted.
#[allow(dead_code)]
pub fn table(below: &str) -> Vec<Vec<String>> {
    let text = std::fs::read_to_string(path(below)).unwrap();
    text.lines().map(fields).collect()
}

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
