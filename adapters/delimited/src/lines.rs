//! Lines from an offset, without an iterator's state.

use spheresum_core::intake::source::Line;

/// Where reading stands: byte offset of a line's start, and its number from 1.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Cursor {
    /// Byte offset in the text.
    pub(crate) at: usize,
    /// Number of the line that starts there.
    pub(crate) number: u64,
}

impl Cursor {
    /// The start of a text.
    pub(crate) const START: Self = Self { at: 0, number: 1 };
}

/// The line at the cursor, and the cursor behind it; `None` at the end.
pub(crate) fn line_at(text: &str, cursor: Cursor) -> Option<(Line<'_>, Cursor)> {
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
