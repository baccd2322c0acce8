//! What came of the rows of tables.

use crate::error::Result;
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

/// The largest deviation of a figure from what was wanted, as a share of what is allowed.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
#[non_exhaustive]
pub struct Largest {
    /// Number of rows of the figure.
    pub rows: usize,
    /// The deviation, in `unit`.
    pub deviation: f64,
    /// What was allowed there.
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
    /// Number of rows by the kind of their sources; a row may have several.
    pub by_kind: BTreeMap<String, usize>,
    /// Largest deviation by figure.
    pub largest: BTreeMap<String, Largest>,
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

    /// True where every row is content, and there is one.
    #[must_use]
    pub fn passed(&self) -> bool {
        !self.rows.is_empty() && self.rows.iter().all(|r| r.passed)
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
            let share = |d: f64, a: f64| if a > 0.0 { d / a } else { f64::INFINITY };
            let now = Largest {
                rows: 0,
                deviation: number.deviation,
                allowed: number.allowed,
                unit: number.unit.as_str().to_string(),
                place: format!("{name}:{}", row.line),
            };
            let kept = self
                .largest
                .entry(asked.clone())
                .or_insert_with(|| now.clone());
            let rows = kept.rows + 1;
            if share(now.deviation, now.allowed) > share(kept.deviation, kept.allowed) {
                *kept = now;
            }
            kept.rows = rows;
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
        let trp = &record.largest["trp"];
        assert!(trp.rows > 20 && trp.deviation <= trp.allowed);
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
    }
}
