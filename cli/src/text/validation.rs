//! The validation record for people: text, and Markdown to keep.

use super::table::{Align, Table, facts, heading};
use super::{count, paragraph};
use spheresum_core::document::{Environment, PROGRAM};
use spheresum_core::validation::{Largest, Record, RowRecord};
use std::fmt::Write as _;

/// What the record says of itself.
const FACE: &str =
    "the library's own calls; the program's tests run the same rows through the command and C";
/// What it is not.
const CAUTION: &str = "This shows that this program reproduces these values on this machine. It is no certification, and says nothing of a chamber or of readings.";

/// The record as text.
pub fn text(record: &Record, environment: &Environment) -> String {
    let mut out = heading("Validation", 0);
    out.push_str(&facts(&about(record, environment), 2));
    out.push_str(&heading("Rows by kind of source", 2));
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
    for (asked, largest) in &record.largest {
        table.row(cells(asked, largest));
    }
    out.push_str(&table.render(4));
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
    out.push_str(&paragraph(CAUTION, 0));
    out
}

/// The record as Markdown.
pub fn markdown(record: &Record, environment: &Environment) -> String {
    let mut out = String::from("# Validation of spheresum\n\n");
    out.push_str("| | |\n|---|---|\n");
    for (name, value) in about(record, environment) {
        let _ = writeln!(out, "| {name} | {} |", escaped(&value));
    }
    let _ = write!(out, "\n{}\n\n{CAUTION}\n", verdict(record));
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
    out.push_str("\n## Rows by kind of source\n\n| kind | rows |\n|---|---|\n");
    for (kind, rows) in &record.by_kind {
        let _ = writeln!(out, "| {kind} | {rows} |");
    }
    out.push_str("\n## Largest deviations\n\n| asked | rows | deviation | allowed | unit | where |\n|---|---|---|---|---|---|\n");
    for (asked, largest) in &record.largest {
        let cells: Vec<String> = cells(asked, largest).iter().map(|c| escaped(c)).collect();
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
    out
}

fn about(record: &Record, environment: &Environment) -> Vec<(&'static str, String)> {
    vec![
        ("program", format!("{} {}", PROGRAM.name, PROGRAM.version)),
        ("build", environment.build.clone()),
        ("machine", environment.machine.clone()),
        ("date", environment.date.clone()),
        ("run through", FACE.to_string()),
        ("tables", record.tables.len().to_string()),
        ("rows", record.rows.len().to_string()),
        ("failed", record.failures().to_string()),
    ]
}

fn cells(asked: &str, largest: &Largest) -> Vec<String> {
    vec![
        asked.to_string(),
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
        0 if record.rows.is_empty() => "Failed: there was no row to run.".to_string(),
        0 => format!("Passed: {rows} of {}.", count(record.tables.len(), "table")),
        failures => format!("Failed: {failures} of {rows}."),
    }
}

/// A text in a cell: no bar, no line end.
fn escaped(text: &str) -> String {
    text.replace('|', "\\|").replace(['\n', '\r'], " ")
}
