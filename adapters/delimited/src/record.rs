//! A record: a line, or several where a field in quotes holds line ends (RFC 4180, section 2).

use spheresum_core::intake::Source;
use spheresum_core::intake::source::Line;
use spheresum_core::intake::text::{
    Cursor, Field, Flaw, Separator, Span, Spot, line_at, long_line, split,
};
use spheresum_core::{Error, Limits};

/// Most lines of a record. A quote that is never closed runs no further.
const MOST_LINES: usize = 64;

/// The record that starts with a line, and the cursor behind it. Where its quotes do not close, it is the line alone.
pub(crate) fn of<'a>(
    text: &'a str,
    line: Line<'a>,
    next: Cursor,
    separator: Separator,
) -> (Line<'a>, Cursor) {
    if !is_open(line.text, separator) {
        return (line, next);
    }
    let mut cursor = next;
    for _ in 1..MOST_LINES {
        let Some((more, behind)) = line_at(text, cursor) else {
            break;
        };
        let end = more.at + more.text.len();
        let Some(whole) = text.get(line.at..end) else {
            break;
        };
        cursor = behind;
        if more.text.contains('"') && !is_open(whole, separator) {
            return (
                Line {
                    text: whole,
                    ..line
                },
                cursor,
            );
        }
    }
    (line, next)
}

/// True where more text behind a piece could change what [`of`] gives: the line opens a quote, and the text ends before it is closed.
pub(crate) fn runs_out(text: &str, line: Line<'_>, next: Cursor, separator: Separator) -> bool {
    if !is_open(line.text, separator) {
        return false;
    }
    let (record, mut cursor) = of(text, line, next, separator);
    if is_long(record) {
        return false;
    }
    for _ in 1..MOST_LINES {
        match line_at(text, cursor) {
            Some((_, behind)) => cursor = behind,
            None => return true,
        }
    }
    false
}

fn is_open(text: &str, separator: Separator) -> bool {
    text.contains('"')
        && matches!(
            split(text, separator, usize::MAX, &mut Vec::new()),
            Some(Flaw::Open(_))
        )
}

/// The parts of a record as fields.
pub(crate) fn fields<'a>(record: Line<'a>, spans: &[Span], fields: &mut Vec<Field<'a>>) {
    fields.clear();
    if !is_long(record) {
        fields.extend(spans.iter().map(|s| Field::of(record, s.0, s.1)));
        return;
    }
    let lines: Vec<Line<'_>> = lines(record).collect();
    fields.extend(spans.iter().map(|s| Field {
        text: record.text.get(s.0..s.1).unwrap_or_default(),
        spot: Some(in_lines(&lines, record, s.0, s.1)),
    }));
}

/// Where a part of a record stands: in the line in which it starts.
pub(crate) fn spot<'a>(record: Line<'a>, start: usize, end: usize) -> Spot<'a> {
    let lines: Vec<Line<'_>> = lines(record).collect();
    in_lines(&lines, record, start, end)
}

fn in_lines<'a>(lines: &[Line<'a>], record: Line<'a>, start: usize, end: usize) -> Spot<'a> {
    let behind = lines.partition_point(|line| line.at - record.at <= start);
    let Some(line) = behind.checked_sub(1).and_then(|at| lines.get(at)) else {
        return Spot::new(record, start, end);
    };
    let within = |at: usize| {
        (at + record.at)
            .saturating_sub(line.at)
            .min(line.text.len())
    };
    Spot::new(*line, within(start), within(end))
}

/// True for a record of several lines.
pub(crate) fn is_long(record: Line<'_>) -> bool {
    record.text.contains(['\n', '\r'])
}

