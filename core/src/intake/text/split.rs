//! A line split into fields.

use crate::intake::adapter::ReadOptions;
use crate::intake::text::choices::{self, Choices};
use crate::intake::text::clip::Clip;
use crate::{Error, Place, Result};

/// What stands between fields.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Separator {
    /// A tabulator.
    Tab,
    /// A semicolon.
    Semicolon,
    /// A comma.
    Comma,
    /// A vertical bar.
    Pipe,
    /// A run of blanks or tabulators.
    Blank,
    /// Another sign of one byte, such as `:`; no option names it.
    Sign(u8),
}

impl Separator {
    /// All that have a word, in the order in which equals are preferred.
    pub const ALL: [Self; 5] = [
        Self::Tab,
        Self::Semicolon,
        Self::Comma,
        Self::Pipe,
        Self::Blank,
    ];

    /// The byte, a blank for [`Separator::Blank`].
    #[must_use]
    pub const fn byte(self) -> u8 {
        match self {
            Self::Tab => b'\t',
            Self::Semicolon => b';',
            Self::Comma => b',',
            Self::Pipe => b'|',
            Self::Blank => b' ',
            Self::Sign(byte) => byte,
        }
    }

    /// The word of the option `separator`.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Tab => "tab",
            Self::Semicolon => "semicolon",
            Self::Comma => "comma",
            Self::Pipe => "pipe",
            Self::Blank => "blank",
            Self::Sign(_) => "sign",
        }
    }

    /// The separator that the option `separator` names, where a person chose one.
    ///
    /// # Errors
    /// Usage: an unknown word, or the comma for both separator and decimal sign.
    pub fn chosen(options: &ReadOptions, choices: &Choices) -> Result<Option<Self>> {
        let Some(value) = options.named.get("separator").map(|v| v.trim()) else {
            return Ok(None);
        };
        let found = Self::ALL.into_iter().find(|s| s.word() == value);
        match found {
            None => Err(choices::unknown("separator", value, "comma, semicolon, tab, pipe, blank")),
            Some(Self::Comma) if choices.decimal == Some(b',') => {
                Err(Error::usage("the comma cannot be both separator and decimal sign")
                    .hint("export the file with semicolons or tabs between the fields, or with decimal points"))
            }
            chosen => Ok(chosen),
        }
    }
}

/// A field: its byte range in the line, without blanks and quotes around it.
pub type Span = (usize, usize);

/// What is wrong with the quotes of a line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Flaw {
    /// Text between a closing quote and the next separator.
    Behind(Span),
    /// A quote that is not closed in this line: its offset.
    Open(usize),
}

impl Flaw {
    /// The error of a flaw in a text. `open` is the hint where a quote is never closed; `place` tells where a part of the text stands.
    #[must_use]
    pub fn refuse(self, text: &str, open: &str, place: impl Fn(usize, usize) -> Place) -> Error {
        match self {
            Self::Behind((start, end)) => {
                let behind = text.get(start..end).unwrap_or_default();
                Error::input(format!("{:?} stands behind a closing quote", Clip(behind)))
                    .hint(
                        "a quote inside a field in quotes is doubled; behind the closing one comes the separator or the end of \
                         the line",
                    )
                    .at(place(start, end))
            }
            Self::Open(at) => Error::input("a quote is opened here and never closed")
                .hint(open)
                .at(place(at, at + 1)),
        }
    }
}

/// Splits a line into fields, at most `most` of them plus one, so that too many are noticed and not collected. Gives the first
/// flaw of its quotes.
///
/// A field may be put in double quotes, which hide separators inside; a doubled quote inside stands for one, and stays as it is
/// (RFC 4180, section 2). A quote inside a field without quotes, or one that is never closed, is an ordinary character.
pub fn split(
    line: &str,
    separator: Separator,
    most: usize,
    fields: &mut Vec<Span>,
) -> Option<Flaw> {
    split_quoted(line, separator, Some(b'"'), most, fields)
}

/// As [`split`], with another quote, which has to be a byte of ASCII, or none.
pub fn split_quoted(
    line: &str,
    separator: Separator,
    quote: Option<u8>,
    most: usize,
    fields: &mut Vec<Span>,
) -> Option<Flaw> {
    fields.clear();
    let mut flaw = None;
    let bytes = line.as_bytes();
    let mut at = 0;
    if separator == Separator::Blank {
        at = skip_blanks(bytes, at, true);
    }
    while fields.len() <= most {
        let start = skip_blanks(bytes, at, separator != Separator::Tab);
        let opened = quote.filter(|quote| bytes.get(start) == Some(quote));
        let quoted = opened.and_then(|quote| closing_quote(bytes, start + 1, quote));
        let end = match quoted {
            Some(close) => {
                fields.push(inside(bytes, start + 1, close));
                let end = find_separator(bytes, close + 1, separator);
                let behind = inside(bytes, close + 1, end);
                if behind.0 < behind.1 {
                    flaw = flaw.or(Some(Flaw::Behind(behind)));
                }
                end
            }
            None => {
                if opened.is_some() {
                    flaw = flaw.or(Some(Flaw::Open(start)));
                }
                let end = find_separator(bytes, at.max(start), separator);
                fields.push(trimmed(bytes, start.min(end), end));
                end
            }
        };
        if end >= bytes.len() {
            return flaw;
        }
        at = end + 1;
        if separator == Separator::Blank {
            at = skip_blanks(bytes, at, true);
            if at >= bytes.len() {
                return flaw;
            }
        }
    }
    flaw
}

