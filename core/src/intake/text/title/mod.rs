//! Titles: lines above a block of values that say what the block holds.

mod agree;
mod choose;
mod claim;
mod facts;
mod piece;
mod sections;
#[cfg(test)]
mod tests;

pub use agree::say_alike;
pub use choose::choose;
pub use claim::claim;
pub use facts::{Facts, Stated};
pub use sections::{KINDS, Kind, inherit};

use crate::intake::source::Line;
use crate::intake::text::entries::Entry;
use crate::intake::text::field;
use crate::intake::text::meaning::UnitText;
use crate::intake::text::table::{Field, Heading};

/// One thing that a title says.
#[derive(Clone, Debug)]
pub struct Statement<'a> {
    /// What it is about.
    pub said: Said<'a>,
    /// Its text, and where that stands: for a `key: value` that of the value.
    pub field: Field<'a>,
}

/// What a statement is about.
#[derive(Clone, Debug)]
pub enum Said<'a> {
    /// The values, as a heading would say it: quantity, polarisation, part and unit.
    Values(Heading<'a>),
    /// The polarisation alone: the text is its word.
    Polarisation,
    /// The frequency: the text is its number, with its unit if the key has none.
    Frequency(UnitText),
    /// A fixed angle, as a heading would name it: the text is its number, with its unit if the name has none.
    Angle(Heading<'a>),
    /// The angle that runs along the rows or the columns of a matrix: the text is its name.
    Axis {
        /// Along the rows, else along the columns.
        rows: bool,
    },
    /// The number of something in the block, by its key.
    Count(&'a str),
    /// A number that stands for a frequency on some instrument.
    Channel,
    /// A number of the block, such as `Cut 3`, which says nothing of it.
    Label,
    /// Any other `key: value`.
    Entry(Entry<'a>),
    /// Free text.
    Remark,
}

impl Said<'_> {
    /// True where a block is described, and not only remarked upon.
    #[must_use]
    pub const fn is_fact(&self) -> bool {
        matches!(
            self,
            Self::Values(_)
                | Self::Polarisation
                | Self::Frequency(_)
                | Self::Angle(_)
                | Self::Channel
        )
    }
}

impl<'a> Statement<'a> {
    /// True for what has to be said above a block, not among its rows.
    #[must_use]
    pub fn is_title(&self) -> bool {
        match &self.said {
            Said::Entry(entry) => entry.known().is_some(),
            Said::Axis { .. } | Said::Count(_) | Said::Label => true,
            said => said.is_fact(),
        }
    }
}

/// What a title line says: a comment, or a bare line. Its pieces are parted by commas, semicolons, tabulators or `|`.
#[must_use]
pub fn statements(line: Line<'_>) -> Vec<Statement<'_>> {
    let body = field::comment(line.text).unwrap_or(line.text.trim());
    // Nothing but blanks stands behind the body, so that its last occurrence is itself.
    let start = line.text.rfind(body).unwrap_or(0);
    let pieces = piece::split(line, start, start + body.len());
    // A line that starts with a remark of the form `key: value` is that remark to its end.
    if let Some(entry) = pieces.first().and_then(|p| piece::remark(*p, line, body)) {
        let field = Field::of(line, start, start + body.len());
        let said = Said::Entry(entry);
        return vec![Statement { said, field }];
    }
    let mut found = Vec::new();
    let mut rest = pieces.as_slice();
    while let Some((piece, behind)) = rest.split_first() {
        rest = behind;
        // A name and its value in two cells, as spreadsheets write them.
        if let Some((value, behind)) = rest.split_first()
            && let Some(pair) = piece::pair(*piece, *value, line)
        {
            found.push(pair);
            rest = behind;
            continue;
        }
        piece::say(*piece, line, &mut found);
    }
    found
}
