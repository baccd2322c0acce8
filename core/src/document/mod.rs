//! The two documents, a reduction and a comparison, as JSON; and their figures as comma-separated values.

mod csv;

pub use csv::{comparison_csv, reduction_csv};

use crate::compare::TestResult;
use crate::error::{Error, Result};
use crate::finding::Finding;
use crate::reduce::Reduction;
use crate::validation::Record;

/// Schema of [`ReductionDocument`].
pub const REDUCTION_SCHEMA: &str = "spheresum.reduction/1";
/// Schema of [`ComparisonDocument`].
pub const COMPARISON_SCHEMA: &str = "spheresum.comparison/1";

/// Schema of [`ValidationDocument`].
pub const VALIDATION_SCHEMA: &str = "spheresum.validation/1";
/// What a validation record is not.
pub const VALIDATION_CAUTION: &str = "A record is of this program on this machine, and of no other; it is no certification, and says nothing of a chamber or of readings.";

/// The program that wrote a document.
#[derive(Clone, Copy, Debug, serde::Serialize)]
pub struct Program {
    /// Its name.
    pub name: &'static str,
    /// Its version.
    pub version: &'static str,
}

/// This program.
pub const PROGRAM: Program = Program {
    name: "spheresum",
    version: env!("CARGO_PKG_VERSION"),
};

/// A file that a run was made of.
#[derive(Clone, Debug, PartialEq, serde::Serialize)]
pub struct Input {
    /// Its path, as it was given.
    pub path: String,
    /// SHA-256 of its bytes, hexadecimal.
    pub sha256: String,
    /// Id of the adapter that read it.
    pub adapter: String,
    /// What it holds.
    pub quantity: String,
}

/// A run: its name, its files and its reduction.
#[derive(Clone, Debug, serde::Serialize)]
pub struct Run {
    /// Its name.
    pub name: String,
    /// Its files.
    pub inputs: Vec<Input>,
    /// Its reduction; the fields stand beside the name.
    #[serde(flatten)]
    pub reduction: Reduction,
}

/// JSON document of `reduce`: always a list of runs.
#[derive(Clone, Debug, serde::Serialize)]
pub struct ReductionDocument<'a> {
    /// [`REDUCTION_SCHEMA`].
    pub schema: &'static str,
    /// Who wrote it.
    pub program: Program,
    /// The runs.
    pub runs: &'a [Run],
}

/// JSON document of `compare`.
#[derive(Clone, Debug, serde::Serialize)]
pub struct ComparisonDocument<'a> {
    /// [`COMPARISON_SCHEMA`].
    pub schema: &'static str,
    /// Who wrote it.
    pub program: Program,
    /// The run that all others are compared with.
    pub reference: &'a Run,
    /// The others.
    pub tests: &'a [TestResult],
    /// The others' own reductions, in the same order.
    pub runs: &'a [Run],
    /// Remarks on the comparison as a whole.
    pub findings: &'a [Finding],
}

/// The reduction document as JSON text, with a line feed at the end.
///
/// # Errors
/// Usage, should a value not be representable in JSON.
pub fn reduction_json(runs: &[Run]) -> Result<String> {
    to_text(&ReductionDocument {
        schema: REDUCTION_SCHEMA,
        program: PROGRAM,
        runs,
    })
}

/// The comparison document as JSON text, with a line feed at the end.
///
/// # Errors
/// Usage, should a value not be representable in JSON.
pub fn comparison_json(
    reference: &Run,
    tests: &[TestResult],
    runs: &[Run],
    findings: &[Finding],
) -> Result<String> {
    to_text(&ComparisonDocument {
        schema: COMPARISON_SCHEMA,
        program: PROGRAM,
        reference,
        tests,
        runs,
        findings,
    })
}

/// Where and when a program ran.
#[derive(Clone, Debug, PartialEq, serde::Serialize)]
pub struct Environment {
    /// Debug or release, with the target.
    pub build: String,
    /// SHA-256 of the program's file, hexadecimal, where it can be read: it tells builds of one version apart.
    pub program_sha256: Option<String>,
    /// The command line behind the program's name.
    pub command: Vec<String>,
    /// Name of the machine, operating system, processor and number of threads.
    pub machine: String,
    /// Date and time, UTC, after RFC 3339.
    pub date: String,
}

/// JSON document of `check`.
#[derive(Clone, Debug, serde::Serialize)]
pub struct ValidationDocument<'a> {
    /// [`VALIDATION_SCHEMA`].
    pub schema: &'static str,
    /// What was validated.
    pub program: Program,
    /// Where and when.
    pub environment: &'a Environment,
    /// The way in that the tables were run through.
    pub face: &'static str,
    /// True where every row is content, there is one, and every table is one.
    pub passed: bool,
    /// Number of rows that failed.
    pub failed: usize,
    /// What it is not.
    pub caution: &'static str,
    /// What came of the rows.
    #[serde(flatten)]
    pub record: &'a Record,
}

/// The validation document as JSON text, with a line feed at the end.
///
/// # Errors
/// Usage, should a value not be representable in JSON.
pub fn validation_json(record: &Record, environment: &Environment) -> Result<String> {
    to_text(&ValidationDocument {
        schema: VALIDATION_SCHEMA,
        program: PROGRAM,
        environment,
        face: "rust",
        passed: record.passed(),
        failed: record.failures(),
        caution: VALIDATION_CAUTION,
        record,
    })
}

fn to_text(document: &impl serde::Serialize) -> Result<String> {
    let mut text = serde_json::to_string_pretty(document)
        .map_err(|e| Error::usage("the result cannot be written as JSON").caused_by(e))?;
    text.push('\n');
    Ok(text)
}
