//! What kind of line a line is, by itself.

use crate::corner;
use spheresum_core::intake::source::Line;
use spheresum_core::intake::text::title::{Said, statements};
use spheresum_core::intake::text::{Separator, Span, field, number};

/// A kind of line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Kind {
    /// Nothing, or separators alone.
    Blank,
    /// A comment.
    Comment,
    /// The labels of the columns, behind a corner.
    Labels(Labels),
    /// A number and cells.
    Row,
    /// Anything else.
    Other,
}

/// Where corner and labels stand in their line.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) struct Labels {
    /// The corner.
    pub(crate) corner: Span,
    /// Index of the first label among the fields.
    pub(crate) first: usize,
    /// Number of labels.
    pub(crate) count: usize,
    /// The corner names both angles.
    pub(crate) named: bool,
    /// All labels are numbers.
    pub(crate) numbers: bool,
}

/// True for a text that is a number under either decimal sign.
pub(crate) fn is_number(text: &str) -> bool {
    number::whole(text, b'.')
        .or_else(|| number::whole(text, b','))
        .is_some()
}

/// True for a text that may stand for a value.
fn is_cell(text: &str) -> bool {
    let body = field::mark(text).1;
    field::is_missing(text) || field::infinity(body).is_some() || is_number(body)
}

/// The kind of a line split into `spans`.
pub(crate) fn of(line: Line<'_>, separator: Separator, spans: &[Span]) -> Kind {
    let text = |span: &Span| line.text.get(span.0..span.1).unwrap_or_default();
    if field::comment(line.text).is_some() {
        return Kind::Comment;
    }
    if spans.iter().all(|s| text(s).is_empty()) {
        return Kind::Blank;
    }
    if let Some(labels) = labels(line, separator, spans) {
        return Kind::Labels(labels);
    }
    match spans.split_first() {
        Some((first, cells)) if is_number(text(first)) => {
            let is_row = cells.iter().all(|s| is_cell(text(s)));
            if is_row { Kind::Row } else { Kind::Other }
        }
        _ => Kind::Other,
    }
}

/// Corner and labels of a line, if it is such a line.
fn labels(line: Line<'_>, separator: Separator, spans: &[Span]) -> Option<Labels> {
    let text = |span: &Span| line.text.get(span.0..span.1).unwrap_or_default();
    let filled = spans.iter().rposition(|s| !text(s).is_empty())? + 1;
    let spans = spans.get(..filled)?;
    let first_number = spans.iter().position(|s| is_number(text(s)));
    let first = match separator {
        // Names have blanks inside.
        Separator::Blank => first_number.unwrap_or(1),
        _ => 1,
    };
    let names = spans.get(..first).filter(|n| !n.is_empty())?;
    let corner = (names.first()?.0, names.last()?.1);
    let labels = spans.get(first..).filter(|l| !l.is_empty())?;
    let found = Labels {
        corner,
        first,
        count: labels.len(),
        named: corner::names(line, corner.0, corner.1).is_some(),
        numbers: labels.iter().all(|s| is_number(text(s))),
    };
    if found.named {
        return Some(found);
    }
    let corner_is_number = is_number(line.text.get(corner.0..corner.1)?);
    // `Points;84` is no line of labels.
    let says = || {
        statements(line)
            .iter()
            .any(|s| !matches!(s.said, Said::Remark))
    };
    let is_found = found.numbers && !corner_is_number && (found.count > 1 || !says());
    is_found.then_some(found)
}
