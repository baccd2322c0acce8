//! Tables: columns aligned by blanks, without lines.

use super::style::{FAINT, HEADING, paint};
use super::{WIDTH, wrap};
use anstyle::Style;
use unicode_width::UnicodeWidthStr;

/// Blanks between two columns.
const GAP: usize = 2;
/// The last column is not wrapped to less than this.
const NARROWEST: usize = 30;

/// Labels of facts are at least as wide as the longest common one, so that blocks of facts stand in line.
const LABEL: usize = 11;

/// On which side the texts of a column stand flush.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Align {
    /// Words.
    Left,
    /// Numbers.
    Right,
}

/// A table. Columns without content are left out; the last column is wrapped.
pub struct Table {
    columns: Vec<(String, Align)>,
    rows: Vec<(Vec<String>, Option<Style>)>,
}

impl Table {
    /// A table with headings.
    pub fn new(columns: &[(&str, Align)]) -> Self {
        Self {
            columns: columns
                .iter()
                .map(|(name, align)| ((*name).to_string(), *align))
                .collect(),
            rows: Vec::new(),
        }
    }

    /// Adds a row; cells beyond the columns are dropped.
    pub fn row(&mut self, cells: Vec<String>) {
        self.rows.push((cells, None));
    }

    /// Adds a row in a style.
    pub fn styled_row(&mut self, cells: Vec<String>, style: Style) {
        self.rows.push((cells, Some(style)));
    }

    /// The text, each line indented.
    pub fn render(&self, indent: usize) -> String {
        let used: Vec<usize> = (0..self.columns.len())
            .filter(|c| {
                self.rows
                    .iter()
                    .any(|(r, _)| r.get(*c).is_some_and(|t| !t.is_empty()))
            })
            .collect();
        let widths: Vec<usize> = used.iter().map(|c| self.width(*c)).collect();
        let before: usize = widths.iter().rev().skip(1).map(|w| w + GAP).sum();
        let last_width = WIDTH.saturating_sub(indent + before).max(NARROWEST);
        let mut out = String::new();
        let headings: Vec<&str> = used
            .iter()
            .filter_map(|c| self.columns.get(*c))
            .map(|c| c.0.as_str())
            .collect();
        if headings.iter().any(|h| !h.is_empty()) {
            self.line(&mut out, indent, &used, &widths, &headings, Some(FAINT));
        }
        for (row, style) in &self.rows {
            let cells: Vec<&str> = used
                .iter()
                .map(|c| row.get(*c).map_or("", String::as_str))
                .collect();
            let wrapped = wrap::lines(cells.last().unwrap_or(&""), last_width);
            for (n, last) in wrapped.iter().enumerate() {
                let mut line: Vec<&str> = if n == 0 {
                    cells.clone()
                } else {
                    vec![""; cells.len()]
                };
                if let Some(slot) = line.last_mut() {
                    *slot = last;
                }
                self.line(&mut out, indent, &used, &widths, &line, *style);
            }
        }
        out
    }

    fn width(&self, column: usize) -> usize {
        let cells = self.rows.iter().filter_map(|(r, _)| r.get(column));
        let heading = self.columns.get(column).map_or(0, |c| c.0.width());
        cells.map(|c| c.width()).max().unwrap_or(0).max(heading)
    }

    fn line(
        &self,
        out: &mut String,
        indent: usize,
        used: &[usize],
        widths: &[usize],
        cells: &[&str],
        style: Option<Style>,
    ) {
        let mut line = String::new();
        for ((column, width), cell) in used.iter().zip(widths).zip(cells) {
            let blanks = " ".repeat(width.saturating_sub(cell.width()));
            let right = self
                .columns
                .get(*column)
                .is_some_and(|c| c.1 == Align::Right);
            if right {
                line.push_str(&blanks);
            }
            line.push_str(cell);
            if !right {
                line.push_str(&blanks);
            }
            line.push_str(&" ".repeat(GAP));
        }
        let line = line.trim_end();
        out.push_str(&" ".repeat(indent));
        match style {
            Some(style) => out.push_str(&paint(style, line)),
            None => out.push_str(line),
        }
        out.push('\n');
    }
}

/// A heading line.
pub fn heading(text: &str, indent: usize) -> String {
    format!("{}{}\n", " ".repeat(indent), paint(HEADING, text))
}

/// `label: text` lines with the texts aligned; entries without text are left out.
pub fn facts(facts: &[(&str, String)], indent: usize) -> String {
    let used = facts
        .iter()
        .filter(|f| !f.1.is_empty())
        .map(|f| f.0.width())
        .max();
    let width = used.unwrap_or(0).max(LABEL);
    facts
        .iter()
        .filter(|f| !f.1.is_empty())
        .map(|(label, text)| {
            let blanks = " ".repeat(width - label.width() + GAP);
            let first = format!("{}{}{blanks}", " ".repeat(indent), paint(FAINT, label));
            wrap::hanging(&first, text, indent + width + GAP)
        })
        .collect()
}
