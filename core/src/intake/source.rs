//! Source: the text of a file, with a map from byte to line and column.

use crate::error::{Error, Result};
use crate::limits::Limits;
use crate::place::{Excerpt, Place};

/// The UTF-8 text of a file and its name.
///
/// Other encodings and compressed files are refused with what to do; a byte-order mark in front is dropped.
#[derive(Clone, Debug)]
pub struct Source {
    name: String,
    text: String,
    /// Bytes in front of the text on disk: 3 for a byte-order mark.
    offset: u64,
}

impl Source {
    /// Decodes the bytes of a file.
    ///
    /// # Errors
    /// - Limit: more than `limits.max_bytes`;
    /// - Input: nothing in it, a NUL byte, bytes that are not UTF-8 (with their place);
    /// - Unsupported: UTF-16, or gzip.
    pub fn from_bytes(name: &str, bytes: Vec<u8>, limits: &Limits) -> Result<Self> {
        let here = Place::in_source(name);
        if bytes.len() as u64 > limits.max_bytes {
            return Err(Error::limit(format!(
                "{} bytes are more than the limit of {}",
                bytes.len(),
                limits.max_bytes
            ))
            .hint("raise the limit on bytes, or split the file")
            .at(here));
        }
        if bytes.starts_with(&[0xFF, 0xFE]) || bytes.starts_with(&[0xFE, 0xFF]) {
            return Err(Error::unsupported("the text is UTF-16")
                .hint("save it as UTF-8")
                .at(here.with_line(1).with_column(1).with_byte(0)));
        }
        if bytes.starts_with(&[0x1F, 0x8B]) {
            return Err(Error::unsupported("the file is compressed (gzip)")
                .hint("decompress it first")
                .at(here.with_line(1).with_column(1).with_byte(0)));
        }
        let offset = if bytes.starts_with(&[0xEF, 0xBB, 0xBF]) {
            3
        } else {
            0
        };
        // `contains` looks at many bytes at once, and finds nothing in nearly every file.
        let nul = bytes
            .contains(&0)
            .then(|| bytes.iter().position(|b| *b == 0))
            .flatten();
        if let Some(at) = nul {
            return Err(Error::input("a NUL byte: this is no text file")
                .hint("check that the file is the measurement's text export, and complete")
                .at(place_in_bytes(name, &bytes, at)));
        }
        let mut text = String::from_utf8(bytes).map_err(|e| {
            let at = e.utf8_error().valid_up_to();
            Error::input("a byte that is not UTF-8 text")
                .hint("save the file as UTF-8; a degree or micro sign from an older program is the usual cause")
                .at(place_in_bytes(name, e.as_bytes(), at))
        })?;
        text.drain(..offset);
        if text.trim().is_empty() {
            return Err(Error::input("the file is empty")
                .hint("a readings file has at least a heading line and one reading")
                .at(here.with_line(1).with_column(1).with_byte(0)));
        }
        Ok(Self {
            name: name.to_string(),
            text,
            offset: offset as u64,
        })
    }

    /// A source from a text.
    ///
    /// # Errors
    /// As [`Source::from_bytes`].
    pub fn from_text(name: &str, text: &str, limits: &Limits) -> Result<Self> {
        Self::from_bytes(name, text.as_bytes().to_vec(), limits)
    }

    /// The name, usually a path.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.name
    }

    /// The text, without byte-order mark.
    #[must_use]
    pub fn text(&self) -> &str {
        &self.text
    }

    /// The lines with their numbers from 1, without line ends (LF, CRLF or CR).
    pub fn lines(&self) -> Lines<'_> {
        Lines {
            text: &self.text,
            at: 0,
            number: 0,
        }
    }

    /// Place of a part of a line: `start..end` are byte offsets in the line.
    #[must_use]
    pub fn place(&self, line: Line<'_>, start: usize, end: usize) -> Place {
        let start = line.text.floor_char_boundary(start.min(line.text.len()));
        Place::in_source(&self.name)
            .with_byte(self.offset + (line.at + start) as u64)
            .with_line(line.number)
            .with_column(line.text[..start].chars().count() as u64 + 1)
            .with_excerpt(Excerpt::new(line.text, start, end))
    }
}

/// Place of a byte in text that may not be UTF-8.
fn place_in_bytes(name: &str, bytes: &[u8], at: usize) -> Place {
    let before = &bytes[..at];
    let line_start = before
        .iter()
        .rposition(|b| matches!(b, b'\n' | b'\r'))
        .map_or(0, |i| i + 1);
    let mut line = 1_u64;
    let mut previous = 0;
    for b in before {
        // CRLF counts once, at its LF.
        line += u64::from(*b == b'\n' && previous != b'\r') + u64::from(*b == b'\r');
        previous = *b;
    }
    let column = String::from_utf8_lossy(&bytes[line_start..at])
        .chars()
        .count() as u64
        + 1;
    Place::in_source(name)
        .with_line(line)
        .with_column(column)
        .with_byte(at as u64)
}

/// A line of a source.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Line<'a> {
    /// Number from 1.
    pub number: u64,
    /// Byte offset of its start in [`Source::text`].
    pub at: usize,
    /// Its text, without line end.
    pub text: &'a str,
}

/// Iterator over the lines of a [`Source`].
#[derive(Clone, Debug)]
pub struct Lines<'a> {
    text: &'a str,
    at: usize,
    number: u64,
}

impl<'a> Iterator for Lines<'a> {
    type Item = Line<'a>;

    fn next(&mut self) -> Option<Line<'a>> {
        let rest = self.text.get(self.at..).filter(|r| !r.is_empty())?;
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
            number: self.number,
            at,
            text: &rest[..end],
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn source(bytes: &[u8]) -> Result<Source> {
        Source::from_bytes("t", bytes.to_vec(), &Limits::small())
    }

    #[test]
    fn lines_of_every_kind() {
        let s = source(b"\xEF\xBB\xBFa\r\nb\rc\n\nd").map(|s| {
            let lines: Vec<(u64, String)> =
                s.lines().map(|l| (l.number, l.text.to_string())).collect();
            let last = s.lines().last().map(|l| s.place(l, 0, 1));
            (lines, last)
        });
        let (lines, last) = s.unwrap_or_default();
        let want = [(1, "a"), (2, "b"), (3, "c"), (4, ""), (5, "d")];
        assert_eq!(lines, want.map(|(n, t)| (n, t.to_string())));
        assert_eq!(last.and_then(|p| p.byte), Some(3 + 8));
    }

    #[test]
    fn refusals_have_a_place() {
        let place = |bytes: &[u8]| {
            source(bytes).err().map(|e| {
                let p = e.place().cloned().unwrap_or_default();
                (e.group(), p.line, p.column)
            })
        };
        use crate::error::Group;
        assert_eq!(place(b""), Some((Group::Input, Some(1), Some(1))));
        assert_eq!(place(b" \r\n"), Some((Group::Input, Some(1), Some(1))));
        assert_eq!(
            place(b"ab\r\nc\xB0"),
            Some((Group::Input, Some(2), Some(2)))
        );
        assert_eq!(
            place(b"ab\r\rc\x00"),
            Some((Group::Input, Some(3), Some(2)))
        );
        assert_eq!(
            place(b"\xFF\xFEa\x00"),
            Some((Group::Unsupported, Some(1), Some(1)))
        );
        assert_eq!(
            place(b"\x1F\x8Ba\x00"),
            Some((Group::Unsupported, Some(1), Some(1)))
        );
        let long = vec![b'a'; (1 << 20) + 1];
        assert_eq!(place(&long).map(|p| p.0), Some(Group::Limit));
    }
}
