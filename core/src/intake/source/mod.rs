//! Source: the text of a file, with a map from byte to line and column.

mod decode;
pub mod encoding;
pub(super) mod gzip;
pub mod lines;
mod map;
#[cfg(test)]
mod tests;

pub use encoding::Encoding;
pub use lines::{Line, Lines};

use crate::error::{Error, Result};
use crate::finding::Finding;
use crate::limits::Limits;
use crate::place::{Excerpt, Place};
use map::Map;

/// The text of a file and its name.
///
/// Whatever the file's encoding, the text is UTF-8, and [`Source::place`] tells the bytes of the file:
/// - UTF-8, with or without a byte-order mark;
/// - UTF-16 with a byte-order mark, or without one where every second byte of the first KiB is NUL (in at least three of four
///   code units, and never the byte beside it);
/// - Latin-1 where the bytes are not UTF-8 and no character of the file is one of UTF-8 beyond ASCII; 0x80 to 0x9F are read as
///   Windows-1252, as is common practice for text of older programs. It is a guess: [`Source::encoding_finding`] says so.
///
/// Files that are compressed with gzip, told by their first bytes, are decompressed by builds with the feature `gzip`.
#[derive(Clone, Debug)]
pub struct Source {
    name: String,
    text: String,
    encoding: Encoding,
    /// Length of the byte-order mark.
    mark: usize,
    compressed: bool,
    map: Map,
    /// Number of the line with which the text starts.
    first_line: u64,
}

impl Source {
    /// Decodes the bytes of a file.
    ///
    /// # Errors
    /// - Limit: more than `limits.max_bytes`, as it is or decompressed;
    /// - Input: nothing in it, a NUL byte, bytes that are no text, text or compressed data that are cut;
    /// - Unsupported: gzip in gzip, or gzip in a build without the feature.
    pub fn from_bytes(name: &str, bytes: Vec<u8>, limits: &Limits) -> Result<Self> {
        check_size(name, bytes.len(), limits)?;
        let compressed = gzip::is_gzip(&bytes);
        let bytes = if compressed {
            gzip::unpack(name, &bytes, limits)?
        } else {
            bytes
        };
        let sniffed = encoding::sniff(&bytes);
        let (text, encoding) = decode::decode(name, bytes, sniffed.encoding, sniffed.mark)?;
        Self::new(name, text, encoding, sniffed.mark, compressed)
    }

    /// A source from a text. A byte-order mark in front is dropped.
    ///
    /// # Errors
    /// - Limit: more than `limits.max_bytes`;
    /// - Input: nothing in it, or a NUL character.
    pub fn from_text(name: &str, text: &str, limits: &Limits) -> Result<Self> {
        check_size(name, text.len(), limits)?;
        let mark = if text.starts_with('\u{FEFF}') { 3 } else { 0 };
        let bytes = text.as_bytes().to_vec();
        let (text, encoding) = decode::decode(name, bytes, Encoding::Utf8, mark)?;
        Self::new(name, text, encoding, mark, false)
    }

    fn new(
        name: &str,
        text: String,
        encoding: Encoding,
        mark: usize,
        compressed: bool,
    ) -> Result<Self> {
        if text.trim().is_empty() {
            return Err(Error::input("the file is empty")
                .hint("a readings file has at least a heading line and one reading")
                .at(Place::in_source(name)
                    .with_line(1)
                    .with_column(1)
                    .with_byte(0)));
        }
        Ok(Self {
            name: name.to_string(),
            map: Map::new(&text, encoding, mark),
            text,
            encoding,
            mark,
            compressed,
            first_line: 1,
        })
    }

    /// The first lines of a file; `None` where they are not UTF-8 text, or blank.
    pub(super) fn first_piece(name: &str, bytes: &[u8], compressed: bool) -> Option<Self> {
        let sniffed = encoding::sniff(bytes);
        if gzip::is_gzip(bytes) || sniffed.encoding != Encoding::Utf8 {
            return None;
        }
        let text = bytes.get(sniffed.mark..)?.to_vec();
        let piece = Self::piece(name, text, (sniffed.mark as u64, 1), compressed)?;
        (!piece.text.trim().is_empty()).then_some(piece)
    }

