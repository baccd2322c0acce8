//! What a text starts with: the heading line found and taken apart, without any error.

use crate::below::Below;
use crate::own::Own;
use crate::preamble::{Preamble, above_heading};
use crate::record;
use spheresum_core::Limits;
use spheresum_core::intake::source::Line;
use spheresum_core::intake::text::{
    Cursor, Field, Flaw, Heading, Meaning, Separator, Span, Spot, Table, UnitText, classify,
    number, split,
};
use std::borrow::Cow;
use std::cell::OnceCell;

/// Texts of headings that do not stand in the file as they are meant: with doubled quotes or line ends.
pub(crate) type Texts = OnceCell<Vec<Option<String>>>;

/// A heading line taken apart, and where its rows begin.
#[derive(Clone, Debug)]
pub(crate) struct Found<'a> {
    /// Headings and entries.
    pub(crate) table: Table<'a>,
    /// The heading line, or lines.
    pub(crate) record: Line<'a>,
    /// The headings as they stand in it.
    pub(crate) raw: Vec<&'a str>,
    /// What is wrong with its quotes.
    pub(crate) flaw: Option<Flaw>,
    /// What stands between fields.
    pub(crate) separator: Separator,
    /// The lines below it that belong to it.
    pub(crate) below: Below<'a>,
    /// The first line of the rows.
    pub(crate) body: Cursor,
}

/// What a head of text looks like: for looking and for reading alike.
pub(crate) enum Sight<'a> {
    /// Nothing but comments and blank lines.
    Nothing(Preamble<'a>),
    /// A line of numbers where the heading should be.
    Numbers(Preamble<'a>, Line<'a>),
    /// A heading line, known or not.
    Table(Found<'a>),
}

/// A line split by one separator.
struct Guess<'a> {
    score: usize,
    separator: Separator,
    record: Line<'a>,
    next: Cursor,
    spans: Vec<Span>,
    flaw: Option<Flaw>,
}

/// Sees what a text starts with.
pub(crate) fn sight<'a>(text: &'a str, own: &Own, limits: &Limits, texts: &'a Texts) -> Sight<'a> {
    let (preamble, line, next) = above_heading(text);
    let Some(line) = line else {
        return Sight::Nothing(preamble);
    };
    let Some(best) = best(text, line, next, own, limits) else {
        return Sight::Nothing(preamble);
    };
    let Guess {
        separator, record, ..
    } = best;
    let raw: Vec<&str> = best.spans.iter().map(|s| &record.text[s.0..s.1]).collect();
    let count = |is: &dyn Fn(&str) -> bool| raw.iter().filter(|t| is(t)).count();
    let numbers = count(&is_number);
    // A title may end with a number; a row of numbers is mostly numbers.
    if numbers > 0 && 2 * numbers >= count(&|t| !t.is_empty()) && count(&|t| known(t) == 2) == 0 {
        return Sight::Numbers(preamble, line);
    }
    let cleaned = texts.get_or_init(|| {
        let owned = |s: &Span| match cleaned(record.text, *s) {
            Cow::Borrowed(_) => None,
            Cow::Owned(text) => Some(text),
        };
        best.spans.iter().map(owned).collect()
    });
    let mut fields = Vec::new();
    record::fields(record, &best.spans, &mut fields);
    let mut headings: Vec<Heading<'_>> = fields
        .into_iter()
        .zip(cleaned)
        .map(|(field, cleaned)| {
            Heading::of(Field {
                text: cleaned.as_deref().unwrap_or(field.text),
                ..field
            })
        })
        .collect();
    let (below, body) = Below::of(text, best.next, separator, &headings);
    below.complete(&mut headings);
    Sight::Table(Found {
        table: Table::new(preamble.entries, headings, Some(Spot::whole(line))),
        record,
        raw,
        flaw: best.flaw,
        separator,
        below,
        body,
    })
}

/// The line split by the separator that explains most of it.
fn best<'a>(
    text: &'a str,
    line: Line<'a>,
    next: Cursor,
    own: &Own,
    limits: &Limits,
) -> Option<Guess<'a>> {
    let mut best: Option<Guess<'a>> = None;
    for separator in Separator::ALL {
        let possible = match own.separator {
            Some(given) => given == separator,
            None => separator != Separator::Comma || own.choices.decimal != Some(b','),
        };
        // Names have blanks inside: `EIRP theta [dBm]`. Blanks separate only where nothing else does.
        let is_settled = separator == Separator::Blank
            && best
                .as_ref()
                .is_some_and(|b| b.score >= 2 * KNOWN - MOST_EMPTY);
        if !possible || is_settled {
            continue;
        }
        let (record, next) = record::of(text, line, next, separator);
        let mut spans = Vec::new();
        let flaw = split(record.text, separator, limits.max_fields, &mut spans);
        let score = score(record.text, &spans);
        if best.as_ref().is_none_or(|b| score > b.score) {
            best = Some(Guess {
                score,
                separator,
                record,
                next,
                spans,
                flaw,
            });
        }
    }
    best
}

