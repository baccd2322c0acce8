//! Runs of lines with numbers, and the separator that shows most of them.

use crate::propose::fixed;
use crate::propose::numeric::{SEPARATORS, is_numeric};
use spheresum_core::intake::Source;
use spheresum_core::intake::source::Line;
use spheresum_core::intake::text::{Separator, Span, field, split};

/// Most fields of a line that are looked at.
const MOST_FIELDS: usize = 1000;
/// Most lines that are looked at.
const MOST_LINES: usize = 4000;

/// A line of numbers, with its fields.
#[derive(Clone, Debug)]
pub(super) struct Row<'a> {
    /// Index among the lines looked at.
    pub(super) index: usize,
    pub(super) line: Line<'a>,
    pub(super) spans: Vec<Span>,
}

impl<'a> Row<'a> {
    /// The text of a field.
    pub(super) fn text(&self, column: usize) -> &'a str {
        self.spans
            .get(column)
            .and_then(|s| self.line.text.get(s.0..s.1))
            .unwrap_or_default()
    }
}

/// What a text shows.
#[derive(Clone, Debug)]
pub(super) struct Runs<'a> {
    /// The lines looked at.
    pub(super) lines: Vec<Line<'a>>,
    /// What stands between fields.
    pub(super) separator: Separator,
    /// Ranges of characters from 0, the end excluded, where the columns are fixed.
    pub(super) fixed: Option<Vec<(usize, usize)>>,
    /// Rows that follow each other, all with the same number of fields.
    pub(super) runs: Vec<Vec<Row<'a>>>,
}

impl Runs<'_> {
    /// Number of fields of the rows.
    pub(super) fn fields(&self) -> usize {
        self.runs
            .first()
            .and_then(|r| r.first())
            .map_or(0, |row| row.spans.len())
    }
}

/// True for a line that says nothing: a blank one, or a comment.
pub(super) fn is_silent(line: &str) -> bool {
    line.trim().is_empty() || field::comment(line).is_some()
}

/// Finds the rows of numbers in the first `bytes` of a text.
pub(super) fn runs(source: &Source, bytes: usize) -> Option<Runs<'_>> {
    let whole = bytes == source.text().len();
    let lines: Vec<Line<'_>> = source
        .lines()
        .take(MOST_LINES)
        // A line that the head cuts is none.
        .take_while(|l| l.at + l.text.len() < bytes || whole)
        .collect();
    let mut best: Option<(i64, Runs<'_>, usize)> = None;
    for separator in SEPARATORS {
        let rows = rows(&lines, separator);
        let (numbers, others): (Vec<_>, Vec<_>) = rows
            .into_iter()
            .partition(|r| is_mostly_numbers(r, separator));
        let (score, count) = score(&numbers, separator);
        let numeric = numbers.len();
        if score > 0 && best.as_ref().is_none_or(|(most, ..)| score > *most) {
            let runs = together(&lines, numbers, others, (count, separator));
            let found = Runs {
                lines: lines.clone(),
                separator,
                fixed: None,
                runs,
            };
            best = Some((score, found, numeric));
        }
    }
    // Where the numbers of fields differ from line to line and the lengths do not, characters tell columns apart.
    let explained = best.as_ref().is_some_and(|(_, found, numeric)| {
        let in_runs: usize = found.runs.iter().map(Vec::len).sum();
        5 * in_runs >= 4 * numeric
    });
    if !explained && let Some(found) = fixed::fixed(&lines) {
        return Some(found);
    }
    best.map(|(_, found, _)| found)
}

/// The lines with numbers under a separator.
fn rows<'a>(lines: &[Line<'a>], separator: Separator) -> Vec<Row<'a>> {
    let mut rows = Vec::new();
    for (index, line) in lines.iter().enumerate() {
        if is_silent(line.text) {
            continue;
        }
        let mut spans = Vec::new();
        split(line.text, separator, MOST_FIELDS, &mut spans);
        let row = Row {
            index,
            line: *line,
            spans,
        };
        if counts(&row, separator).0 > 0 && row.spans.len() <= MOST_FIELDS {
            rows.push(row);
        }
    }
    rows
}

fn is_mostly_numbers(row: &Row<'_>, separator: Separator) -> bool {
    let (numbers, others) = counts(row, separator);
    numbers >= 2 && numbers > others
}

/// Number of fields with numbers, and with other texts.
fn counts(row: &Row<'_>, separator: Separator) -> (usize, usize) {
    let texts = || (0..row.spans.len()).map(|c| row.text(c));
    let numbers = texts().filter(|t| is_numeric(t, separator)).count();
    let filled = texts().filter(|t| !t.is_empty()).count();
    (numbers, filled - numbers.min(filled))
}

/// How much a separator explains, and the number of fields of most rows.
fn score(rows: &[Row<'_>], separator: Separator) -> (i64, usize) {
    let mut by_count: Vec<(usize, i64)> = Vec::new();
    for row in rows {
        let (numbers, others) = counts(row, separator);
        let worth = numbers as i64 - others as i64;
        match by_count.iter_mut().find(|(n, _)| *n == row.spans.len()) {
            Some((_, sum)) => *sum += worth,
            None => by_count.push((row.spans.len(), worth)),
        }
    }
    // Of equals the first.
    let mut best = (0_i64, 0_usize);
    for (count, sum) in by_count {
        if sum > best.0 {
            best = (sum, count);
        }
    }
    best
}

/// Rows of one number of fields with nothing but silent lines between them. A line of so many fields that are mostly words is a
/// row below another one: it has no reading. With blanks between the fields, it may as well be a title.
fn together<'a>(
    lines: &[Line<'a>],
    mut rows: Vec<Row<'a>>,
    others: Vec<Row<'a>>,
    (count, separator): (usize, Separator),
) -> Vec<Vec<Row<'a>>> {
    rows.retain(|r| r.spans.len() == count);
    let first = rows.first().map_or(usize::MAX, |r| r.index);
    if separator != Separator::Blank {
        rows.extend(
            others
                .into_iter()
                .filter(|r| r.spans.len() == count && r.index > first),
        );
        rows.sort_by_key(|r| r.index);
    }
    let mut runs: Vec<Vec<Row<'a>>> = Vec::new();
    for row in rows {
        let follows = runs.last().and_then(|r| r.last()).is_some_and(|last| {
            lines
                .get(last.index + 1..row.index)
                .is_some_and(|between| between.iter().all(|l| is_silent(l.text)))
        });
        match runs.last_mut() {
            Some(run) if follows => run.push(row),
            _ => runs.push(vec![row]),
        }
    }
    runs
}
