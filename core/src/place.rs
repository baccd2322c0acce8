//! Where in a file something is.

use std::fmt;

/// A place in a source: file, byte, line, column and field.
///
/// Lines and columns count from 1, blank lines and headers included; columns count characters. A part that is unknown is
/// `None`.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[non_exhaustive]
pub struct Place {
    /// Name of the source, usually a path.
    pub source: Option<String>,
    /// Byte offset in the source as it lies on disk, from 0.
    pub byte: Option<u64>,
    /// Line, from 1.
    pub line: Option<u64>,
    /// Column in characters, from 1.
    pub column: Option<u64>,
    /// Name of the field (a column heading, a key), where the format has names.
    pub field: Option<String>,
    /// The line's text (shortened if long), for a caret; not part of the JSON.
    #[cfg_attr(feature = "serde", serde(skip))]
    pub excerpt: Option<Excerpt>,
}

/// A line's text and the part of it that is meant.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Excerpt {
    /// Text of the line, at most [`Excerpt::MAX_CHARS`] characters around the part meant.
    pub text: String,
    /// Byte offset in `text` where the part starts.
    pub start: usize,
    /// Byte offset in `text` behind the part.
    pub end: usize,
}

impl Excerpt {
    /// Longest excerpt, in characters.
    pub const MAX_CHARS: usize = 160;

    /// Cuts an excerpt out of a line; `start..end` are byte offsets of the part meant. Offsets outside the line or inside a
    /// character are moved to the nearest boundary.
    #[must_use]
    pub fn new(line: &str, start: usize, end: usize) -> Self {
        let start = line.floor_char_boundary(start.min(line.len()));
        let end = line.ceil_char_boundary(end.min(line.len())).max(start);
        let half = Self::MAX_CHARS / 2;
        let from = line[..start]
            .char_indices()
            .rev()
            .nth(half - 1)
            .map_or(0, |(at, _)| at);
        let to = line[from..]
            .char_indices()
            .nth(Self::MAX_CHARS)
            .map_or(line.len(), |(at, _)| from + at);
        let text = line[from..to].to_string();
        Self {
            start: start - from,
            end: (end - from).min(text.len()),
            text,
        }
    }
}

impl Place {
    /// A place that names a source and nothing else.
    #[must_use]
    pub fn in_source(source: &str) -> Self {
        Self {
            source: Some(source.to_string()),
            ..Self::default()
        }
    }

    /// With a line, from 1.
    #[must_use]
    pub fn with_line(mut self, line: u64) -> Self {
        self.line = Some(line);
        self
    }

    /// With a column in characters, from 1.
    #[must_use]
    pub fn with_column(mut self, column: u64) -> Self {
        self.column = Some(column);
        self
    }

    /// With a byte offset, from 0.
    #[must_use]
    pub fn with_byte(mut self, byte: u64) -> Self {
        self.byte = Some(byte);
        self
    }

    /// With the name of a field.
    #[must_use]
    pub fn with_field(mut self, field: &str) -> Self {
        self.field = Some(field.to_string());
        self
    }

    /// With the line's text.
    #[must_use]
    pub fn with_excerpt(mut self, excerpt: Excerpt) -> Self {
        self.excerpt = Some(excerpt);
        self
    }
}

impl fmt::Display for Place {
    /// Such as `gauge.csv:12:7 (field eirp_theta_dbm)`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.source.as_deref().unwrap_or("input"))?;
        if let Some(line) = self.line {
            write!(f, ":{line}")?;
            if let Some(column) = self.column {
                write!(f, ":{column}")?;
            }
        }
        if let Some(field) = &self.field {
            write!(f, " (field {field})")?;
        }
        Ok(())
    }
}
