//! Titles: lines above a block of rows, with placeholders for what they say of it.

use crate::layout::Role;
use spheresum_core::intake::source::Line;
use spheresum_core::intake::text::Field;
use spheresum_core::{Place, intake::text::Meaning};

/// A title's pattern, taken apart.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Title {
    /// As the layout writes it.
    pub(crate) text: String,
    pub(crate) parts: Vec<Part>,
    pub(crate) place: Place,
}

/// A part of a pattern.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Part {
    /// A text that has to stand there; a blank is any run of blanks.
    Literal(String),
    /// A text that is taken, by the index of its slot.
    Take(usize),
    /// A text that is left out; may be empty.
    Skip,
}

/// Something that titles say.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Slot {
    /// The placeholder with its braces.
    pub(crate) text: String,
    pub(crate) role: Role,
    pub(crate) place: Place,
}

impl Slot {
    /// True for an angle.
    pub(crate) fn is_angle(&self) -> bool {
        matches!(
            self.role.meaning,
            Meaning::Theta | Meaning::Phi | Meaning::Elevation | Meaning::Clockwise
        )
    }
}

impl Title {
    /// What the line says, if it is this title: the slots with their fields, in `taken`. False: it is not.
    pub(crate) fn matches<'a>(&self, line: Line<'a>, taken: &mut Vec<(usize, Field<'a>)>) -> bool {
        taken.clear();
        let text = line.text;
        let end = text.trim_end().len();
        let mut at = text.len() - text.trim_start().len();
        // The placeholder that is waiting for its end: its slot, if it has one, and its start.
        let mut open: Option<(Option<usize>, usize)> = None;
        for (index, part) in self.parts.iter().enumerate() {
            match part {
                Part::Skip => open = Some((None, at)),
                Part::Take(slot) => open = Some((Some(*slot), at)),
                Part::Literal(literal) => {
                    let is_last = index + 1 == self.parts.len();
                    let found = match open {
                        None => behind(text, at, literal).map(|to| (at, to)),
                        Some(_) => find(text, at, end, literal, is_last),
                    };
                    let Some((from, to)) = found.filter(|f| f.1 <= end) else {
                        return false;
                    };
                    if !close(line, open.take(), from, taken) {
                        return false;
                    }
                    at = to;
                }
            }
        }
        match open {
            Some(_) => close(line, open, end, taken),
            None => at == end,
        }
    }
}

/// Ends the open placeholder; false where it would take nothing.
fn close<'a>(
    line: Line<'a>,
    open: Option<(Option<usize>, usize)>,
    end: usize,
    taken: &mut Vec<(usize, Field<'a>)>,
) -> bool {
    let Some((Some(slot), start)) = open else {
        return true;
    };
    let text = line.text.get(start..end).unwrap_or_default();
    let start = start + (text.len() - text.trim_start().len());
    let end = start + text.trim().len();
    taken.push((slot, Field::of(line, start, end)));
    end > start
}

/// Offset behind a literal that stands at `at`.
fn behind(text: &str, at: usize, literal: &str) -> Option<usize> {
    let mut rest = text.get(at..)?;
    for c in literal.chars() {
        if c == ' ' {
            let trimmed = rest.trim_start_matches([' ', '\t']);
            if trimmed.len() == rest.len() && !rest.is_empty() {
                return None;
            }
            rest = trimmed;
        } else {
            rest = rest.strip_prefix(c)?;
        }
    }
    Some(text.len() - rest.len())
}

/// The first place from `at` where a literal stands; the one that ends the line where `at_end`.
fn find(text: &str, at: usize, end: usize, literal: &str, at_end: bool) -> Option<(usize, usize)> {
    let from = text.get(at..end)?;
    from.char_indices()
        .filter_map(|(offset, _)| {
            let start = at + offset;
            behind(text, start, literal).map(|to| (start, to))
        })
        .find(|(_, to)| if at_end { *to == end } else { *to <= end })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn title(parts: &[Part]) -> Title {
        Title {
            text: String::new(),
            parts: parts.to_vec(),
            place: Place::default(),
        }
    }

    fn taken(title: &Title, text: &str) -> Option<Vec<(usize, String)>> {
        let line = Line {
            number: 1,
            at: 0,
            text,
        };
        let mut taken = Vec::new();
        title.matches(line, &mut taken).then(|| {
            taken
                .iter()
                .map(|(s, f)| (*s, f.text.to_string()))
                .collect()
        })
    }

    fn lit(text: &str) -> Part {
        Part::Literal(text.to_string())
    }

    #[test]
    fn placeholders_take_what_stands_between() {
        let two = title(&[
            lit("Pol: "),
            Part::Take(0),
            lit(" Frequency: "),
            Part::Take(1),
            lit(" MHz"),
        ]);
        let want = |a: &str, b: &str| Some(vec![(0, a.to_string()), (1, b.to_string())]);
        assert_eq!(
            taken(&two, "Pol: V Frequency: 868.3 MHz"),
            want("V", "868.3")
        );
        assert_eq!(
            taken(&two, "  Pol:\tV  x   Frequency:  868.3   MHz \t"),
            want("V  x", "868.3")
        );
        for no in [
            "Pol: V",
            "Pol: Frequency: 868.3 MHz",
            "Pol: V Frequency: 868.3 GHz",
            "Pol: V Frequency: 868.3 MHz.",
            "A Pol: V Frequency: 868.3 MHz",
            "",
        ] {
            assert_eq!(taken(&two, no), None, "{no}");
        }
    }

    #[test]
    fn the_rest_is_skipped() {
        let cut = title(&[Part::Skip, lit("φ="), Part::Take(0), lit("°"), Part::Skip]);
        let want = Some(vec![(0, "30".to_string())]);
        assert_eq!(taken(&cut, "Cut 1 φ= 30° (of 12)"), want);
        assert_eq!(taken(&cut, "φ=30°"), want);
        assert_eq!(taken(&cut, "φ=30"), None);
        // A unit that is a part of the number's text belongs to the last literal.
        let deg = title(&[lit("d "), Part::Take(0), lit("d")]);
        assert_eq!(taken(&deg, "d 3d0d"), Some(vec![(0, "3d0".to_string())]));
    }
}
