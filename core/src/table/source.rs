//! Where an expected number comes from.

use std::fmt;

/// Kind of a source.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[non_exhaustive]
pub enum SourceKind {
    /// `document`: a published text, with clause or table, that was read.
    Document,
    /// `closed form`: a formula that anybody can evaluate.
    ClosedForm,
    /// `independent`: another computation, with library and version.
    Independent,
    /// `common practice`: how laboratories do it, without one text to cite.
    CommonPractice,
    /// `from memory`: a published text that was recalled, not read.
    FromMemory,
    /// `snapshot`: this library's own earlier output.
    Snapshot,
}

impl SourceKind {
    /// All kinds.
    pub const ALL: [Self; 6] = [
        Self::Document,
        Self::ClosedForm,
        Self::Independent,
        Self::CommonPractice,
        Self::FromMemory,
        Self::Snapshot,
    ];

    /// The words of the table.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Document => "document",
            Self::ClosedForm => "closed form",
            Self::Independent => "independent",
            Self::CommonPractice => "common practice",
            Self::FromMemory => "from memory",
            Self::Snapshot => "snapshot",
        }
    }

    /// The kind of these words.
    #[must_use]
    pub fn of(words: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|k| k.as_str() == words)
    }
}

/// Source of an expected number: its kind, and which.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Source {
    /// What kind of source.
    pub kind: SourceKind,
    /// Clause, formula, library and version, or whatever names it.
    pub text: String,
}

impl fmt::Display for Source {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}", self.kind.as_str(), self.text)
    }
}
