//! The table of a file: its heading line taken apart, and where its rows begin.

use crate::own::Own;
use crate::preamble::{Preamble, above_heading};
use spheresum_core::intake::Source;
use spheresum_core::intake::source::Line;
use spheresum_core::intake::text::{
    Cursor, Field, Heading, Meaning, Separator, Span, Spot, Table, UnitText, classify, long_line,
    number, split,
};
use spheresum_core::{Error, Limits, Place, Result};

/// A heading line taken apart, and where its rows begin.
#[derive(Clone, Debug)]
pub(crate) struct Found<'a> {
    /// Headings and entries.
    pub(crate) table: Table<'a>,
    /// The heading line.
    pub(crate) line: Line<'a>,
    /// What stands between fields.
    pub(crate) separator: Separator,
    /// The line behind the heading.
    pub(crate) body: Cursor,
}

/// What a head of text looks like, without any error: for looking and for reading alike.
pub(crate) enum Sight<'a> {
    /// Nothing but comments and blank lines.
    Nothing(Preamble<'a>),
    /// A line of numbers where the heading should be.
    Numbers(Preamble<'a>, Line<'a>),
    /// A heading line, known or not.
    Table(Found<'a>),
}

/// Sees what a text starts with.
pub(crate) fn sight<'a>(text: &'a str, own: &Own, most_fields: usize) -> Sight<'a> {
    let (preamble, line, body) = above_heading(text);
    let Some(line) = line else {
        return Sight::Nothing(preamble);
    };
    let mut best: Option<(usize, Separator, Vec<Span>)> = None;
    for separator in Separator::ALL {
        let possible = match own.separator {
            Some(given) => given == separator,
            None => separator != Separator::Comma || own.choices.decimal != Some(b','),
        };
        if !possible {
            continue;
        }
        let mut spans = Vec::new();
        split(line.text, separator, most_fields, &mut spans);
        let score = score(line.text, &spans);
        // Names have blanks inside: `EIRP theta [dBm]`. Blanks separate only where nothing else does.
        if separator == Separator::Blank
            && best
                .as_ref()
                .is_some_and(|(s, ..)| *s >= 2 * KNOWN - MOST_EMPTY)
        {
            continue;
        }
        if best.as_ref().is_none_or(|(s, ..)| score > *s) {
            best = Some((score, separator, spans));
        }
    }
    let (separator, spans) = best
        .map_or((Separator::Comma, Vec::new()), |(_, separator, spans)| {
            (separator, spans)
        });
    let count =
        |is: &dyn Fn(&str) -> bool| spans.iter().filter(|s| is(&line.text[s.0..s.1])).count();
    let numbers = count(&is_number);
    // A title may end with a number; a row of numbers is mostly numbers.
    if numbers > 0 && 2 * numbers >= count(&|t| !t.is_empty()) && count(&|t| known(t) == 2) == 0 {
        return Sight::Numbers(preamble, line);
    }
    let headings = spans
        .iter()
        .map(|span| Heading::of(Field::of(line, span.0, span.1)))
        .collect();
    Sight::Table(Found {
        table: Table::new(preamble.entries, headings, Some(Spot::whole(line))),
        line,
        separator,
        body,
    })
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
    let names: usize = spans.iter().map(|s| known(&line[s.0..s.1])).sum();
    // Without a known name, the more fields the better; with names, those count.
    (names * KNOWN / 2 + usize::from(names == 0) * filled).saturating_sub(empty.min(MOST_EMPTY))
}

/// What one known name adds to a separator's score.
const KNOWN: usize = 2000;
/// What empty names take from it at most.
const MOST_EMPTY: usize = 500;

/// Finds the heading of a source.
///
/// # Errors
/// Input: no heading line, or numbers where it should be. Limit: too long or too many fields. Usage: `column` names a heading
/// that is not there.
pub(crate) fn table<'a>(source: &'a Source, own: &Own, limits: &Limits) -> Result<Found<'a>> {
    let example = "the first line below the comments names the columns, such as \
                   `frequency_mhz,theta_deg,phi_deg,eirp_theta_dbm,eirp_phi_dbm`";
    let mut found = match sight(source.text(), own, limits.max_fields) {
        Sight::Nothing(preamble) => {
            let place = preamble
                .entries
                .all
                .last()
                .map(|e| e.line)
                .or(preamble.last_comment)
                .map_or_else(
                    || Place::in_source(source.name()),
                    |l| source.place(l, 0, l.text.len()),
                );
            return Err(
                Error::input("there is no heading line, and nothing below the comments")
                    .hint(example)
                    .at(place),
            );
        }
        Sight::Numbers(preamble, line) => {
            let commented = preamble
                .last_comment
                .filter(|l| l.number + 1 == line.number);
            let hint = match commented {
                Some(l) => format!(
                    "{example}; if line {} is the heading, take away the mark of a comment in front of it",
                    l.number
                ),
                None => example.to_string(),
            };
            return Err(
                Error::input("there are numbers where the heading line should be")
                    .hint(hint)
                    .at(source.place(line, 0, line.text.len())),
            );
        }
        Sight::Table(found) => found,
    };
    if found.line.text.len() > limits.max_line_bytes {
        return Err(long_line(source, found.line, limits));
    }
    let table = &mut found.table;
    if table.headings.len() > limits.max_fields {
        return Err(Error::limit(format!(
            "more than {} headings in one line",
            limits.max_fields
        ))
        .hint("raise the limit on fields, or check that this is a table of readings")
        .at(table.whole(source)));
    }
    table.choose(&own.choices, source)?;
    table.refuse_repeats(source)?;
    Ok(found)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn found(text: &str) -> Option<(Separator, usize)> {
        match sight(text, &Own::default(), 100) {
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
        assert_eq!(found("0,15,-12.5\n"), None);
    }
}
