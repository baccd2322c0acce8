//! The lists of expected errors beside bad files.

use spheresum_core::Error;
use std::collections::BTreeSet;
use std::path::PathBuf;

/// A folder of the data for layouts.
pub fn data(folder: &str) -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
        .join("../../tests/data/layout")
        .join(folder)
}

/// Rows of `EXPECTED.csv`: file, group, line, column, part of the message.
pub fn expected(folder: &str) -> Vec<[String; 5]> {
    let text = std::fs::read_to_string(data(folder).join("EXPECTED.csv")).unwrap();
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

/// What of an error is not as expected; `file` is where it has to be.
pub fn difference(row: &[String; 5], error: &Error, file: &str) -> Option<String> {
    let [name, group, line, column, part] = row;
    let place = error.place().cloned().unwrap_or_default();
    let got = (
        error.group().as_str(),
        place.line.unwrap_or(0).to_string(),
        place.column.unwrap_or(0).to_string(),
    );
    let hint = error.advice().unwrap_or_default();
    let same = got.0 == group
        && got.1 == *line
        && got.2 == *column
        && error.message().contains(part.as_str())
        && place.source.as_deref() == Some(file)
        && place.byte.is_some()
        && !hint.is_empty();
    (!same).then(|| {
        format!(
            "{name},{},{},{},{} | {hint}",
            got.0,
            got.1,
            got.2,
            error.message()
        )
    })
}

/// The files of a list, and those that are there with an ending.
pub fn listed_and_present(folder: &str, ending: &str) -> (BTreeSet<String>, BTreeSet<String>) {
    let listed = expected(folder)
        .into_iter()
        .map(|[file, ..]| file)
        .collect();
    let present = std::fs::read_dir(data(folder))
        .unwrap()
        .map(|e| e.unwrap().file_name().to_string_lossy().into_owned())
        .filter(|name| name.ends_with(ending))
        .collect();
    (listed, present)
}
