//! The validation record for build servers: JUnit XML, a suite a table and a test case a row.

use quick_junit::{NonSuccessKind, Property, Report, TestCase, TestCaseStatus, TestSuite};
use spheresum_core::document::{Environment, PROGRAM, VALIDATION_CAUTION};
use spheresum_core::validation::Record;
use spheresum_core::{Error, Result};
use std::collections::BTreeMap;

/// The record as XML.
///
/// # Errors
/// Usage, should a text not be representable in XML.
pub fn junit(record: &Record, environment: &Environment) -> Result<String> {
    let mut report = Report::new("spheresum check");
    for table in &record.tables {
        let mut suite = TestSuite::new(plain(&table.name));
        let mut property = |name: &str, value: &str| {
            suite.add_property(Property::new(plain(name), plain(value)));
        };
        property("title", &table.title);
        property("version", PROGRAM.version);
        property("build", &environment.build);
        property("machine", &environment.machine);
        property("date", &environment.date);
        property("command", &environment.command.join(" "));
        if let Some(sha256) = &environment.program_sha256 {
            property("program sha256", sha256);
        }
        for (kind, rows) in kinds(record, &table.name) {
            property(&format!("rows by source: {kind}"), &rows.to_string());
        }
        for file in record.files.iter().filter(|f| f.table == table.name) {
            let sha256 = file.sha256.as_deref().unwrap_or("not read");
            property(&format!("file {}", file.path), &format!("sha256 {sha256}"));
        }
        property("caution", VALIDATION_CAUTION);
        if let Some(sha256) = &table.sha256 {
            property("sha256", sha256);
        }
        for row in record.rows.iter().filter(|r| r.table == table.name) {
            let status = match row.passed {
                true => TestCaseStatus::success(),
                false => {
                    let mut status = TestCaseStatus::non_success(NonSuccessKind::Failure);
                    status.set_message(plain(&row.message));
                    status
                }
            };
            let name = format!("{}:{} {}", row.line, row.case, row.asked);
            let mut case = TestCase::new(plain(&name), status);
            case.set_classname(plain(&table.name));
            let text = format!("{}\n{}", row.message, row.sources.join("\n"));
            case.set_system_out(plain(&text));
            suite.add_test_case(case);
        }
        report.add_test_suite(suite);
    }
    for refused in &record.refused {
        let mut status = TestCaseStatus::non_success(NonSuccessKind::Error);
        status.set_message(plain(&refused.message));
        let mut suite = TestSuite::new(plain(&refused.name));
        suite.add_test_case(TestCase::new("this is a table", status));
        report.add_test_suite(suite);
    }
    let mut text = report
        .to_string()
        .map_err(|e| Error::usage("the record cannot be written as XML").caused_by(e))?;
    if !text.ends_with('\n') {
        text.push('\n');
    }
    Ok(text)
}

/// Number of rows of a table by the kind of their sources; a row that has several counts for each.
fn kinds<'r>(record: &'r Record, table: &str) -> BTreeMap<&'r str, usize> {
    let mut kinds = BTreeMap::new();
    for row in record.rows.iter().filter(|r| r.table == table) {
        let mut of_row: Vec<&str> = row
            .sources
            .iter()
            .filter_map(|s| s.split(':').next())
            .collect();
        of_row.sort_unstable();
        of_row.dedup();
        for kind in of_row {
            *kinds.entry(kind).or_default() += 1;
        }
    }
    kinds
}

/// Without the two signs that no XML may hold and the writer lets pass.
fn plain(text: &str) -> String {
    text.replace(['\u{fffe}', '\u{ffff}'], "\u{fffd}")
}
