//! The rows of a table, of cuts, or of fixed columns.

use crate::layout::{Kind, Layout, Pick};
use crate::read::body::{Body, Event};
use crate::read::virtuals::Constants;
use crate::read::{numbers, split, virtuals};
use spheresum_core::intake::source::Line;
use spheresum_core::intake::text::{Context, Field, Gather, Span};
use spheresum_core::{Error, Result};

/// Reads all rows.
///
/// # Errors
/// Those of the rows.
pub(crate) fn rows<'a>(
    layout: &Layout,
    context: &Context<'a>,
    mut body: Body<'_, 'a>,
    heading: Option<Line<'a>>,
    gather: &mut Gather<'_, 'a>,
) -> Result<()> {
    let constants = Constants::of(layout, context.plan.decimal);
    let columns = context
        .table
        .headings
        .len()
        .saturating_sub(virtuals::count(layout));
    let mut spans = Vec::new();
    let titled = !layout.text.titles.is_empty();
    while let Some(event) = body.next()? {
        let line = match event {
            Event::Title => continue,
            Event::Entry(entry) => {
                gather.entry(entry)?;
                continue;
            }
            Event::Row(line) => line,
        };
        if heading.is_some_and(|h| h.text.trim() == line.text.trim()) {
            // Each block may have its own copy of the heading line.
            if titled && body.is_below_title() {
                continue;
            }
            return Err(Error::input("a heading line in the middle of the rows")
                .hint("two files were joined: give them as two files, or take the line away if they belong together")
                .at(context.source.place(line, 0, line.text.len())));
        }
        body.row_is_there();
        split::split(layout, context.source, context.limits, line, &mut spans)?;
        check_length(layout, context, &body, line, &spans, columns)?;
        let mut fields: Vec<Field<'_>> = split::fields(line, &spans).collect();
        virtuals::fields(layout, context.source, &body, &constants, line, &mut fields)?;
        gather.count_line();
        let anew = numbers::anew(&fields);
        numbers::rewrite(&mut fields, &anew);
        gather.row(&fields, line.number)?;
    }
    Ok(())
}

/// Refuses a row that has not one field a column, or was cut off in one.
fn check_length(
    layout: &Layout,
    context: &Context<'_>,
    body: &Body<'_, '_>,
    line: Line<'_>,
    spans: &[Span],
    columns: usize,
) -> Result<()> {
    let end = line.text.trim_end().len();
    let source = context.source;
    if layout.kind.value == Kind::Fixed {
        let last = layout.columns.iter().map(|c| match c.pick {
            Pick::Range(_, to) => to,
            _ => 0,
        });
        let wanted = last.max().unwrap_or(0);
        let there = line.text.chars().count();
        if there < wanted && body.at_open_end() {
            return Err(Error::input(format!(
                "the last line has {there} characters, and the columns of the layout reach to {wanted}"
            ))
            .hint("the file may be cut off; export it again. If it is whole, end its last line with a line end")
            .at(source.place(line, end, end)));
        }
        return Ok(());
    }
    if spans.len() == columns {
        return Ok(());
    }
    let count = format!(
        "{} {} where the file has {columns} columns",
        spans.len(),
        if spans.len() == 1 { "field" } else { "fields" }
    );
    if spans.len() > columns {
        let (start, end) = spans.get(columns).copied().unwrap_or_default();
        return Err(Error::input(count)
            .hint("check the separator, quote and decimal of the layout; a text with the separator in it is put in quotes")
            .at(source.place(line, start, end)));
    }
    let hint = if body.at_end() {
        "this is the last line: the file may be cut off; export it again"
    } else {
        "every row has all columns; a line that is no row is a title, a comment or below stop_at, if the layout says so"
    };
    Err(Error::input(count).hint(hint).at(source
        .place(line, end, end)
        .with_field(context.table.text(spans.len()))))
}
