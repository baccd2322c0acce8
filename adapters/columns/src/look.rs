//! The look: how sure the head of a text makes us.

use crate::names::is_known;
use crate::own::Own;
use crate::table::{Namer, between_blanks, is_columns_entry, layout, namer, table};
use crate::together::is_open;
use crate::top::top;
use spheresum_core::intake::text::{self, field, fortran, word};
use spheresum_core::intake::{Confidence, Head, Look, Source};
use spheresum_core::{Limits, Result};

/// What makes a file this family's own.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Mark {
    /// Declared widths.
    Declared,
    /// Names behind a comment's mark, or in an entry.
    Commented,
    /// Numbers that only Fortran writes so.
    Fortran,
}

/// Looks at the head of a text.
pub(crate) fn look(head: &Head<'_>) -> Look {
    let limits = Limits::default();
    let own = Own::default();
    let found =
        Source::from_text(head.name, head.text, &limits).and_then(|s| see(&s, &own, &limits));
    found.unwrap_or_else(|e| Look::new(Confidence::None, e.message()))
}

/// # Errors
/// Whatever speaks against the file.
fn see(source: &Source, own: &Own, limits: &Limits) -> Result<Look> {
    let none = |reason: &str| Ok(Look::new(Confidence::None, reason));
    let top = top(source.text(), limits.max_fields);
    let Some(first) = top.first else {
        return none("no line of numbers");
    };
    if top.odd.is_some() {
        return none("a line that is neither names nor numbers");
    }
    let (layout, _) = layout(&top, source, own, limits)?;
    let fortran = source
        .lines()
        .filter(|l| l.at >= first.at && field::comment(l.text).is_none())
        .take(8)
        .any(|l| fortran::is_row(l.text));
    let mut spans = Vec::new();
    between_blanks(first.text, limits.max_fields, &mut spans);
    let texts: Vec<&str> = spans.iter().map(|s| &first.text[s.0..s.1]).collect();
    if layout.is_none() && !texts.iter().all(|t| is_cell(t)) {
        return none("the first line of numbers holds something else");
    }
    let namer = match namer(&top, layout.as_ref(), source, own, limits)? {
        Some(Namer::Line(names)) => Some(names),
        _ => None,
    };
    let in_comment = namer.is_some_and(|n| top.bare.is_none_or(|b| b.line.number != n.line.number));
    let mark = match (layout.is_some(), fortran) {
        (true, _) => Mark::Declared,
        (_, true) => Mark::Fortran,
        _ if in_comment || top.entries.iter().any(is_columns_entry) => Mark::Commented,
        _ => return none("blank-separated numbers without a mark of this family"),
    };
    let Some(names) = namer else {
        return Ok(Look::new(
            Confidence::Likely,
            format!("{}, and no names of columns", reason(mark)),
        ));
    };
    let table = table(&top, layout.as_ref(), source, own, limits)?;
    // Without declared widths, each name has its text; numbers may run together.
    let count = names.spans(Some(texts.len()), limits.max_fields).len();
    let fits = layout.is_some()
        || count == texts.len()
        || count > texts.len() && texts.iter().any(|t| is_open(t));
    let judged = text::judge(&table);
    Ok(match (mark, judged.confidence, fits) {
        (_, Confidence::Certain, true) => Look::new(
            Confidence::Certain,
            format!("{}; {}", reason(mark), judged.reason),
        ),
        (Mark::Commented, Confidence::Likely, true) if names_both_angles(&table) => Look::new(
            Confidence::Likely,
            format!("{}; {}", reason(mark), judged.reason),
        ),
        (Mark::Declared | Mark::Fortran, _, _) => Look::new(
            Confidence::Likely,
            format!("{}; {}", reason(mark), judged.reason),
        ),
        _ => Look::new(
            Confidence::None,
            "the comments above the numbers do not name these columns",
        ),
    })
}

const fn reason(mark: Mark) -> &'static str {
    match mark {
        Mark::Declared => "the file declares the widths of its fields",
        Mark::Commented => "a comment names the columns of numbers below",
        Mark::Fortran => "numbers with exponents as only Fortran writes them",
    }
}

/// True for a text that may stand in a row: a number, a missing one, a polarisation.
fn is_cell(text: &str) -> bool {
    let (_, body) = field::mark(text);
    fortran::number(body).is_some()
        || field::is_missing(text)
        || field::infinity(body).is_some()
        || word::polarisation(text).is_some()
        || word::is_polarisation_guess(text)
        || crate::number::is_stars(text)
        || is_open(text)
}

fn names_both_angles(table: &text::Table<'_>) -> bool {
    let has = |m: text::Meaning| table.headings.iter().any(|h| h.meaning == m);
    has(text::Meaning::Theta)
        && has(text::Meaning::Phi)
        && table.headings.iter().all(|h| is_known(h.text()))
}
