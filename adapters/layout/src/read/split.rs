//! A line taken apart into fields, and the decimal sign that the fields show.

use crate::layout::{Kind, Layout, Pick};
use crate::read::body::{Body, Event};
use spheresum_core::intake::Source;
use spheresum_core::intake::source::Line;
use spheresum_core::intake::text::{
    Field, Flaw, Plan, Separator, Span, field, number, settle, split_quoted,
};
use spheresum_core::{Error, Limits, Result};

/// The spans of a line's fields.
///
/// # Errors
/// Limit: too many fields. Input: a tabulator where characters are counted.
pub(crate) fn split(
    layout: &Layout,
    source: &Source,
    limits: &Limits,
    line: Line<'_>,
    spans: &mut Vec<Span>,
) -> Result<()> {
    if layout.kind.value == Kind::Fixed {
        return by_characters(layout, source, line, spans);
    }
    let rules = &layout.text;
    let flaw = split_quoted(
        line.text,
        rules.separator,
        rules.quote,
        limits.max_fields,
        spans,
    );
    let flaw = match flaw {
        None => None,
        Some(Flaw::Behind(span)) => Some(("text behind a closing quote", span)),
        Some(Flaw::Open(at)) => Some((
            "a quote that is not closed in its line",
            (at, line.text.len()),
        )),
    };
    if let Some((what, (start, end))) = flaw {
        return Err(Error::input(what)
            .hint("a quote opens at the start of a field and closes at its end; where the sign is no quote, write quote = \"none\" in [text]")
            .at(source.place(line, start, end)));
    }
    if spans.len() > limits.max_fields {
        return Err(Error::limit(format!(
            "more than {} fields in one line",
            limits.max_fields
        ))
        .hint("raise the limit on fields, or check the separator of the layout")
        .at(source.place(line, 0, line.text.len())));
    }
    Ok(())
}

fn by_characters(
    layout: &Layout,
    source: &Source,
    line: Line<'_>,
    spans: &mut Vec<Span>,
) -> Result<()> {
    if let Some(at) = line.text.find('\t') {
        return Err(Error::input(
            "a tabulator in a line of fixed columns: it is not known how wide it is",
        )
        .hint("write blanks instead; or read the file as kind = \"table\" with the separator tab")
        .at(source.place(line, at, at + 1)));
    }
    spans.clear();
    let text = line.text;
    for column in &layout.columns {
        let Pick::Range(from, to) = column.pick else {
            continue;
        };
        // Counted from 1, both included. The ends of the text stand for characters that are not there.
        let at = |n: usize| text.char_indices().nth(n).map_or(text.len(), |(at, _)| at);
        let (start, end) = match text.is_ascii() {
            true => ((from - 1).min(text.len()), to.min(text.len())),
            false => (at(from - 1), at(to)),
        };
        let cell = text.get(start..end).unwrap_or_default();
        let trimmed = cell.trim_start();
        let start = start + (cell.len() - trimmed.len());
        spans.push((start, start + trimmed.trim_end().len()));
    }
    Ok(())
}

/// The fields of spans.
pub(crate) fn fields<'a>(line: Line<'a>, spans: &[Span]) -> impl Iterator<Item = Field<'a>> {
    spans.iter().map(move |(a, b)| Field::of(line, *a, *b))
}

/// The decimal sign of the first number of the rows that has one.
pub(crate) fn first_sign(
    layout: &Layout,
    source: &Source,
    limits: &Limits,
    mut body: Body<'_, '_>,
    plan: &Plan,
) -> Option<u8> {
    if layout.text.separator == Separator::Comma && layout.kind.value != Kind::Fixed {
        return Some(b'.');
    }
    let is_matrix = layout.matrix.is_some();
    let mut spans = Vec::new();
    while let Ok(Some(event)) = body.next() {
        let Event::Row(line) = event else {
            continue;
        };
        body.row_is_there();
        if split(layout, source, limits, line, &mut spans).is_err() {
            return None;
        }
        for (column, span) in spans.iter().enumerate() {
            let role = plan.roles.get(column);
            if !is_matrix && !role.is_some_and(|r| r.is_number()) {
                continue;
            }
            let text = line.text.get(span.0..span.1).unwrap_or_default();
            if layout.tokens.iter().any(|t| t.text == text) {
                continue;
            }
            let (_, text) = field::mark(text);
            let is_number = [b'.', b',']
                .iter()
                .any(|sign| number::whole(&super::numbers::plain(text), *sign).is_some());
            if let (true, Some(sign)) = (is_number, settle::sign_of(text)) {
                return Some(sign);
            }
        }
    }
    None
}
