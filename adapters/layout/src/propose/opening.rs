//! What stands above and between the runs: a heading line, lines to be skipped, titles, a footer.

use crate::propose::matrix::Axis;
use crate::propose::numeric::is_numeric;
use crate::propose::runs::{Runs, is_silent};
use crate::propose::titles;
use spheresum_core::intake::text::{field, split};

/// Around the runs.
#[derive(Clone, Debug, Default)]
pub(super) struct Around {
    /// The headings, where a line above the rows has them.
    pub(super) headings: Option<Vec<String>>,
    /// The heading line as it is.
    pub(super) heading_line: Option<String>,
    /// Number of lines in front of the heading, the first title or the first row that have to be skipped.
    pub(super) skip_lines: u64,
    /// What the skipped lines say, for a look at frequencies.
    pub(super) skipped: Vec<String>,
    /// Patterns of titles, each with a remark.
    pub(super) titles: Vec<titles::Found>,
    /// The line below the last row.
    pub(super) footer: Option<String>,
    /// Lines between the runs that are not understood.
    pub(super) strange: Option<String>,
}

/// Looks around the runs. `whole`: the end of the text is seen.
pub(super) fn around(found: &Runs<'_>, axis: Option<Axis>, whole: bool) -> Around {
    let mut around = Around::default();
    // The lines above each run, without silent ones.
    let mut gaps: Vec<Vec<usize>> = Vec::new();
    let mut from = 0;
    for run in &found.runs {
        let (Some(first), Some(last)) = (run.first(), run.last()) else {
            continue;
        };
        let speaking = |at: &usize| {
            let line = found.lines.get(*at);
            line.is_some_and(|l| !is_silent(l.text))
        };
        let mut gap: Vec<usize> = (from..first.index).filter(speaking).collect();
        // The column axis of a matrix without a corner stands there.
        if axis == Some(Axis::WithoutCorner) {
            gap.pop();
        }
        gaps.push(gap);
        from = last.index + 1;
    }
    let text = |at: usize| found.lines.get(at).map_or("", |l| l.text);
    if axis.is_none() && found.fixed.is_none() {
        heading(found, &mut gaps, &mut around, &text);
    }
    let mut first_of_block = None;
    if gaps.len() > 1 {
        let texts: Vec<Vec<&str>> = gaps
            .iter()
            .map(|gap| gap.iter().map(|at| text(*at)).collect())
            .collect();
        match titles::titles(&texts) {
            Some((titles, count)) => {
                around.titles = titles;
                if let Some(first) = gaps.first_mut() {
                    let keep = first.len().saturating_sub(count);
                    first_of_block = first.get(keep).copied();
                    first.truncate(keep);
                }
            }
            None => {
                around.strange = gaps
                    .get(1)
                    .and_then(|g| g.first())
                    .map(|at| text(*at).trim().to_string());
            }
        }
    }
    let above = gaps.first().cloned().unwrap_or_default();
    let above: Vec<usize> = match first_of_block {
        Some(first) => above.into_iter().filter(|at| *at < first).collect(),
        None => above,
    };
    // Bare `key: value` lines are read as they are.
    let junk = |at: &&usize| field::key_value(text(**at)).is_none();
    if let Some(last) = above.iter().rfind(junk) {
        around.skip_lines = *last as u64 + 1;
    }
    around.skipped = above
        .iter()
        .filter(|at| (**at as u64) < around.skip_lines)
        .map(|at| text(*at).trim().to_string())
        .collect();
    if whole {
        around.footer = (from..found.lines.len())
            .map(text)
            .find(|t| !is_silent(t))
            .map(|t| t.trim().to_string());
    }
    around
}

/// Finds the heading line: the line right above the first run, with a field a column, and most of them words.
fn heading<'a>(
    found: &Runs<'a>,
    gaps: &mut [Vec<usize>],
    around: &mut Around,
    text: &impl Fn(usize) -> &'a str,
) {
    let Some(at) = gaps.first().and_then(|g| g.last()).copied() else {
        return;
    };
    let line = text(at);
    let mut spans = Vec::new();
    split(line, found.separator, 1000, &mut spans);
    let headings: Vec<String> = spans
        .iter()
        .map(|s| line.get(s.0..s.1).unwrap_or_default().to_string())
        .collect();
    let numbers = headings
        .iter()
        .filter(|h| is_numeric(h, found.separator))
        .count();
    if headings.len() != found.fields() || 2 * numbers > headings.len() {
        return;
    }
    around.headings = Some(headings);
    around.heading_line = Some(line.trim().to_string());
    for gap in gaps {
        if gap
            .last()
            .is_some_and(|last| text(*last).trim() == line.trim())
        {
            gap.pop();
        }
    }
}
