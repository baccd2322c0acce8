//! Lines of a text.

/// A line of a source.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Line<'a> {
    /// Number from 1.
    pub number: u64,
    /// Byte offset of its start in [`super::Source::text`].
    pub at: usize,
    /// Its text, without line end.
    pub text: &'a str,
}

/// Iterator over the lines of a [`super::Source`].
#[derive(Clone, Debug)]
pub struct Lines<'a> {
    text: &'a str,
    at: usize,
    /// Number of the next line.
    number: u64,
}

impl<'a> Lines<'a> {
    /// The lines of a text, the first of which has this number.
    pub(super) fn of(text: &'a str, number: u64) -> Self {
        Self {
            text,
            at: 0,
            number,
        }
    }
}

impl<'a> Iterator for Lines<'a> {
    type Item = Line<'a>;

    fn next(&mut self) -> Option<Line<'a>> {
        let rest = self.text.get(self.at..).filter(|r| !r.is_empty())?;
        let number = self.number;
        self.number += 1;
        let at = self.at;
        let end = rest.find(['\n', '\r']).unwrap_or(rest.len());
        let line_end = if rest[end..].starts_with("\r\n") {
            2
        } else {
            usize::from(end < rest.len())
        };
        self.at += end + line_end;
        Some(Line {
            number,
            at,
            text: &rest[..end],
        })
    }
}
