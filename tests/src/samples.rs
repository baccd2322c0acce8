//! The sample files under `tests/data`, as samples for the adapter kit.
//!
//! A family has a folder with `good/` and `bad/`. Beside the bad files, `EXPECTED.csv` says what each gives: file, group, line,
//! column, and words of the message, which may stand in quotes with `""` for a quote.

use spheresum_core::Group;
use spheresum_core::kit::{Refusal, Sample};
use std::fs;
use std::io::{Error, Result};
use std::path::{Path, PathBuf};

/// The heading of `EXPECTED.csv`.
const HEADING: &str = "file,group,line,column,message_contains";

/// The folder of a family: `tests/data/<family>`.
#[must_use]
pub fn folder(family: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("data")
        .join(family)
}

/// The good and the bad files of a folder, each in the order of their names.
///
/// # Errors
/// A folder or file that cannot be read; a line of `EXPECTED.csv` that cannot be understood, that names no file, or a bad file
/// that no line names.
pub fn of(folder: &Path) -> Result<Vec<Sample>> {
    let mut samples = good(folder)?;
    samples.extend(bad(folder)?);
    Ok(samples)
}

/// The good files of a folder.
///
/// # Errors
/// A folder or file that cannot be read.
pub fn good(folder: &Path) -> Result<Vec<Sample>> {
    let files = files(&folder.join("good"))?;
    let sample = |(name, path): (String, PathBuf)| Ok(Sample::good(&name, fs::read(path)?));
    files.into_iter().map(sample).collect()
}

fn bad(folder: &Path) -> Result<Vec<Sample>> {
    let folder = folder.join("bad");
    let expected = fs::read_to_string(folder.join("EXPECTED.csv"))?;
    let mut lines = expected.lines();
    if lines.next() != Some(HEADING) {
        return Err(Error::other(format!(
            "EXPECTED.csv has the heading {HEADING}"
        )));
    }
    let mut samples = Vec::new();
    for line in lines {
        let (name, refusal) = refusal(line)
            .ok_or_else(|| Error::other(format!("EXPECTED.csv: cannot understand {line:?}")))?;
        samples.push(Sample::bad(name, fs::read(folder.join(name))?, refusal));
    }
    samples.sort_by(|a, b| a.name.cmp(&b.name));
    let names = files(&folder)?.into_iter().map(|f| f.0);
    let names: Vec<String> = names.filter(|n| n != "EXPECTED.csv").collect();
    if samples.iter().map(|s| &s.name).ne(&names) {
        let text = format!(
            "EXPECTED.csv and {} do not name the same files once each",
            folder.display()
        );
        return Err(Error::other(text));
    }
    Ok(samples)
}

/// A line of `EXPECTED.csv`.
fn refusal(line: &str) -> Option<(&str, Refusal)> {
    let mut fields = line.splitn(5, ',');
    let name = fields.next()?;
    let word = fields.next()?;
    let group = Group::ALL.into_iter().find(|g| g.as_str() == word)?;
    let line = fields.next()?.parse().ok()?;
    let column = fields.next()?.parse().ok()?;
    let words = fields.next()?;
    let words = match words.strip_prefix('"').and_then(|w| w.strip_suffix('"')) {
        Some(quoted) => quoted.replace("\"\"", "\""),
        None => words.to_string(),
    };
    Some((name, Refusal::new(group).at(line, column).saying(&words)))
}

/// Files of a folder by name, sorted.
fn files(folder: &Path) -> Result<Vec<(String, PathBuf)>> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder)? {
        let path = entry?.path();
        if let Some(name) = path.file_name().filter(|_| path.is_file()) {
            found.push((name.to_string_lossy().into_owned(), path.clone()));
        }
    }
    found.sort();
    Ok(found)
}
