//! A line of numbers taken apart.

use crate::layout::{Edit, Layout};
use crate::number::{self, Counts};
use crate::own::Own;
use crate::table::between_blanks;
use crate::together::{self, Ways};
use spheresum_core::intake::source::Line;
use spheresum_core::intake::text::{Clip, Context, Span, Spot, clip};
use spheresum_core::{Error, Result};
use std::borrow::Cow;

/// What taking lines apart needs to know.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Rules<'r> {
    /// Declared places; `None`: fields between blanks.
    pub(crate) layout: Option<&'r Layout>,
    /// Options.
    pub(crate) own: &'r Own,
}

impl Rules<'_> {
    /// Byte ranges of a line's fields.
    pub(crate) fn spans(&self, text: &str, most: usize, spans: &mut Vec<Span>) {
        match self.layout {
            None => between_blanks(text, most, spans),
            Some(layout) => by_places(text, layout, spans),
        }
    }

    /// The texts of a line, one a column, as the shared reader takes them; `is_cut` for a last line without a line end.
    ///
    /// # Errors
    /// Input, Ambiguous: with their places.
    pub(crate) fn texts<'a>(
        &self,
        context: &Context<'_>,
        line: Line<'a>,
        (is_last, is_cut): (bool, bool),
        spans: &mut Vec<Span>,
        counts: &mut Counts,
    ) -> Result<Vec<Cow<'a, str>>> {
        let roles = &context.plan.roles;
        self.spans(line.text, roles.len(), spans);
        match self.layout {
            Some(layout) => check_places(context, layout, line, is_cut, spans)?,
            None => check_count(context, line, is_last, spans)?,
        }
        let blanks =
            self.own.blanks_mean_nothing || self.layout.is_some_and(|l| l.blanks_mean_nothing);
        let mut texts = Vec::with_capacity(spans.len());
        for (column, (span, role)) in spans.iter().zip(roles).enumerate() {
            let text = line.text.get(span.0..span.1).unwrap_or_default();
            let slot = self.layout.and_then(|l| l.slots.get(column));
            let meant =
                number::meant(text, *role, slot, blanks, self.own, counts).map_err(|e| {
                    let spot = Spot::new(line, span.0, span.1);
                    e.at(spot
                        .place(context.source)
                        .with_field(context.table.text(column)))
                })?;
            texts.push(meant);
        }
        Ok(texts)
    }
}

/// Byte ranges of declared fields, without the blanks around them.
fn by_places(text: &str, layout: &Layout, spans: &mut Vec<Span>) {
    spans.clear();
    let offsets = offsets(text);
    for slot in &layout.slots {
        let start = offset(text, &offsets, slot.start);
        let end = offset(text, &offsets, slot.start + slot.width);
        let field = text.get(start..end).unwrap_or_default();
        let front = field.len() - field.trim_start_matches(' ').len();
        let tight = field.trim_matches(' ').len();
        // A blank field keeps its place.
        spans.push(if tight == 0 {
            (start, start)
        } else {
            (start + front, start + front + tight)
        });
    }
}

/// Byte offsets of a text's characters; empty where each is one byte.
fn offsets(text: &str) -> Vec<usize> {
    match text.is_ascii() {
        true => Vec::new(),
        false => text.char_indices().map(|(at, _)| at).collect(),
    }
}

/// Byte offset of a character, the text's end behind the last.
fn offset(text: &str, offsets: &[usize], character: usize) -> usize {
    match text.is_ascii() {
        true => character.min(text.len()),
        false => offsets.get(character).copied().unwrap_or(text.len()),
    }
}