/// The lines of a record.
fn lines(record: Line<'_>) -> impl Iterator<Item = Line<'_>> {
    let mut cursor = Cursor::START;
    std::iter::from_fn(move || {
        let (line, next) = line_at(record.text, cursor)?;
        cursor = next;
        Some(Line {
            number: record.number + line.number - 1,
            at: record.at + line.at,
            text: line.text,
        })
    })
}

/// The error of a flaw in the quotes of a record.
pub(crate) fn refuse(source: &Source, record: Line<'_>, flaw: Flaw) -> Error {
    let open = format!(
        "close it, or take it away; a field in quotes runs over {MOST_LINES} lines at most; if this is the end of the file, it may \
         be cut off"
    );
    flaw.refuse(record.text, &open, |start, end| {
        spot(record, start, end).place(source)
    })
}

/// Refuses a record of several lines in which whole rows seem to be hidden by a stray quote.
///
/// # Errors
/// Input: a line inside has as many fields as there are headings.
pub(crate) fn refuse_hidden_rows(
    source: &Source,
    record: Line<'_>,
    separator: Separator,
    headings: usize,
) -> Result<(), Error> {
    let mut spans = Vec::new();
    let first = lines(record).next().unwrap_or(record);
    let Some(Flaw::Open(quote)) = split(first.text, separator, headings, &mut spans) else {
        return Ok(());
    };
    let in_first_column = first.text.get(..quote).is_some_and(|t| t.trim().is_empty());
    let last = lines(record).last().unwrap_or(record);
    for line in lines(record).skip(1) {
        // The line that ends a field of the first column has all the other fields behind it.
        if line.number == last.number && in_first_column {
            break;
        }
        split(line.text, separator, headings, &mut spans);
        if headings > 1 && spans.len() == headings {
            return Err(Error::input(format!(
                "a quote is opened here, and line {}, which looks like a row, stands inside it",
                line.number
            ))
            .hint("close the quote, or take it away")
            .at(source.place(first, quote, quote + 1)));
        }
    }
    Ok(())
}

/// The error of a record with a line that is too long.
pub(crate) fn refuse_long(source: &Source, record: Line<'_>, limits: &Limits) -> Error {
    let long = lines(record).find(|line| line.text.len() > limits.max_line_bytes);
    long_line(source, long.unwrap_or(record), limits)
}

/// True for a line with nothing in it but blanks and signs that may separate, as spreadsheets write empty rows.
pub(crate) fn is_blank(line: &str) -> bool {
    line.chars()
        .all(|c| c.is_whitespace() || matches!(c, ',' | ';' | '|'))
}

/// True where every line is within the limits.
pub(crate) fn fits(record: Line<'_>, limits: &Limits) -> bool {
    record.text.len() <= limits.max_line_bytes
        || lines(record).all(|line| line.text.len() <= limits.max_line_bytes)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn record(text: &str) -> Option<(Line<'_>, u64)> {
        let (line, next) = line_at(text, Cursor::START)?;
        let (record, behind) = of(text, line, next, Separator::Comma);
        Some((record, behind.number))
    }

    #[test]
    fn quotes_hold_line_ends() {
        let Some((found, next)) = record("1,\"a\r\nb\n\nc\",\"d\"\"\ne\",θ\n2,x\n") else {
            unreachable!("the text has a line");
        };
        assert_eq!((found.text.len(), next), (22, 6));
        let mut spans = Vec::new();
        assert_eq!(split(found.text, Separator::Comma, 9, &mut spans), None);
        let places: Vec<(u64, usize)> = spans
            .iter()
            .map(|s| spot(found, s.0, s.1))
            .map(|s| (s.line.number, s.start))
            .collect();
        assert_eq!(places, [(1, 0), (1, 3), (4, 4), (5, 3)]);
    }

    #[test]
    fn what_never_closes_is_a_line() {
        for text in ["1,\"a\nb\n", "1,\"a"] {
            assert_eq!(record(text).map(|(_, next)| next), Some(2), "{text}");
        }
        let long = format!("\"a{}\"", "\n".repeat(MOST_LINES));
        assert_eq!(record(&long).map(|(_, next)| next), Some(2));
    }
}
