//! Lines of a table and pieces of them, with their place.

use crate::error::Error;
use crate::place::{Excerpt, Place};
use crate::table::measure::{Amount, Symbol, number};

/// A line of a table.
#[derive(Clone, Copy, Debug)]
pub(super) struct Line<'a> {
    /// Name of the table.
    pub source: &'a str,
    /// Number of the line, from 1.
    pub number: u64,
    /// Byte offset of the line in the text.
    pub byte: u64,
    /// The line without its end.
    pub text: &'a str,
}

/// A part of a line.
#[derive(Clone, Copy, Debug)]
pub(super) struct Piece<'a> {
    line: Line<'a>,
    start: usize,
    /// The part itself.
    pub text: &'a str,
}

/// The lines of a text with their places.
pub(super) fn lines<'a>(source: &'a str, text: &'a str) -> impl Iterator<Item = Line<'a>> {
    let mut byte = 0;
    text.split_inclusive('\n')
        .zip(1..)
        .map(move |(whole, number)| {
            let text = whole.strip_suffix('\n').unwrap_or(whole);
            let line = Line {
                source,
                number,
                byte,
                text: text.strip_suffix('\r').unwrap_or(text),
            };
            byte += whole.len() as u64;
            line
        })
}

impl<'a> Line<'a> {
    /// All of it, without blanks at the ends.
    pub fn whole(self) -> Piece<'a> {
        Piece {
            line: self,
            start: 0,
            text: self.text,
        }
        .trimmed()
    }

    /// True for a blank line or a remark.
    pub fn is_silent(self) -> bool {
        let text = self.text.trim();
        text.is_empty() || text.starts_with('#')
    }
}

impl<'a> Piece<'a> {
    /// Number of its line.
    pub fn line_number(self) -> u64 {
        self.line.number
    }

    fn part(self, from: usize, to: usize) -> Self {
        Self {
            line: self.line,
            start: self.start + from,
            text: self.text.get(from..to).unwrap_or(""),
        }
        .trimmed()
    }

    fn trimmed(self) -> Self {
        let text = self.text.trim_start();
        Self {
            start: self.start + self.text.len() - text.len(),
            text: text.trim_end(),
            ..self
        }
    }

    /// What stands before and behind the first `separator`.
    pub fn cut(self, separator: &str) -> Option<(Self, Self)> {
        let at = self.text.find(separator)?;
        Some((
            self.part(0, at),
            self.part(at + separator.len(), self.text.len()),
        ))
    }

    /// Its parts between separators, at most `most` of them: the last holds whatever follows.
    pub fn parts(self, separator: &str, most: usize) -> Vec<Self> {
        let mut parts = Vec::new();
        let mut rest = self;
        while parts.len() + 1 < most
            && let Some((first, behind)) = rest.cut(separator)
        {
            parts.push(first);
            rest = behind;
        }
        parts.push(rest);
        parts
    }

    /// The end of the piece, for what is missing there.
    pub fn end(self) -> Self {
        Self {
            start: self.start + self.text.len(),
            text: "",
            ..self
        }
    }

    /// An Input error at this piece.
    pub fn error(self, message: impl Into<String>) -> Error {
        let before = self.line.text.get(..self.start).unwrap_or("");
        Error::input(message).at(Place::in_source(self.line.source)
            .with_line(self.line.number)
            .with_column(before.chars().count() as u64 + 1)
            .with_byte(self.line.byte + self.start as u64)
            .with_excerpt(Excerpt::new(
                self.line.text,
                self.start,
                self.start + self.text.len(),
            )))
    }

    /// A number and a unit with blanks between.
    pub fn amount(self) -> Result<Amount, Error> {
        let Some((value, unit)) = self.cut(" ") else {
            return Err(self.without_unit());
        };
        let Some(number) = number(value.text) else {
            return Err(value.error(format!("{:?} is not a number", value.text)));
        };
        match Symbol::of(unit.text) {
            Some(symbol) => Ok(Amount::new(number, symbol)),
            None => Err(unit
                .error(format!("there is no unit {:?}", unit.text))
                .hint(units_hint())),
        }
    }

    /// A number and a unit that must be one of `allowed`.
    pub fn amount_in(self, allowed: &[Symbol]) -> Result<Amount, Error> {
        let amount = self.amount()?;
        if allowed.contains(&amount.unit) {
            return Ok(amount);
        }
        let names: Vec<&str> = allowed.iter().map(|u| u.as_str()).collect();
        let (_, unit) = self.cut(" ").unwrap_or((self, self));
        Err(unit
            .error(format!("the unit {} does not fit here", amount.unit))
            .hint(format!("units that fit: {}", names.join(", "))))
    }

    fn without_unit(self) -> Error {
        if number(self.text).is_some() {
            return self
                .end()
                .error(format!("the number {} has no unit", self.text))
                .hint(units_hint());
        }
        let glued = Symbol::ALL
            .into_iter()
            .filter_map(|u| self.text.strip_suffix(u.as_str()))
            .find(|rest| number(rest).is_some());
        match glued {
            Some(rest) => self
                .part(rest.len(), self.text.len())
                .error("the unit is glued to its number")
                .hint(format!(
                    "write a blank between them: {rest} {}",
                    &self.text[rest.len()..]
                )),
            None => self.error(format!("{:?} is not a number with a unit", self.text)),
        }
    }
}

fn units_hint() -> String {
    let all: Vec<&str> = Symbol::ALL.iter().map(|u| u.as_str()).collect();
    format!("units: {}", all.join(", "))
}
