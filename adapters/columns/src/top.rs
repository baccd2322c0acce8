//! What stands above the numbers.

use crate::names::{Names, are_names, behind_mark, has_number, units};
use spheresum_core::intake::source::Line;
use spheresum_core::intake::text::{Cursor, Entries, Entry, field, line_at};

/// The lines above the numbers.
#[derive(Clone, Debug)]
pub(crate) struct Top<'a> {
    /// `key: value` entries.
    pub(crate) entries: Vec<Entry<'a>>,
    /// Comments that name columns.
    pub(crate) comments: Vec<Names<'a>>,
    /// A bare line that names columns.
    pub(crate) bare: Option<Names<'a>>,
    /// A bare line that is neither a list of names nor of numbers.
    pub(crate) odd: Option<Line<'a>>,
    /// The first line of numbers.
    pub(crate) first: Option<Line<'a>>,
    /// The last line above it that is not blank.
    pub(crate) last: Option<Line<'a>>,
    /// Where the numbers start.
    pub(crate) body: Cursor,
}

/// Sees what stands above the numbers of a text; never more than `most` names a line.
pub(crate) fn top(text: &str, most: usize) -> Top<'_> {
    let mut top = Top {
        entries: Vec::new(),
        comments: Vec::new(),
        bare: None,
        odd: None,
        first: None,
        last: None,
        body: Cursor::START,
    };
    while let Some((line, next)) = line_at(text, top.body) {
        if !line.text.trim().is_empty() {
            if !top.take(line, most) {
                top.first = Some(line);
                return top;
            }
            top.last = Some(line);
        }
        top.body = next;
    }
    top
}

impl<'a> Top<'a> {
    /// Takes a line; false for the first line of numbers.
    fn take(&mut self, line: Line<'a>, most: usize) -> bool {
        if let Some(body) = field::comment(line.text) {
            if let Some(entry) = Entry::of(line, false) {
                Entries::keep(&mut self.entries, entry);
            } else if !add_units(self.comments.last_mut(), line, body) && are_names(body, most) {
                let start = behind_mark(line.text, body);
                self.comments.push(Names::new(line, start));
            }
            return true;
        }
        if self.bare.is_some() {
            return add_units(self.bare.as_mut(), line, line.text);
        }
        if let Some(entry) = Entry::of(line, true) {
            Entries::keep(&mut self.entries, entry);
            return true;
        }
        if are_names(line.text, most) {
            self.bare = Some(Names::new(line, 0));
            return true;
        }
        if !has_number(line.text) && self.odd.is_none() {
            self.odd = Some(line);
            return true;
        }
        false
    }
}

/// Adds a line of units to the names right above it; false where it is none.
fn add_units<'a>(names: Option<&mut Names<'a>>, line: Line<'a>, text: &str) -> bool {
    match names {
        Some(names)
            if names.units.is_none()
                && names.line.number + 1 == line.number
                && units(text).is_some() =>
        {
            names.units = Some(line);
            true
        }
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sorts_the_lines_above_the_numbers() {
        let text = "# gauge\n# widths: 8 8\nsite: river\n\n# theta phi\n# deg deg\n 1.0 2.0\n";
        let top = top(text, 100);
        assert_eq!(top.entries.len(), 2);
        assert_eq!(top.comments.len(), 1);
        assert!(
            top.comments
                .iter()
                .all(|n| n.units.is_some() && n.start == 2)
        );
        assert_eq!((top.first.map(|l| l.number), top.body.number), (Some(7), 7));
    }

    #[test]
    fn bare_names_and_titles() {
        let found = top("A title\ntheta_deg phi_deg\n1 2\n", 100);
        assert_eq!(found.odd.map(|l| l.number), Some(1));
        assert_eq!(found.bare.map(|n| n.line.number), Some(2));
        assert_eq!(found.first.map(|l| l.number), Some(3));
        assert!(top("theta_deg phi_deg\n", 100).first.is_none());
    }
}
