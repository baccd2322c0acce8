//! Blocks of a matrix: a line of a rising axis above lines that start with another.

use crate::propose::numeric::{in_steps, value};
use crate::propose::runs::{Row, Runs};
use spheresum_core::intake::text::{Separator, split};

/// Where the column axis of the blocks stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Axis {
    /// In the first row of each run, behind a cell above the row axis.
    WithCorner,
    /// In the line above each run, which has a field less.
    WithoutCorner,
}

/// The place of the column axis, if every run is a block of a matrix.
pub(super) fn axis(found: &Runs<'_>) -> Option<Axis> {
    let is_block = |axis: Axis| found.runs.iter().all(|run| block(found, run, axis));
    [Axis::WithCorner, Axis::WithoutCorner]
        .into_iter()
        .find(|axis| found.fixed.is_none() && is_block(*axis))
}

fn block(found: &Runs<'_>, run: &[Row<'_>], axis: Axis) -> bool {
    let (head, rows) = match axis {
        Axis::WithCorner => match run.split_first() {
            Some((head, rows)) => {
                let texts: Vec<&str> = (1..head.spans.len()).map(|c| head.text(c)).collect();
                (texts, rows)
            }
            None => return false,
        },
        Axis::WithoutCorner => (above(found, run), run),
    };
    let rows_axis: Vec<&str> = rows.iter().map(|r| r.text(0)).collect();
    head.len() >= 3
        && rows.len() >= 2
        && steps(&head, found.separator)
        && steps(&rows_axis, found.separator)
        && rows.iter().all(|r| r.spans.len() == head.len() + 1)
}

fn steps(texts: &[&str], separator: Separator) -> bool {
    let values: Vec<f64> = texts.iter().map_while(|t| value(t, separator)).collect();
    values.len() == texts.len() && in_steps(&values)
}

/// The fields of the line above a run.
fn above<'a>(found: &Runs<'a>, run: &[Row<'a>]) -> Vec<&'a str> {
    let line = run
        .first()
        .and_then(|r| r.index.checked_sub(1))
        .and_then(|at| found.lines.get(at));
    let Some(line) = line else {
        return Vec::new();
    };
    let mut spans = Vec::new();
    split(line.text, found.separator, 1000, &mut spans);
    spans
        .iter()
        .map(|s| line.text.get(s.0..s.1).unwrap_or_default())
        .collect()
}
