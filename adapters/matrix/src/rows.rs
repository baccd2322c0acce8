//! The rows of a block: which lines they are, and what is refused of their form.

use crate::kinds::{self, Kind};
use crate::structure::Block;
use spheresum_core::intake::Source;
use spheresum_core::intake::source::Line;
use spheresum_core::intake::text::title::{Statement, statements};
use spheresum_core::intake::text::{Separator, Span, clip};
use spheresum_core::{Error, Place, Result};

/// The kind of a line below a block's labels, where much is a row that would be something else elsewhere: its errors are then
/// those of the cell.
pub(crate) fn within(kind: Kind, line: Line<'_>, spans: &[Span], block: &Block<'_>) -> Kind {
    let text = |span: &Span| line.text.get(span.0..span.1).unwrap_or_default();
    match kind {
        Kind::Labels(labels) if !labels.named => {
            let (start, end) = block.labels.corner;
            let same =
                line.text.get(labels.corner.0..labels.corner.1) == block.line.text.get(start..end);
            if same { kind } else { Kind::Row }
        }
        Kind::Other => {
            let first = spans.first().is_some_and(|s| kinds::is_number(text(s)));
            let numbers = spans.iter().skip(1).filter(|s| kinds::is_number(text(s)));
            let mostly =
                spans.len() == block.labels.count + 1 && 2 * numbers.count() >= spans.len();
            let is_row = (first || mostly) && !statements(line).iter().any(Statement::is_title);
            if is_row { Kind::Row } else { kind }
        }
        kind => kind,
    }
}

/// Holds the number of cells against that of labels; empty fields behind the last are no cells.
///
/// # Errors
/// Input: too few or too many. Ambiguous: too many, and some commas may be decimal signs.
pub(crate) fn check(
    source: &Source,
    separator: Separator,
    spans: &[Span],
    block: &Block<'_>,
    line: Line<'_>,
    is_last: bool,
) -> Result<()> {
    let want = block.labels.count + 1;
    let surplus = spans.iter().skip(want).find(|s| s.0 < s.1);
    if spans.len() >= want && surplus.is_none() {
        return Ok(());
    }
    let count = format!(
        "{} {} under {} labels",
        spans.len().saturating_sub(1),
        if spans.len() == 2 { "cell" } else { "cells" },
        block.labels.count
    );
    let Some((start, end)) = surplus else {
        let end = line.text.trim_end().len();
        return Err(Error::input(count)
            .hint(if is_last {
                "this is the last line: the file may be cut off; export it again"
            } else {
                "leave a missing value empty and keep its separator; under blanks write NaN"
            })
            .at(source.place(line, end, end)));
    };
    let hint = match separator {
        Separator::Comma => {
            "a row has its own label and one cell for each label above; if some commas are decimal signs, export the file with \
             semicolons or tabs between the cells"
        }
        _ => "a row has its own label and one cell for each label above",
    };
    Err(Error::input(count)
        .hint(hint)
        .at(source.place(line, *start, *end)))
}

/// The error of a file without a line of labels.
pub(crate) fn no_labels(source: &Source) -> Error {
    let first = source.lines().find(|l| !l.text.trim().is_empty());
    let place = first.map_or_else(
        || Place::in_source(source.name()),
        |l| source.place(l, 0, l.text.len()),
    );
    Error::input("there is no line of labels with a row below it")
        .hint(
            "a block starts with a corner that names the angles of rows and columns, and the labels of the columns, such as \
             `theta_deg\\phi_deg;0;30;60`; each row is its label and one cell a column",
        )
        .at(place)
}

/// The error of labels without rows.
pub(crate) fn no_rows(source: &Source, block: &Block<'_>) -> Error {
    Error::input("a line of labels, and no row below it")
        .hint("the file may be cut off; export it again")
        .at(source.place(block.line, 0, block.line.text.len()))
}

/// The error of a row that stands in no block.
pub(crate) fn stray(source: &Source, line: Line<'_>, ended: Option<Line<'_>>) -> Error {
    let hint = match ended {
        Some(ended) => format!(
            "line {} ({}) ended the block above: put # in front of it if it is a remark, or repeat the labels below it",
            ended.number,
            clip::Clip(ended.text.trim())
        ),
        None => "a block starts with a corner and the labels of the columns, such as `theta_deg\\phi_deg;0;30;60`".to_string(),
    };
    Error::input("a row without a line of labels above it")
        .hint(hint)
        .at(source.place(line, 0, line.text.len()))
}
