//! A word of the text, and errors that point at it.

use crate::grammar;
use spheresum_core::intake::Source;
use spheresum_core::intake::source::Line;
use spheresum_core::{Error, Limits, Place, Result};

/// Most characters of a word that a message shows.
const MOST: usize = 40;

/// A part of a line.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Word<'a> {
    line: Line<'a>,
    start: usize,
    end: usize,
}

impl<'a> Word<'a> {
    /// The part of a line from one byte offset to another.
    pub(crate) fn new(line: Line<'a>, start: usize, end: usize) -> Self {
        Self { line, start, end }
    }

    /// What stands in front of a line's comment, without blanks around it.
    pub(crate) fn whole(line: Line<'a>) -> Self {
        let body = grammar::body(line.text);
        let end = body.trim_end().len();
        let start = (body.len() - body.trim_start().len()).min(end);
        Self { line, start, end }
    }

    /// The words of a line from an offset on.
    ///
    /// # Errors
    /// Limit: more than are allowed.
    pub(crate) fn all(
        line: Line<'a>,
        from: usize,
        source: &Source,
        limits: &Limits,
    ) -> Result<Vec<Self>> {
        let mut words = Vec::new();
        for (start, text) in grammar::words(line.text, from) {
            let word = Self::new(line, start, start + text.len());
            if words.len() == limits.max_fields {
                return Err(Error::limit(format!(
                    "more than {} fields in a line",
                    limits.max_fields
                ))
                .hint("raise the limit on fields, or break the line")
                .at(word.place(source)));
            }
            words.push(word);
        }
        Ok(words)
    }

    /// Its text.
    pub(crate) fn text(&self) -> &'a str {
        self.line.text.get(self.start..self.end).unwrap_or_default()
    }

    /// Its line's number.
    pub(crate) fn line(&self) -> u64 {
        self.line.number
    }

    /// Its place.
    pub(crate) fn place(&self, source: &Source) -> Place {
        source.place(self.line, self.start, self.end)
    }

    /// Its text for a message: in quotes, shortened if long.
    pub(crate) fn shown(&self) -> String {
        let text = self.text();
        match text.char_indices().nth(MOST) {
            Some((end, _)) => format!("{:?}…", &text[..end]),
            None => format!("{text:?}"),
        }
    }

    /// An Input error here.
    pub(crate) fn wrong(
        &self,
        source: &Source,
        message: impl Into<String>,
        hint: impl Into<String>,
    ) -> Error {
        Error::input(message).hint(hint).at(self.place(source))
    }
}
