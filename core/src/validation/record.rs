//! What came of the rows of tables.

use crate::error::{Error, Result};
use crate::table::{self, Case, Check, Judgement, Outcome, Row, SourceKind};
use std::collections::BTreeMap;

/// A table that was run.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
#[non_exhaustive]
pub struct TableRecord {
    /// Its name.
    pub name: String,
    /// What it is about.
    pub title: String,
    /// SHA-256 of its text, hexadecimal, where the caller gave one.
    pub sha256: Option<String>,
    /// Number of its rows.
    pub rows: usize,
    /// Number of those that failed.
    pub failed: usize,
}

/// A row that was run.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
#[non_exhaustive]
pub struct RowRecord {
    /// Name of its table.
    pub table: String,
    /// Its line there, from 1.
    pub line: u64,
    /// Name of its case.
    pub case: String,
    /// What it asks for: a figure, a ratio of two, or an error.
    pub asked: String,
    /// True where it is content.
    pub passed: bool,
    /// What was wanted and what came out.
    pub message: String,
    /// How far apart they are, in `unit`, where both are numbers.
    pub deviation: Option<f64>,
    /// How far apart they may be, in `unit`; of a known mistake, how far they have to be.
    pub allowed: Option<f64>,
    /// Unit of both.
    pub unit: Option<String>,
    /// Where the expected value comes from: kind and text.
    pub sources: Vec<String>,
}

/// A file of a laboratory that a case of a table was run on.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct FileRecord {
    /// Name of the table.
    pub table: String,
    /// Its path, as it was read.
    pub path: String,
    /// SHA-256 of its bytes, hexadecimal; `None` where it could not be read.
    pub sha256: Option<String>,
}

/// A text that is no table, of which nothing was run.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct RefusedTable {
    /// Its name.
    pub name: String,
    /// Why.
    pub message: String,
}

/// The largest deviation of a figure from what was wanted, over its rows of one unit.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
#[non_exhaustive]
pub struct Largest {
    /// The figure, or a ratio of two.
    pub asked: String,
    /// Number of its rows in this unit.
    pub rows: usize,
    /// The deviation, in `unit`.
    pub deviation: f64,
    /// What is allowed in that row.
    pub allowed: f64,
    /// The unit.
    pub unit: String,
    /// Where: table and line.
    pub place: String,
}

/// What came of the rows of tables.
#[derive(Clone, Debug, Default, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
#[non_exhaustive]
pub struct Record {
    /// The tables.
    pub tables: Vec<TableRecord>,
    /// Texts that are no tables.
    pub refused: Vec<RefusedTable>,
    /// Files that cases were run on.
    pub files: Vec<FileRecord>,
    /// Number of rows by the kind of their sources; a row that has several counts for each.
    pub by_kind: BTreeMap<String, usize>,
    /// Largest deviation by figure and unit.
    pub largest: Vec<Largest>,
    /// The rows.
    pub rows: Vec<RowRecord>,
}

impl Record {
    /// Runs a table through this library. `sha256` is kept as it is given.
    ///
    /// # Errors
    /// Input: the text is no table, with its line; nothing of it is run then.
    pub fn run(&mut self, name: &str, text: &str, sha256: Option<String>) -> Result<()> {
        self.run_by(name, text, sha256, table::run_rust)
    }

    /// Runs a table; `face` runs a case.
    ///
    /// # Errors
    /// As [`Record::run`].
    pub fn run_by(
        &mut self,
        name: &str,
        text: &str,
        sha256: Option<String>,
        mut face: impl FnMut(&Case) -> Outcome,
    ) -> Result<()> {
        let parsed = table::parse(name, text)?;
        let mut failed = 0;
        let mut rows = 0;
        for case in &parsed.cases {
            let outcome = face(case);
            for row in &case.rows {
                let judgement = table::judge(row, &outcome);
                rows += 1;
                failed += usize::from(!judgement.passed);
                self.keep(name, case, row, judgement);
            }
        }
        self.tables.push(TableRecord {
            name: name.to_string(),
            title: parsed.title.clone(),
            sha256,
            rows,
            failed,
        });
        Ok(())
    }

    /// Keeps a text that is no table: the record does not pass with it.
    pub fn refuse(&mut self, name: &str, error: &Error) {
        self.refused.push(RefusedTable {
            name: name.to_string(),
            message: error.to_string(),
        });
    }

    /// True where every row is content, there is one, and every table is one.
    #[must_use]
    pub fn passed(&self) -> bool {
        let all = !self.rows.is_empty() && self.rows.iter().all(|r| r.passed);
        all && self.refused.is_empty()
    }

