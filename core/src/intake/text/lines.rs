//! Lines from an offset, without an iterator's state, and the refusal of one that is too long.

use crate::intake::source::{Line, Source};
use crate::{Error, Limits, Result};

/// Where reading stands: byte offset of a line's start, and its number from 1.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Cursor {
    /// Byte offset in the text.
    pub at: usize,
    /// Number of the line that starts there.
    pub number: u64,
}

impl Cursor {
    /// The start of a text.
    pub const START: Self = Self { at: 0, number: 1 };
}

/// The line at the cursor, and the cursor behind it; `None` at the end.
#[must_use]
pub fn line_at(text: &str, cursor: Cursor) -> Option<(Line<'_>, Cursor)> {
    let rest = text.get(cursor.at..).filter(|r| !r.is_empty())?;
    let bytes = rest.as_bytes();
    let end = bytes
        .iter()
        .position(|b| matches!(b, b'\n' | b'\r'))
        .unwrap_or(bytes.len());
    let behind = match &bytes[end..] {
        [b'\r', b'\n', ..] => 2,
        [] => 0,
        _ => 1,
    };
    let line = Line {
        number: cursor.number,
        at: cursor.at,
        text: &rest[..end],
    };
    let next = Cursor {
        at: cursor.at + end + behind,
        number: cursor.number + 1,
    };
    Some((line, next))
}

/// The error of a line that is too long.
#[must_use]
pub fn long_line(source: &Source, line: Line<'_>, limits: &Limits) -> Error {
    Error::limit(format!(
        "the line has {} bytes, more than the limit of {}",
        line.text.len(),
        limits.max_line_bytes
    ))
    .hint("raise the limit on a line's bytes, or check that this is a table of readings")
    .at(source.place(line, limits.max_line_bytes, limits.max_line_bytes))
}

/// Refuses a text with a line that is too long, before it is taken apart in several ways.
///
/// # Errors
/// Limit, at the line.
pub fn refuse_long_lines(source: &Source, limits: &Limits) -> Result<()> {
    match source
        .lines()
        .find(|line| line.text.len() > limits.max_line_bytes)
    {
        Some(line) => Err(long_line(source, line, limits)),
        None => Ok(()),
    }
}
