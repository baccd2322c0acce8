//! Walking through the labels and rows of a block, without keeping them.

use crate::structure::{Block, Structure};
use spheresum_core::intake::source::Line;
use spheresum_core::intake::text::{Cursor, Field, Separator, Span, field, line_at, settle, split};

/// The rows of a block, one after the other, split.
pub(crate) struct Rows<'a> {
    text: &'a str,
    separator: Separator,
    most: usize,
    cursor: Cursor,
    left: usize,
}

impl<'a> Rows<'a> {
    /// Before the first row of a block.
    pub(crate) fn of(block: &Block<'a>, separator: Separator, text: &'a str) -> Self {
        Self {
            text,
            separator,
            most: block.labels.count + 1,
            cursor: block.start,
            left: block.rows,
        }
    }

    /// The next row; its label and cells in `spans`.
    pub(crate) fn next(&mut self, spans: &mut Vec<Span>) -> Option<Line<'a>> {
        while self.left > 0 {
            let (line, next) = line_at(self.text, self.cursor)?;
            self.cursor = next;
            if field::comment(line.text).is_some() {
                continue;
            }
            split(line.text, self.separator, self.most, spans);
            if spans.iter().any(|s| s.0 < s.1) {
                self.left -= 1;
                return Some(line);
            }
        }
        None
    }
}

/// The labels of a block's columns.
pub(crate) fn column_labels<'a>(block: &Block<'a>, separator: Separator) -> Vec<Field<'a>> {
    let mut spans = Vec::new();
    let most = block.labels.first.saturating_add(block.labels.count);
    split(block.line.text, separator, most, &mut spans);
    spans
        .iter()
        .skip(block.labels.first)
        .take(block.labels.count)
        .map(|s| Field::of(block.line, s.0, s.1))
        .collect()
}

/// The decimal sign of the first number in labels and cells that has one.
pub(crate) fn first_sign(structure: &Structure<'_>, text: &str) -> Option<u8> {
    let mut spans = Vec::new();
    for block in &structure.blocks {
        let labels = column_labels(block, structure.separator);
        if let Some(sign) = labels.iter().find_map(|l| settle::sign_of(l.text)) {
            return Some(sign);
        }
        let mut rows = Rows::of(block, structure.separator, text);
        while let Some(line) = rows.next(&mut spans) {
            let sign = spans
                .iter()
                .find_map(|s| settle::sign_of(&line.text[s.0..s.1]));
            if sign.is_some() {
                return sign;
            }
        }
    }
    None
}
