//! The blocks of a matrix: a line with the column axis, and lines that start with the row axis.

use crate::layout::{Layout, Matrix};
use crate::read::body::{Body, Event};
use crate::read::virtuals::Constants;
use crate::read::{numbers, split, virtuals};
use spheresum_core::intake::source::Line;
use spheresum_core::intake::text::{Context, Field, Gather};
use spheresum_core::{Error, Result};

/// Reads all blocks.
///
/// # Errors
/// Those of the lines.
pub(crate) fn blocks<'a>(
    layout: &Layout,
    matrix: &Matrix,
    context: &Context<'a>,
    mut body: Body<'_, 'a>,
    gather: &mut Gather<'_, 'a>,
) -> Result<()> {
    let Context { source, limits, .. } = *context;
    let constants = Constants::of(layout, context.plan.decimal);
    let mut spans = Vec::new();
    // The column axis of the block, with its line; `None` where the next line holds it.
    let mut axis: Option<(Line<'a>, Vec<Field<'a>>)> = None;
    let mut rows = 0_u64;
    let mut beside: Vec<Field<'_>> = Vec::new();
    while let Some(event) = body.next()? {
        let line = match event {
            Event::Title => {
                close(context, axis.take(), rows)?;
                continue;
            }
            Event::Entry(entry) => {
                gather.entry(entry)?;
                continue;
            }
            Event::Row(line) => line,
        };
        split::split(layout, source, limits, line, &mut spans)?;
        let fields: Vec<Field<'a>> = split::fields(line, &spans).collect();
        body.row_is_there();
        let Some((head, columns)) = &axis else {
            let columns = fields.get(usize::from(matrix.corner)..).unwrap_or_default();
            if columns.is_empty() {
                return Err(Error::input("a line with the column axis was expected")
                    .hint("the first line of a block has the values of the column axis; check the separator, the titles and skip_lines of the layout")
                    .at(source.place(line, 0, line.text.len())));
            }
            rows = 0;
            axis = Some((line, columns.to_vec()));
            continue;
        };
        if fields.len() != columns.len() + 1 {
            return Err(ragged(
                matrix,
                context,
                &body,
                line,
                *head,
                (fields.len(), columns.len()),
            ));
        }
        rows += 1;
        gather.count_line();
        beside.clear();
        virtuals::fields(layout, source, &body, &constants, line, &mut beside)?;
        let Some((first, values)) = fields.split_first() else {
            continue;
        };
        for (column, value) in columns.iter().zip(values) {
            let mut row: Vec<Field<'_>> = vec![*first, *column, *value];
            row.extend(beside.iter().copied());
            let anew = numbers::anew(&row);
            numbers::rewrite(&mut row, &anew);
            gather.row(&row, line.number)?;
        }
    }
    close(context, axis, rows)
}

/// Refuses a block without rows.
fn close(context: &Context<'_>, axis: Option<(Line<'_>, Vec<Field<'_>>)>, rows: u64) -> Result<()> {
    match axis {
        Some((line, _)) if rows == 0 => Err(Error::input(
            "no row stands below this line of the column axis",
        )
        .hint("the file may be cut off; otherwise check the titles and stop_at of the layout")
        .at(context.source.place(line, 0, line.text.len()))),
        _ => Ok(()),
    }
}

fn ragged(
    matrix: &Matrix,
    context: &Context<'_>,
    body: &Body<'_, '_>,
    line: Line<'_>,
    head: Line<'_>,
    (fields, columns): (usize, usize),
) -> Error {
    let end = line.text.trim_end().len();
    let off_by_corner = if matrix.corner {
        fields == columns + 2
    } else {
        fields == columns
    };
    let hint = if off_by_corner {
        format!(
            "if line {} has {} cell above the row axis, write corner = {} in [matrix]",
            head.number,
            if matrix.corner { "no" } else { "a" },
            !matrix.corner
        )
    } else if body.at_end() && fields < columns + 1 {
        "this is the last line: the file may be cut off; export it again".to_string()
    } else {
        "a block ends where a title stands; describe it by title in [text] of the layout, or check the separator".to_string()
    };
    Error::input(format!(
        "{fields} {} below {columns} columns of line {}",
        if fields == 1 { "field" } else { "fields" },
        head.number
    ))
    .hint(hint)
    .at(context.source.place(line, end, end))
}