fn skip_blanks(bytes: &[u8], mut at: usize, tabs: bool) -> usize {
    while matches!(bytes.get(at), Some(b' ')) || (tabs && bytes.get(at) == Some(&b'\t')) {
        at += 1;
    }
    at
}

fn trimmed(bytes: &[u8], start: usize, mut end: usize) -> Span {
    while end > start && matches!(bytes[end - 1], b' ' | b'\t') {
        end -= 1;
    }
    (start, end)
}

/// A part without blanks, tabulators and line ends on both sides.
fn inside(bytes: &[u8], mut start: usize, mut end: usize) -> Span {
    let is_white = |b: u8| matches!(b, b' ' | b'\t' | b'\n' | b'\r');
    while end > start && is_white(bytes[end - 1]) {
        end -= 1;
    }
    while start < end && is_white(bytes[start]) {
        start += 1;
    }
    (start, end)
}

fn is_separator(byte: u8, separator: Separator) -> bool {
    byte == separator.byte() || (separator == Separator::Blank && byte == b'\t')
}

/// Offset of the next separator; under blanks, a unit in brackets or parentheses stays with the name in front of it.
fn find_separator(bytes: &[u8], from: usize, separator: Separator) -> usize {
    let mut at = from;
    let mut depth = 0_usize;
    while let Some(byte) = bytes.get(at) {
        match byte {
            b'(' | b'[' => depth += 1,
            b')' | b']' => depth = depth.saturating_sub(1),
            _ => {}
        }
        if is_separator(*byte, separator) && (depth == 0 || separator != Separator::Blank) {
            let next = skip_blanks(bytes, at, true);
            if separator != Separator::Blank || !matches!(bytes.get(next), Some(b'(' | b'[')) {
                return at;
            }
            at = next;
            continue;
        }
        at += 1;
    }
    bytes.len()
}

/// Offset of the quote that closes a field: the first one that is not doubled.
fn closing_quote(bytes: &[u8], from: usize, quote: u8) -> Option<usize> {
    let mut at = from;
    while let Some(byte) = bytes.get(at) {
        match bytes.get(at + 1) {
            Some(next) if *byte == quote && *next == quote => at += 2,
            _ if *byte == quote => return Some(at),
            _ => at += 1,
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    fn fields(line: &str, separator: Separator) -> Vec<&str> {
        let mut spans = Vec::new();
        split(line, separator, 100, &mut spans);
        spans.iter().map(|(a, b)| &line[*a..*b]).collect()
    }

    #[test]
    fn by_every_separator() {
        assert_eq!(fields("1,2, 3 ,", Separator::Comma), ["1", "2", "3", ""]);
        assert_eq!(fields("1;;x y", Separator::Semicolon), ["1", "", "x y"]);
        assert_eq!(fields("1\t\t 2", Separator::Tab), ["1", "", "2"]);
        assert_eq!(fields("| 1 |2", Separator::Pipe), ["", "1", "2"]);
        assert_eq!(fields("  1  2\t3  ", Separator::Blank), ["1", "2", "3"]);
        assert_eq!(fields("", Separator::Comma), [""]);
        assert_eq!(
            fields("theta (deg)  phi [deg] p", Separator::Blank),
            ["theta (deg)", "phi [deg]", "p"]
        );
    }

    #[test]
    fn quotes_hide_separators() {
        assert_eq!(
            fields("\"a,b\", \"c\" ,d", Separator::Comma),
            ["a,b", "c", "d"]
        );
        assert_eq!(fields("\"a b\" c", Separator::Blank), ["a b", "c"]);
        // A quote that is never closed is an ordinary character.
        assert_eq!(fields("\"a,b", Separator::Comma), ["\"a", "b"]);
        assert_eq!(fields("1,\"\"", Separator::Comma), ["1", ""]);
        assert_eq!(
            fields("\" -12.5 \";\"a \"\"b\"\"\"", Separator::Semicolon),
            ["-12.5", "a \"\"b\"\""]
        );
        assert_eq!(fields("6\" horn,1", Separator::Comma), ["6\" horn", "1"]);
    }

    #[test]
    fn flaws_of_quotes() {
        let flaw = |line: &str, separator| split(line, separator, 100, &mut Vec::new());
        use Separator::{Blank, Comma, Pipe};
        assert_eq!(flaw("\"a\" ,\"b\"\"\"", Comma), None);
        assert_eq!(flaw("\"a\" \"b\"", Blank), None);
        assert_eq!(flaw("1,\"a\" b,2", Comma), Some(Flaw::Behind((6, 7))));
        assert_eq!(flaw("1 \"a\"b 2", Blank), Some(Flaw::Behind((5, 6))));
        assert_eq!(flaw("1,2, \"a,b", Comma), Some(Flaw::Open(5)));
        assert_eq!(flaw("1|\"a\"\"", Pipe), Some(Flaw::Open(2)));
        assert_eq!(flaw("6\" horn", Comma), None);
    }

    #[test]
    fn other_signs_and_quotes() {
        assert_eq!(fields("1: 2::", Separator::Sign(b':')), ["1", "2", "", ""]);
        let mut spans = Vec::new();
        let line = "'a,b',\"c,d";
        split_quoted(line, Separator::Comma, Some(b'\''), 9, &mut spans);
        assert_eq!(spans, [(1, 4), (6, 8), (9, 10)]);
        split_quoted(line, Separator::Comma, None, 9, &mut spans);
        assert_eq!(spans.len(), 4);
    }

    #[test]
    fn stops_behind_the_most() {
        let mut spans = Vec::new();
        split(&",".repeat(1000), Separator::Comma, 3, &mut spans);
        assert_eq!(spans.len(), 4);
    }
}
