//! What stands above the heading line.

use crate::{pairs, record};
use spheresum_core::intake::source::Line;
use spheresum_core::intake::text::{Cursor, Entries, Entry, field, line_at};

/// The lines above the heading.
#[derive(Clone, Debug, Default)]
pub(crate) struct Preamble<'a> {
    /// Their entries.
    pub(crate) entries: Entries<'a>,
    /// The last comment, which may be a heading with a mark in front of it.
    pub(crate) last_comment: Option<Line<'a>>,
}

/// The first line that is neither blank, comment nor `key: value` (nor a key and a value in two cells), the lines above it, and the cursor
/// behind it.
pub(crate) fn above_heading(text: &str) -> (Preamble<'_>, Option<Line<'_>>, Cursor) {
    pairs::above_heading(text).unwrap_or_else(|| above(text, usize::MAX, |_| None))
}

/// As [`above_heading`], within `most` lines, where `pair` may see an entry in a line first. Without a line where none is left.
pub(crate) fn above<'a>(
    text: &'a str,
    most: usize,
    mut pair: impl FnMut(Line<'a>) -> Option<Entry<'a>>,
) -> (Preamble<'a>, Option<Line<'a>>, Cursor) {
    let mut preamble = Preamble::default();
    let mut cursor = Cursor::START;
    for _ in 0..most {
        let Some((line, next)) = line_at(text, cursor) else {
            break;
        };
        cursor = next;
        let is_comment = field::comment(line.text).is_some();
        match pair(line).or_else(|| Entry::of(line, true)) {
            Some(entry) => Entries::keep(&mut preamble.entries.all, entry),
            None if is_comment => preamble.last_comment = Some(line),
            None if record::is_blank(line.text) => {}
            None => return (preamble, Some(line), next),
        }
    }
    (preamble, None, cursor)
}

/// The lines of a text.
pub(crate) fn lines(text: &str) -> impl Iterator<Item = Line<'_>> {
    let mut cursor = Cursor::START;
    std::iter::from_fn(move || {
        let (line, next) = line_at(text, cursor)?;
        cursor = next;
        Some(line)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn stops_at_the_heading() {
        let text = "# gauge\n# a: b\n\nFrequency: 868.3 MHz\ntheta,phi\n0,0\n";
        let (preamble, line, cursor) = above_heading(text);
        assert_eq!(preamble.entries.all.len(), 2);
        assert_eq!(line.map(|l| (l.number, l.text)), Some((5, "theta,phi")));
        assert_eq!(cursor.number, 6);
        assert_eq!(preamble.last_comment.map(|l| l.number), Some(1));
    }
}
