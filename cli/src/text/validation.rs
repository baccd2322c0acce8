//! The validation record for people: text, and Markdown to keep.

use super::table::{Align, Table, facts, heading};
use super::{count, paragraph};
use spheresum_core::document::{Environment, PROGRAM, VALIDATION_CAUTION};
use spheresum_core::validation::{FileRecord, Largest, Record, RowRecord};
use std::fmt::Write as _;

/// What the record says of itself.
const FACE: &str =
    "the library's own calls; the program's tests run the same rows through the command and C";
/// What a record that passed shows.
const SHOWS: &str = "This shows that this program reproduces these values on this machine.";

/// What the record shows, and what it is not.
fn closing(record: &Record) -> String {
    match record.passed() {
        true => format!("{SHOWS} {VALIDATION_CAUTION}"),
        false => VALIDATION_CAUTION.to_string(),
    }
}

/// The record as text.
pub fn text(record: &Record, environment: &Environment) -> String {
    let mut out = heading("Validation", 0);
    out.push_str(&facts(&about(record, environment), 2));
    out.push_str(&heading(
        "Rows by kind of source (a row may have several)",
        2,
    ));
    let kinds: Vec<(&str, String)> = record
        .by_kind
        .iter()
        .map(|(kind, rows)| (kind.as_str(), rows.to_string()))
        .collect();
    out.push_str(&facts(&kinds, 4));
    out.push_str(&heading("Largest deviations", 2));
    let mut table = Table::new(&[
        ("", Align::Left),
        ("rows", Align::Right),
        ("deviation", Align::Right),
        ("allowed", Align::Right),
        ("unit", Align::Left),
        ("where", Align::Left),
    ]);
    for largest in &record.largest {
        table.row(cells(largest));
    }
    out.push_str(&table.render(4));
    if !record.files.is_empty() {
        out.push_str(&heading("Files", 2));
        let mut files = Table::new(&[("", Align::Left), ("sha256", Align::Left)]);
        for file in &record.files {
            files.row(vec![file.path.clone(), hash_of(file)]);
        }
        out.push_str(&files.render(4));
    }
    for refused in &record.refused {
        out.push_str(&paragraph(
            &format!("NO TABLE {}: {}", refused.name, refused.message),
            2,
        ));
    }
    for row in failed(record) {
        out.push_str(&paragraph(
            &format!(
                "FAILED {}:{} {}: {}",
                row.table, row.line, row.case, row.message
            ),
            2,
        ));
    }
    out.push_str(&paragraph(&verdict(record), 0));
    out.push_str(&paragraph(&closing(record), 0));
    out
}

/// The record as Markdown.
pub fn markdown(record: &Record, environment: &Environment) -> String {
    let mut out = String::from("# Validation of spheresum\n\n");
    out.push_str("| | |\n|---|---|\n");
    for (name, value) in about(record, environment) {
        let _ = writeln!(out, "| {name} | {} |", escaped(&value));
    }
    let _ = write!(out, "\n{}\n\n{}\n", verdict(record), closing(record));
    for refused in &record.refused {
        let _ = writeln!(
            out,
            "\n{} is no table: {}",
            escaped(&refused.name),
            escaped(&refused.message)
        );
    }
    if record.failures() > 0 {
        out.push_str("\n## Failed rows\n\n| row | case | what came out |\n|---|---|---|\n");
        for row in failed(record) {
            let _ = writeln!(
                out,
                "| {}:{} | {} | {} |",
                escaped(&row.table),
                row.line,
                escaped(&row.case),
                escaped(&row.message)
            );
        }
    }
    out.push_str("\n## Rows by kind of source\n\nA row that has several counts for each.\n\n| kind | rows |\n|---|---|\n");
    for (kind, rows) in &record.by_kind {
        let _ = writeln!(out, "| {kind} | {rows} |");
    }
    out.push_str("\n## Largest deviations\n\n| asked | rows | deviation | allowed | unit | where |\n|---|---|---|---|---|---|\n");
    for largest in &record.largest {
        let cells: Vec<String> = cells(largest).iter().map(|c| escaped(c)).collect();
        let _ = writeln!(out, "| {} |", cells.join(" | "));
    }
    out.push_str(
        "\n## Tables\n\n| table | about | rows | failed | sha256 |\n|---|---|---|---|---|\n",
    );
    for table in &record.tables {
        let _ = writeln!(
            out,
            "| {} | {} | {} | {} | {} |",
            escaped(&table.name),
            escaped(&table.title),
            table.rows,
            table.failed,
            table.sha256.as_deref().unwrap_or_default()
        );
    }
    if !record.files.is_empty() {
        out.push_str("\n## Files of the tables\n\n| file | table | sha256 |\n|---|---|---|\n");
        for file in &record.files {
            let _ = writeln!(
                out,
                "| {} | {} | {} |",
                escaped(&file.path),
                escaped(&file.table),
                hash_of(file)
            );
        }
    }
    out
}

fn hash_of(file: &FileRecord) -> String {
    file.sha256
        .clone()
        .unwrap_or_else(|| "not read".to_string())
}

fn about(record: &Record, environment: &Environment) -> Vec<(&'static str, String)> {
    vec![
        ("program", format!("{} {}", PROGRAM.name, PROGRAM.version)),
        ("build", environment.build.clone()),
        (
            "program file",
            environment.program_sha256.as_ref().map_or_else(
                || "cannot be read".to_string(),
                |hash| format!("sha256 {hash}"),
            ),
        ),
        ("command", environment.command.join(" ")),
        ("machine", environment.machine.clone()),
        ("date", environment.date.clone()),
        ("run through", FACE.to_string()),
        ("tables", record.tables.len().to_string()),
        ("rows", record.rows.len().to_string()),
        ("failed", record.failures().to_string()),
    ]
}

fn cells(largest: &Largest) -> Vec<String> {
    vec![
        largest.asked.clone(),
        largest.rows.to_string(),
        format!("{:.2e}", largest.deviation),
        format!("{:.2e}", largest.allowed),
        largest.unit.clone(),
        largest.place.clone(),
    ]
}

fn failed(record: &Record) -> impl Iterator<Item = &RowRecord> {
    record.rows.iter().filter(|r| !r.passed)
}

fn verdict(record: &Record) -> String {
    let rows = count(record.rows.len(), "row");
    match record.failures() {
        0 if !record.refused.is_empty() => format!(
            "Failed: {} could not be read; {rows} of the others passed.",
            count(record.refused.len(), "table")
        ),
        0 if record.rows.is_empty() => "Failed: there was no row to run.".to_string(),
        0 => format!("Passed: {rows} of {}.", count(record.tables.len(), "table")),
        failures => format!("Failed: {failures} of {rows}."),
    }
}

/// A text in a cell: no bar, no line end.
fn escaped(text: &str) -> String {
    text.replace('|', "\\|").replace(['\n', '\r'], " ")
}
