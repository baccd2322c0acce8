//! Many frequencies: a row for each and a column for each figure, in as many tables as the width needs.

use super::table::{Align, Table};
use super::{WIDTH, frequency};
use spheresum_core::Frequency;
use unicode_width::UnicodeWidthStr;

/// Up to this many frequencies have a block each; more share tables with a row a frequency.
pub const BLOCKS: usize = 3;

/// Width of a frequency with the gap behind it.
const FIRST: usize = 22;

/// Tables under each other with a blank line before each; `cell` says what stands in a row (its index) under a name.
pub fn panels(
    frequencies: &[Option<Frequency>],
    names: &[&str],
    indent: usize,
    cell: impl Fn(usize, &str) -> String,
) -> String {
    let columns: Vec<(&str, Vec<String>)> = names
        .iter()
        .map(|name| {
            let cells = (0..frequencies.len()).map(|row| cell(row, name));
            (*name, cells.collect())
        })
        .collect();
    let width = |(name, cells): &(&str, Vec<String>)| {
        let widest = cells.iter().map(|c| c.width()).max();
        widest.unwrap_or(0).max(name.width()) + 2
    };
    let mut out = String::new();
    let mut rest = columns.as_slice();
    while let Some((first, others)) = rest.split_first() {
        let mut total = indent + FIRST + width(first);
        let fitting = others.iter().take_while(|column| {
            total += width(column);
            total <= WIDTH
        });
        let (panel, later) = rest.split_at(1 + fitting.count());
        rest = later;
        let mut headings = vec![("frequency", Align::Right)];
        headings.extend(panel.iter().map(|(name, _)| (*name, Align::Right)));
        let mut table = Table::new(&headings);
        for (row, at) in frequencies.iter().enumerate() {
            let mut cells = vec![frequency(*at)];
            let of_row = |column: &(&str, Vec<String>)| column.1.get(row).cloned();
            cells.extend(panel.iter().map(|c| of_row(c).unwrap_or_default()));
            table.row(cells);
        }
        out.push('\n');
        out.push_str(&table.render(indent));
    }
    out
}