/// Refuses tabulators, text behind the last field, lines that end inside a number, and a last line that is cut in front of one.
fn check_places(
    context: &Context<'_>,
    layout: &Layout,
    line: Line<'_>,
    is_cut: bool,
    spans: &[Span],
) -> Result<()> {
    let text = line.text;
    let source = context.source;
    if let Some(at) = text.find('\t') {
        return Err(Error::input("a tabulator in a line of declared widths")
            .hint("replace tabulators by blanks: how many they stand for is not known")
            .at(source.place(line, at, at + 1)));
    }
    let end = offset(text, &offsets(text), layout.total);
    let written = text.trim_end().len();
    if written > end {
        return Err(Error::input(format!(
            "{:?} stands behind the {} declared characters",
            Clip(text.get(end..).unwrap_or_default().trim()),
            layout.total
        ))
        .hint("the declared widths do not meet this line; characters that are not wanted are left out by nX or 2x at the end")
        .at(source.place(line, end, written)));
    }
    // Numbers stand at the right of their fields: one that the line's end cuts may have lost digits.
    let length = text.chars().count();
    let last = layout.slots.iter().rposition(|s| s.edit != Edit::Word);
    if let Some(column) = last.filter(|c| is_cut && layout.slots[*c].start >= length) {
        return Err(Error::input(format!(
            "the last line has no line end, and {length} of {} characters",
            layout.total
        ))
        .hint("the file may be cut off; export it again, or end the line if the rest is blank")
        .at(source
            .place(line, text.len(), text.len())
            .with_field(context.table.text(column))));
    }
    let cut = layout
        .slots
        .iter()
        .position(|s| s.start < length && length < s.start + s.width);
    if let Some(column) = cut
        && let (Some(slot), Some(span)) = (layout.slots.get(column), spans.get(column))
        && slot.edit != Edit::Word
        && span.0 < span.1
        && span.1 == text.len()
    {
        let at_left = offset(text, &offsets(text), slot.start) == span.0;
        if is_cut || !at_left {
            return Err(Error::input(format!(
                "the line ends inside a field: {} of {} characters",
                length - slot.start,
                slot.width
            ))
            .hint("the file may be cut off; export it again, or correct the declared widths")
            .at(source
                .place(line, span.0, span.1)
                .with_field(context.table.text(column))));
        }
    }
    Ok(())
}

/// Refuses lines whose number of texts is not that of the columns.
fn check_count(context: &Context<'_>, line: Line<'_>, is_last: bool, spans: &[Span]) -> Result<()> {
    let columns = context.plan.roles.len();
    let source = context.source;
    let texts: Vec<&str> = spans
        .iter()
        .map(|s| line.text.get(s.0..s.1).unwrap_or_default())
        .collect();
    let is_number = |column: usize| context.plan.roles.get(column).is_none_or(|r| r.is_number());
    let open = texts.iter().position(|t| together::is_open(t));
    if texts.len() == columns {
        // A text that is several numbers, in a row that has enough without.
        let odd = texts
            .iter()
            .enumerate()
            .find(|(c, t)| is_number(*c) && several(t));
        return match odd {
            Some((column, text)) => Err(run_together(text, &together::ways(&[text], 2), columns)
                .at(source
                    .place(line, spans[column].0, spans[column].1)
                    .with_field(context.table.text(column)))),
            None => Ok(()),
        };
    }
    let count = format!(
        "{} {} under {columns} names",
        texts.len(),
        if texts.len() == 1 { "text" } else { "texts" }
    );
    if texts.len() > columns {
        let span = spans.get(columns).copied().unwrap_or_default();
        return Err(Error::input(count)
            .hint("a row has one number for each name; name every column, or give the widths")
            .at(source.place(line, span.0, span.1)));
    }
    let ways = together::ways(&texts, columns);
    if let (Some(at), false) = (open, ways == Ways::None) {
        return Err(run_together(texts[at], &ways, columns).at(source.place(
            line,
            spans[at].0,
            spans[at].1,
        )));
    }
    let end = line.text.trim_end().len();
    Err(Error::input(count)
        .hint(match is_last {
            true => "this is the last line: the file may be cut off; export it again",
            false => "between blanks a missing value is written NaN or ---; with declared widths it may be blank",
        })
        .at(source.place(line, end, end).with_field(context.table.text(texts.len()))))
}

/// True for a text that is no number, and two or more.
fn several(text: &str) -> bool {
    use spheresum_core::intake::text::fortran::number;
    number(text).is_none() && together::is_open(text) && together::ways(&[text], 2) != Ways::None
}

/// The error of numbers that run together.
fn run_together(text: &str, ways: &Ways, columns: usize) -> Error {
    let may_be = match ways {
        Ways::Few(ways) => format!(": {}", clip::list(ways, 4, ", or ")),
        _ => String::new(),
    };
    Error::ambiguous(format!(
        "numbers run together in {:?}, and it is not declared where one ends{may_be}",
        Clip(text)
    ))
    .hint(format!(
        "give the width of each of the {columns} columns by the option widths=8,8,14,… or the program's format by \
         format=(2F8.3,2E14.6), or a line `# widths: …` above the numbers",
    ))
}