/// The text of a heading as it is meant: a doubled quote inside quotes is one, and a line end is a blank.
fn cleaned(line: &str, span: Span) -> Cow<'_, str> {
    let raw = line.get(span.0..span.1).unwrap_or_default();
    if !raw.contains(['"', '\n', '\r']) {
        return Cow::Borrowed(raw);
    }
    let is_quoted =
        line[..span.0].trim_end().ends_with('"') && line[span.1..].trim_start().starts_with('"');
    if !is_quoted {
        return Cow::Borrowed(raw);
    }
    let parts: Vec<&str> = raw
        .split(['\n', '\r'])
        .map(str::trim)
        .filter(|part| !part.is_empty())
        .collect();
    Cow::Owned(parts.join(" ").replace("\"\"", "\""))
}

/// True for a text that is a number under either decimal sign.
fn is_number(text: &str) -> bool {
    number::whole(text, b'.')
        .or_else(|| number::whole(text, b','))
        .is_some()
}

/// 2 for a heading that is known, 1 for one that is a number of a table without heading, else 0.
fn known(text: &str) -> usize {
    match classify(text) {
        (Meaning::Unknown, UnitText::None) => usize::from(is_number(text)),
        _ => 2,
    }
}

/// How much of a line a separator explains: known names first, then the number of fields that are not empty.
fn score(line: &str, spans: &[Span]) -> usize {
    let filled = spans.iter().filter(|s| s.0 < s.1).count();
    let empty = spans.len() - filled;
    let names: usize = spans.iter().map(|s| known(&cleaned(line, *s))).sum();
    // Without a known name, the more fields the better; with names, those count.
    (names * KNOWN / 2 + usize::from(names == 0) * filled).saturating_sub(empty.min(MOST_EMPTY))
}

/// What one known name adds to a separator's score.
const KNOWN: usize = 2000;
/// What empty names take from it at most.
const MOST_EMPTY: usize = 500;

#[cfg(test)]
mod tests {
    use super::*;

    fn found(text: &str) -> Option<(Separator, usize)> {
        let texts = Texts::new();
        match sight(text, &Own::default(), &Limits::small(), &texts) {
            Sight::Table(t) => Some((t.separator, t.table.headings.len())),
            _ => None,
        }
    }

    #[test]
    fn separators_are_found() {
        assert_eq!(
            found("theta_deg,phi_deg,eirp_theta_dbm\n"),
            Some((Separator::Comma, 3))
        );
        assert_eq!(
            found("Theta [deg];Phi [deg];EIRP theta [dBm]\n"),
            Some((Separator::Semicolon, 3))
        );
        assert_eq!(
            found("Theta [deg]\tPhi [deg]\tEIRP theta [dBm]\n"),
            Some((Separator::Tab, 3))
        );
        assert_eq!(
            found("theta(rad)  phi (rad)  eirp_theta_w\n"),
            Some((Separator::Blank, 3))
        );
        assert_eq!(
            found("theta_deg, phi_deg, eirp_theta_dbm\n"),
            Some((Separator::Comma, 3))
        );
        assert_eq!(
            found("a b,c\n"),
            Some((Separator::Comma, 2)).filter(|_| true)
        );
        assert_eq!(
            found("|theta_deg|phi_deg|eirp_theta_dbm|\n"),
            Some((Separator::Pipe, 5))
        );
        assert_eq!(
            found("\"theta\n[deg]\";phi [deg];EIRP theta [dBm]\n"),
            Some((Separator::Semicolon, 3))
        );
        assert_eq!(found("0,15,-12.5\n"), None);
    }

    #[test]
    fn headings_in_quotes() {
        let line = "\"a \"\"b\"\"\r\n c\",6\"\" horn";
        assert_eq!(cleaned(line, (1, 12)), "a \"b\" c");
        assert_eq!(cleaned(line, (14, line.len())), "6\"\" horn");
    }
}