    /// Lines of a file from the byte `start` on, the first of which has this number; `None` where they are not UTF-8 text.
    pub(super) fn piece(
        name: &str,
        bytes: Vec<u8>,
        (start, first_line): (u64, u64),
        compressed: bool,
    ) -> Option<Self> {
        let text = (!bytes.contains(&0)).then_some(bytes)?;
        let text = String::from_utf8(text).ok()?;
        Some(Self {
            name: name.to_string(),
            text,
            encoding: Encoding::Utf8,
            mark: 0,
            compressed,
            map: Map::Even { start, unit: 1 },
            first_line,
        })
    }

    /// The name, usually a path.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.name
    }

    /// The name that a file of this text would have: without `.gz` where the file is compressed.
    #[must_use]
    pub fn name_hint(&self) -> &str {
        if self.compressed {
            gzip::bare_name(&self.name)
        } else {
            &self.name
        }
    }

    /// The text, without byte-order mark.
    #[must_use]
    pub fn text(&self) -> &str {
        &self.text
    }

    /// How the file writes its characters.
    #[must_use]
    pub fn encoding(&self) -> Encoding {
        self.encoding
    }

    /// True where the encoding is a guess: the file is not UTF-8 and has no byte-order mark.
    #[must_use]
    pub fn encoding_is_guessed(&self) -> bool {
        self.encoding != Encoding::Utf8 && self.mark == 0
    }

    /// A note (code `encoding`) on what the file is read as, for every encoding but UTF-8.
    #[must_use]
    pub fn encoding_finding(&self) -> Option<Finding> {
        let (encoding, here) = (self.encoding, Place::in_source(&self.name));
        let finding = match encoding {
            Encoding::Utf8 => return None,
            Encoding::Latin1 => Finding::note(
                "encoding",
                "the file is not UTF-8 and was read as Latin-1 (Windows-1252): a guess",
            )
            .at(self.beyond_ascii().unwrap_or(here)),
            _ if self.mark == 0 => Finding::note(
                "encoding",
                format!("the file was read as {encoding}, because every second byte of its head is NUL: a guess"),
            )
            .at(here),
            _ => {
                let message = format!("the file is {encoding} by its byte-order mark");
                return Some(Finding::note("encoding", message).at(here));
            }
        };
        Some(finding.advice(
            "check that signs such as °, µ and φ are right; if they are not, save the file as UTF-8",
        ))
    }

    /// The first character that is not ASCII.
    fn beyond_ascii(&self) -> Option<Place> {
        self.lines().find_map(|line| {
            let (at, c) = line.text.char_indices().find(|(_, c)| !c.is_ascii())?;
            Some(self.place(line, at, at + c.len_utf8()))
        })
    }

    /// The lines with their numbers in the file (from 1), without line ends (LF, CRLF or CR).
    pub fn lines(&self) -> Lines<'_> {
        Lines::of(&self.text, self.first_line)
    }

    /// Place of a part of a line: `start..end` are byte offsets in the line. The place's byte is that of the file, or of what
    /// a compressed file holds.
    #[must_use]
    pub fn place(&self, line: Line<'_>, start: usize, end: usize) -> Place {
        let start = line.text.floor_char_boundary(start.min(line.text.len()));
        Place::in_source(&self.name)
            .with_byte(self.map.byte(&self.text, line.at.saturating_add(start)))
            .with_line(line.number)
            .with_column(line.text[..start].chars().count() as u64 + 1)
            .with_excerpt(Excerpt::new(line.text, start, end))
    }
}

fn check_size(name: &str, bytes: usize, limits: &Limits) -> Result<()> {
    if bytes as u64 <= limits.max_bytes {
        return Ok(());
    }
    Err(Error::limit(format!(
        "{bytes} bytes are more than the limit of {}",
        limits.max_bytes
    ))
    .hint("raise the limit on bytes, or split the file")
    .at(Place::in_source(name)))
}