    /// Number of rows that failed.
    #[must_use]
    pub fn failures(&self) -> usize {
        self.rows.iter().filter(|r| !r.passed).count()
    }

    fn keep(&mut self, name: &str, case: &Case, row: &Row, judgement: Judgement) {
        let asked = match &row.check {
            Check::Gives { of, .. } | Check::Never { of, .. } | Check::Is { of, .. } => {
                of.to_string()
            }
            Check::Fails(group) => format!("error {}", group.as_str()),
        };
        let mut kinds: Vec<SourceKind> = row.sources.iter().map(|s| s.kind).collect();
        kinds.sort_unstable();
        kinds.dedup();
        for kind in kinds {
            *self.by_kind.entry(kind.as_str().to_string()).or_default() += 1;
        }
        let number = judgement.deviation;
        if let (Some(number), Check::Gives { .. }) = (number, &row.check) {
            self.keep_largest(Largest {
                asked: figure_of(&asked).to_string(),
                rows: 1,
                deviation: number.deviation,
                allowed: number.allowed,
                unit: number.unit.as_str().to_string(),
                place: format!("{name}:{}", row.line),
            });
        }
        self.rows.push(RowRecord {
            table: name.to_string(),
            line: row.line,
            case: case.name.clone(),
            asked,
            passed: judgement.passed,
            message: judgement.message,
            deviation: number.map(|n| n.deviation),
            allowed: number.map(|n| n.allowed),
            unit: number.map(|n| n.unit.as_str().to_string()),
            sources: row.sources.iter().map(ToString::to_string).collect(),
        });
    }

    fn keep_largest(&mut self, now: Largest) {
        let key = |l: &Largest| (l.asked.clone(), l.unit.clone());
        match self.largest.binary_search_by_key(&key(&now), key) {
            Err(at) => self.largest.insert(at, now),
            Ok(at) => {
                if let Some(kept) = self.largest.get_mut(at) {
                    let rows = kept.rows + 1;
                    if now.deviation > kept.deviation {
                        *kept = now;
                    }
                    kept.rows = rows;
                }
            }
        }
    }
}

/// Weights of rings count together.
fn figure_of(asked: &str) -> &str {
    match asked.strip_prefix("ring-weight") {
        Some(_) => "ring-weight",
        None => asked,
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn builtin_tables_pass_and_every_row_is_kept() {
        let mut record = Record::default();
        for (name, text) in table::builtin() {
            record.run(name, text, None).unwrap();
        }
        assert!(record.passed(), "{} failures", record.failures());
        let rows: usize = record.tables.iter().map(|t| t.rows).sum();
        assert_eq!(rows, record.rows.len());
        assert!(record.by_kind["closed form"] > 100);
        for largest in &record.largest {
            let rows: Vec<&RowRecord> = record
                .rows
                .iter()
                .filter(|r| {
                    figure_of(&r.asked) == largest.asked
                        && r.unit.as_deref() == Some(&largest.unit)
                        && !r.message.contains("must not be")
                })
                .collect();
            assert_eq!(rows.len(), largest.rows, "{largest:?}");
            let most = rows.iter().filter_map(|r| r.deviation).fold(0.0, f64::max);
            assert_eq!(most, largest.deviation, "{largest:?}");
        }
        assert!(
            record
                .largest
                .iter()
                .any(|l| l.asked == "trp" && l.rows > 20)
        );
    }

    #[test]
    fn a_wrong_value_fails_and_a_wrong_table_is_refused() {
        let text = "table: one\nrows: 1\n\ncase: iso\n  pattern: isotropic\n  theta-step: 15 deg\n  phi-step: 15 deg\n  given-peak: 0 dBm\n  rule: clenshaw-curtis\n  gives: trp | 0.5 dBm | within 1e-9 dB | closed form: wrong on purpose\n";
        let mut record = Record::default();
        record.run("wrong", text, Some("00".to_string())).unwrap();
        assert!(!record.passed());
        assert_eq!((record.failures(), record.tables[0].failed), (1, 1));
        assert!((record.rows[0].deviation.unwrap() - 0.5).abs() < 1e-9);
        assert!(record.run("broken", "rows: 1\n", None).is_err());
        assert_eq!(record.tables.len(), 1);
        assert!(!Record::default().passed());
        let mut record = Record::default();
        record
            .run("right", &text.replace("0.5 dBm", "0 dBm"), None)
            .unwrap();
        assert!(record.passed());
        let error = record.run("broken", "rows: 1\n", None).unwrap_err();
        record.refuse("broken", &error);
        assert!(!record.passed() && record.refused[0].message.contains("table"));
    }
}
