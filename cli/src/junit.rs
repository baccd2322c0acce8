//! The validation record for build servers: JUnit XML, a suite a table and a test case a row.

use quick_junit::{NonSuccessKind, Property, Report, TestCase, TestCaseStatus, TestSuite};
use spheresum_core::document::{Environment, PROGRAM};
use spheresum_core::validation::Record;
use spheresum_core::{Error, Result};

/// The record as XML.
///
/// # Errors
/// Usage, should a text not be representable in XML.
pub fn junit(record: &Record, environment: &Environment) -> Result<String> {
    let mut report = Report::new("spheresum check");
    for table in &record.tables {
        let mut suite = TestSuite::new(table.name.as_str());
        let mut property = |name: &str, value: &str| {
            suite.add_property(Property::new(name, value));
        };
        property("title", &table.title);
        property("version", PROGRAM.version);
        property("build", &environment.build);
        property("machine", &environment.machine);
        property("date", &environment.date);
        if let Some(sha256) = &table.sha256 {
            property("sha256", sha256);
        }
        for row in record.rows.iter().filter(|r| r.table == table.name) {
            let status = match row.passed {
                true => TestCaseStatus::success(),
                false => {
                    let mut status = TestCaseStatus::non_success(NonSuccessKind::Failure);
                    status.set_message(row.message.as_str());
                    status
                }
            };
            let name = format!("{}:{} {}", row.line, row.case, row.asked);
            let mut case = TestCase::new(name, status);
            case.set_classname(table.name.as_str());
            case.set_system_out(format!("{}\n{}", row.message, row.sources.join("\n")));
            suite.add_test_case(case);
        }
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
