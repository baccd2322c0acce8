//! Samples: files that an adapter is checked on, and what is expected of each.

use crate::error::Group;
use crate::intake::ReadOptions;
use std::ops::RangeInclusive;

/// A file, how it is read, and what is expected.
#[derive(Clone, Debug)]
#[non_exhaustive]
pub struct Sample {
    /// Name of the file; the name hint of a look.
    pub name: String,
    /// Its bytes, as on disk.
    pub bytes: Vec<u8>,
    /// Options it is read with.
    pub options: ReadOptions,
    /// What is expected of the read.
    pub expect: Expect,
    /// Lines, from 1, that may stand in any order; `None` where the order carries meaning.
    pub rows: Option<RangeInclusive<u64>>,
    /// Most fields in one of its lines, where that is known.
    pub fields: Option<usize>,
    /// False where the format itself asks for certain line ends.
    pub any_line_ends: bool,
    /// False where lines mean nothing to the format, and may be of any length.
    pub has_lines: bool,
    /// False where nothing in the file is particular to the format, and a person has to name the adapter.
    pub recognised: bool,
}

/// What is expected of reading a sample.
#[derive(Clone, Debug)]
#[non_exhaustive]
pub enum Expect {
    /// It is read.
    Good,
    /// It is refused.
    Bad(Refusal),
}

/// The error that a bad sample gives. What is not stated may be anything.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct Refusal {
    /// Who must act.
    pub group: Group,
    /// Line, from 1.
    pub line: Option<u64>,
    /// Column in characters, from 1.
    pub column: Option<u64>,
    /// Part of the message.
    pub words: Option<String>,
}

impl Refusal {
    /// An error of this group, anywhere.
    #[must_use]
    pub fn new(group: Group) -> Self {
        Self {
            group,
            line: None,
            column: None,
            words: None,
        }
    }

    /// In this line and column, both from 1.
    #[must_use]
    pub fn at(mut self, line: u64, column: u64) -> Self {
        self.line = Some(line);
        self.column = Some(column);
        self
    }

    /// In this line, from 1, in any column.
    #[must_use]
    pub fn in_line(mut self, line: u64) -> Self {
        self.line = Some(line);
        self
    }

    /// With these words in its message.
    #[must_use]
    pub fn saying(mut self, words: &str) -> Self {
        self.words = Some(words.to_string());
        self
    }
}

impl Sample {
    /// A file that is read.
    #[must_use]
    pub fn good(name: &str, bytes: impl Into<Vec<u8>>) -> Self {
        Self {
            name: name.to_string(),
            bytes: bytes.into(),
            options: ReadOptions::default(),
            expect: Expect::Good,
            rows: None,
            fields: None,
            any_line_ends: true,
            has_lines: true,
            recognised: true,
        }
    }

    /// A file that is refused.
    #[must_use]
    pub fn bad(name: &str, bytes: impl Into<Vec<u8>>, refusal: Refusal) -> Self {
        Self {
            expect: Expect::Bad(refusal),
            ..Self::good(name, bytes)
        }
    }

    /// Read with these options.
    #[must_use]
    pub fn with_options(mut self, options: ReadOptions) -> Self {
        self.options = options;
        self
    }

    /// With the lines, from 1, that may stand in any order: its data rows.
    #[must_use]
    pub fn with_rows(mut self, rows: RangeInclusive<u64>) -> Self {
        self.rows = Some(rows);
        self
    }

    /// With the most fields that one of its lines has, to try the limit on fields.
    #[must_use]
    pub fn with_fields(mut self, fields: usize) -> Self {
        self.fields = Some(fields);
        self
    }

    /// Of a format that asks for the line ends it has.
    #[must_use]
    pub fn with_own_line_ends(mut self) -> Self {
        self.any_line_ends = false;
        self
    }

    /// Of a format to which lines mean nothing, so that one may be as long as the file: the limit on them is not tried.
    #[must_use]
    pub fn without_lines(mut self) -> Self {
        self.has_lines = false;
        self
    }

    /// Read only by an adapter that a person names: looks of it are not checked.
    #[must_use]
    pub fn unrecognised(mut self) -> Self {
        self.recognised = false;
        self
    }

    pub(super) fn is_good(&self) -> bool {
        matches!(self.expect, Expect::Good)
    }
}
