//! The table of a file: its heading line taken apart, and where its rows begin.

use crate::choices::Choices;
use crate::lines::Cursor;
use crate::meaning::{Meaning, UnitText, classify};
use crate::number;
use crate::preamble::{Preamble, above_heading};
use crate::show::{self, Clip};
use crate::split::{Separator, Span, split};
use spheresum_core::intake::Source;
use spheresum_core::intake::source::Line;
use spheresum_core::{Error, Limits, Place, Result};
use std::collections::HashMap;

/// One heading.
#[derive(Clone, Debug)]
pub(crate) struct Heading<'a> {
    /// Its text, without quotes.
    pub(crate) text: &'a str,
    /// Where it stands in the heading line.
    pub(crate) span: Span,
    /// What it means.
    pub(crate) meaning: Meaning,
    /// Its unit.
    pub(crate) unit: UnitText,
}

/// A heading line and what stands above it.
#[derive(Clone, Debug)]
pub(crate) struct Table<'a> {
    /// The preamble.
    pub(crate) preamble: Preamble<'a>,
    /// The heading line.
    pub(crate) line: Line<'a>,
    /// Its headings.
    pub(crate) headings: Vec<Heading<'a>>,
    /// What stands between fields.
    pub(crate) separator: Separator,
    /// The line behind the heading.
    pub(crate) body: Cursor,
}

impl Table<'_> {
    /// Place of a heading.
    pub(crate) fn place(&self, source: &Source, index: usize) -> Place {
        match self.headings.get(index) {
            Some(heading) => source
                .place(self.line, heading.span.0, heading.span.1)
                .with_field(heading.text),
            None => self.whole(source),
        }
    }

    /// Place of the heading line.
    pub(crate) fn whole(&self, source: &Source) -> Place {
        source.place(self.line, 0, self.line.text.len())
    }

    /// The heading texts for a message.
    pub(crate) fn list(&self) -> String {
        let texts: Vec<&str> = self.headings.iter().map(|h| h.text).collect();
        show::list(&texts, 16, " | ")
    }
}

/// What a head of text looks like, without any error: for looking and for reading alike.
pub(crate) enum Sight<'a> {
    /// Nothing but comments and blank lines.
    Nothing(Preamble<'a>),
    /// A line of numbers where the heading should be.
    Numbers(Preamble<'a>, Line<'a>),
    /// A heading line, known or not.
    Table(Table<'a>),
}

/// Sees what a text starts with.
pub(crate) fn sight<'a>(text: &'a str, choices: &Choices, most_fields: usize) -> Sight<'a> {
    let (preamble, line, body) = above_heading(text);
    let Some(line) = line else {
        return Sight::Nothing(preamble);
    };
    let mut best: Option<(usize, Separator, Vec<Span>)> = None;
    for separator in Separator::ALL {
        let possible = match choices.separator {
            Some(given) => given == separator,
            None => separator != Separator::Comma || choices.decimal != Some(b','),
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
        .map(|span| {
            let text = &line.text[span.0..span.1];
            let (meaning, unit) = classify(text);
            Heading {
                text,
                span: *span,
                meaning,
                unit,
            }
        })
        .collect();
    Sight::Table(Table {
        preamble,
        line,
        headings,
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
pub(crate) fn table<'a>(
    source: &'a Source,
    choices: &Choices,
    limits: &Limits,
) -> Result<Table<'a>> {
    let example = "the first line below the comments names the columns, such as \
                   `frequency_mhz,theta_deg,phi_deg,eirp_theta_dbm,eirp_phi_dbm`";
    let mut table = match sight(source.text(), choices, limits.max_fields) {
        Sight::Nothing(preamble) => {
            let place = preamble
                .entries
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
        Sight::Table(table) => table,
    };
    if table.line.text.len() > limits.max_line_bytes {
        return Err(long_line(source, table.line, limits));
    }
    if table.headings.len() > limits.max_fields {
        return Err(Error::limit(format!(
            "more than {} headings in one line",
            limits.max_fields
        ))
        .hint("raise the limit on fields, or check that this is a table of readings")
        .at(table.whole(source)));
    }
    choose(&mut table, choices, source)?;
    refuse_repeats(&table, source)?;
    Ok(table)
}

/// The error of a line that is too long.
pub(crate) fn long_line(source: &Source, line: Line<'_>, limits: &Limits) -> Error {
    Error::limit(format!(
        "the line has {} bytes, more than the limit of {}",
        line.text.len(),
        limits.max_line_bytes
    ))
    .hint("raise the limit on a line's bytes, or check that this is a table of readings")
    .at(source.place(line, limits.max_line_bytes, limits.max_line_bytes))
}

/// Puts the choices of the option `column` in the place of what the headings say.
fn choose(table: &mut Table<'_>, choices: &Choices, source: &Source) -> Result<()> {
    for choice in &choices.columns {
        let wanted = choice.heading.to_lowercase();
        let Some(at) = table
            .headings
            .iter()
            .position(|h| h.text.to_lowercase() == wanted)
        else {
            return Err(Error::usage(format!(
                "the option column names {:?}, and no heading is called that",
                choice.heading
            ))
            .hint(format!("the headings are {}", table.list()))
            .at(table.whole(source)));
        };
        let place = table.place(source, at);
        let heading = &mut table.headings[at];
        heading.meaning = choice.meaning;
        match (&heading.unit, &choice.unit) {
            (_, UnitText::None) => {}
            (UnitText::Known(a), UnitText::Known(b))
                if a != b && choice.meaning != Meaning::Ignore =>
            {
                return Err(Error::usage(format!(
                    "the option column gives {:?} the unit {}, and the heading says {}",
                    heading.text,
                    b.symbol(),
                    a.symbol()
                ))
                .hint(format!(
                    "leave the unit out of the role {}, or correct it",
                    choice.role
                ))
                .at(place));
            }
            _ => heading.unit = choice.unit.clone(),
        }
    }
    Ok(())
}

fn refuse_repeats(table: &Table<'_>, source: &Source) -> Result<()> {
    let mut first_columns = HashMap::new();
    for (at, heading) in table.headings.iter().enumerate() {
        if heading.text.is_empty() {
            if at + 1 == table.headings.len() && at > 0 {
                continue;
            }
            return Err(Error::input(format!("heading {} is empty", at + 1))
                .hint("name every column; where blanks line the columns up, give the option separator=blank")
                .at(table.place(source, at)));
        }
        if let Some(first) = first_columns.insert(heading.text.to_lowercase(), at) {
            return Err(Error::input(format!(
                "the heading {:?} stands there twice",
                Clip(heading.text)
            ))
            .hint(format!(
                "column {} has it already; rename or remove one",
                first + 1
            ))
            .at(table.place(source, at)));
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn found(text: &str) -> Option<(Separator, usize)> {
        match sight(text, &Choices::default(), 100) {
            Sight::Table(t) => Some((t.separator, t.headings.len())),
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
