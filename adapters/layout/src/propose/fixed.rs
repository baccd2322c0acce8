//! Columns by their characters: lines of one length, and the places where all of them have a blank.

use crate::propose::runs::{Row, Runs, is_silent};
use spheresum_core::intake::source::Line;
use spheresum_core::intake::text::Separator;

/// The rows of fixed columns, where most lines have one length and are mostly digits.
pub(super) fn fixed<'a>(lines: &[Line<'a>]) -> Option<Runs<'a>> {
    let numbers: Vec<(usize, Line<'a>)> = lines
        .iter()
        .copied()
        .enumerate()
        .filter(|(_, l)| !is_silent(l.text) && is_mostly_digits(l.text) && !l.text.contains('\t'))
        .collect();
    let length = most_common(numbers.iter().map(|(_, l)| l.text.chars().count()))?;
    let mut run: Vec<Row<'a>> = Vec::new();
    let mut blank = vec![true; length];
    for (index, line) in numbers {
        if line.text.chars().count() != length {
            continue;
        }
        for (at, c) in line.text.chars().enumerate() {
            if let Some(blank) = blank.get_mut(at) {
                *blank &= c == ' ';
            }
        }
        run.push(Row {
            index,
            line,
            spans: Vec::new(),
        });
    }
    let ranges = ranges(&blank);
    if run.len() < 2 || ranges.len() < 2 {
        return None;
    }
    for row in &mut run {
        row.spans = ranges
            .iter()
            .map(|(from, to)| trimmed(row.line.text, *from, *to))
            .collect();
    }
    Some(Runs {
        lines: lines.to_vec(),
        separator: Separator::Blank,
        fixed: Some(ranges),
        runs: vec![run],
    })
}

fn is_mostly_digits(text: &str) -> bool {
    let filled = text.chars().filter(|c| !c.is_whitespace()).count();
    let digits = text.chars().filter(char::is_ascii_digit).count();
    2 * digits >= filled && digits > 0
}

/// The value that is there most often; of equals the first.
fn most_common(values: impl Iterator<Item = usize>) -> Option<usize> {
    let mut counts: Vec<(usize, usize)> = Vec::new();
    for value in values {
        match counts.iter_mut().find(|(v, _)| *v == value) {
            Some((_, count)) => *count += 1,
            None => counts.push((value, 1)),
        }
    }
    let most = counts.iter().map(|(_, count)| *count).max()?;
    counts.iter().find(|(_, c)| *c == most).map(|(v, _)| *v)
}

/// Ranges of characters: each ends with its last character that is not blank everywhere, and starts behind the one before.
fn ranges(blank: &[bool]) -> Vec<(usize, usize)> {
    let mut ranges: Vec<(usize, usize)> = Vec::new();
    let mut start = 0;
    for (at, is_blank) in blank.iter().enumerate() {
        let ends = !is_blank && blank.get(at + 1).is_none_or(|next| *next);
        if ends {
            ranges.push((start, at + 1));
            start = at + 1;
        }
    }
    ranges
}

fn trimmed(text: &str, from: usize, to: usize) -> (usize, usize) {
    let at = |n: usize| text.char_indices().nth(n).map_or(text.len(), |(at, _)| at);
    let (start, end) = (at(from), at(to));
    let cell = text.get(start..end).unwrap_or_default();
    let behind = cell.trim_start();
    let start = start + (cell.len() - behind.len());
    (start, start + behind.trim_end().len())
}
