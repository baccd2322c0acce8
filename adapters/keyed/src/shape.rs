//! How the records of a file are parted: seen once over the whole text, before anything is read.

use crate::line::{Kind, Mark, Pair, kind};
use spheresum_core::intake::Source;
use spheresum_core::intake::source::Line;
use spheresum_core::intake::text::{Choices, Guess, Meaning, classify, long_line};
use spheresum_core::{Error, Limits, Result};
use std::collections::{HashMap, HashSet};

/// What parts records.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Parting {
    /// Rules, sections or braces; blank lines mean nothing.
    Marks,
    /// Blank lines.
    BlankLines,
    /// A key that comes again; blank lines mean nothing.
    Key(String),
}

/// The shape of a file.
#[derive(Clone, Debug)]
pub(crate) struct Shape {
    /// What parts its records.
    pub(crate) parting: Parting,
    /// Its keys by name.
    pub(crate) keys: HashMap<String, KeySeen>,
    /// It has a key of a direction.
    pub(crate) has_direction: bool,
}

/// A key of the file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct KeySeen {
    /// How often it stands there.
    pub(crate) count: u64,
    /// It says a direction, or may.
    pub(crate) is_direction: bool,
    /// Its place in the order of first appearance.
    order: usize,
    /// The line of its first appearance.
    line: u64,
}

impl Shape {
    /// True for a key that says a direction.
    pub(crate) fn is_direction(&self, name: &str) -> bool {
        self.keys.get(name).is_some_and(|k| k.is_direction)
    }

    /// How often a key stands in the file.
    pub(crate) fn count(&self, name: &str) -> u64 {
        self.keys.get(name).map_or(0, |k| k.count)
    }
}

/// True for a key that says a direction, or may.
fn is_direction(key: &str, choices: &Choices) -> bool {
    let chosen = choices
        .columns
        .iter()
        .find(|c| c.heading.eq_ignore_ascii_case(key));
    match chosen.map_or_else(|| classify(key).0, |c| c.meaning) {
        Meaning::Theta | Meaning::Phi | Meaning::Elevation | Meaning::Clockwise => true,
        Meaning::Guess(guess) => matches!(guess, Guess::Elevation | Guess::Azimuth),
        _ => false,
    }
}

/// The shape of a source.
///
/// # Errors
/// Limit: a line that is too long, or too many keys. Ambiguous: two keys that records may begin with.
pub(crate) fn shape(source: &Source, choices: &Choices, limits: &Limits) -> Result<Shape> {
    let mut seen = Seen::default();
    for line in source.lines() {
        if line.text.len() > limits.max_line_bytes {
            return Err(long_line(source, line, limits));
        }
        match kind(line) {
            Kind::Blank => seen.end_paragraph(),
            Kind::Mark(mark) => seen.mark(mark),
            Kind::Pair(pair) => seen.pair(&pair, choices, limits, source)?,
            Kind::Comment(_) | Kind::Other => {}
        }
    }
    let parting = match (seen.marks_below, seen.repeats) {
        (true, _) => Parting::Marks,
        (_, false) => Parting::BlankLines,
        (_, true) => Parting::Key(first_key(&seen.keys, source)?),
    };
    Ok(Shape {
        parting,
        has_direction: seen.first_direction.is_some(),
        keys: seen.keys,
    })
}

#[derive(Default)]
struct Seen {
    keys: HashMap<String, KeySeen>,
    /// The order of the first key of a direction.
    first_direction: Option<usize>,
    /// A mark stands below the first direction.
    marks_below: bool,
    /// Keys of directions in the first paragraph that has one; `None` behind its end.
    paragraph: Option<HashSet<String>>,
    /// One of them stands there twice.
    repeats: bool,
}

impl Seen {
    fn mark(&mut self, mark: Mark<'_>) {
        self.marks_below |= self.first_direction.is_some();
        // An opening mark parts nothing from a head above it.
        if !matches!(mark, Mark::Open(_)) {
            self.end_paragraph();
        }
    }

    fn end_paragraph(&mut self) {
        if self.first_direction.is_some() {
            self.paragraph = None;
        }
    }

    fn pair(
        &mut self,
        pair: &Pair<'_>,
        choices: &Choices,
        limits: &Limits,
        source: &Source,
    ) -> Result<()> {
        let name = pair.name();
        let order = self.keys.len();
        if order >= limits.max_fields && !self.keys.contains_key(&name) {
            return Err(too_many(source, pair.line, limits));
        }
        let seen = self.keys.entry(name.clone()).or_insert_with(|| KeySeen {
            count: 0,
            is_direction: is_direction(pair.key_text(), choices),
            order,
            line: pair.line.number,
        });
        seen.count += 1;
        if !seen.is_direction {
            return Ok(());
        }
        if self.first_direction.is_none() {
            self.first_direction = Some(seen.order);
            self.paragraph = Some(HashSet::new());
        }
        if let Some(paragraph) = &mut self.paragraph {
            self.repeats |= !paragraph.insert(name);
        }
        Ok(())
    }
}

fn too_many(source: &Source, line: Line<'_>, limits: &Limits) -> Error {
    Error::limit(format!("more than {} different keys", limits.max_fields))
        .hint("raise the limit on fields, or check that this is a file of records")
        .at(source.place(line, 0, line.text.len()))
}

/// The key that every record begins with: the first one that stands there as often as the first key of a direction.
fn first_key(keys: &HashMap<String, KeySeen>, source: &Source) -> Result<String> {
    let mut in_order: Vec<(&String, &KeySeen)> = keys.iter().collect();
    in_order.sort_by_key(|(_, k)| k.order);
    let direction = in_order.iter().find(|(_, k)| k.is_direction);
    let Some((name, first)) = direction else {
        return Ok(String::new());
    };
    for (other, seen) in in_order.iter().take_while(|(_, k)| k.order < first.order) {
        if seen.count == first.count {
            return Ok((*other).clone());
        }
        // Keys of the head stand there once. This one belongs to records, and to which is not known where it is missing.
        if seen.count > 1 {
            let line = source.lines().find(|l| l.number == seen.line);
            let place = line.map_or_else(
                || spheresum_core::Place::in_source(source.name()),
                |l| source.place(l, 0, l.text.len()),
            );
            return Err(Error::ambiguous(format!(
                "records may begin with {other} ({} times) or with {name} ({} times)",
                seen.count, first.count
            ))
            .hint("part the records by blank lines, or put a key that no record lacks in front of each")
            .at(place));
        }
    }
    Ok((*name).clone())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn parting(text: &str) -> Result<Parting> {
        let limits = Limits::small();
        let source = Source::from_text("t", text, &limits)?;
        shape(&source, &Choices::default(), &limits).map(|s| s.parting)
    }

    #[test]
    fn three_ways() {
        let one = "theta = 0\nphi = 0\ne = 1\n";
        for (text, want) in [
            (format!("f = 1\n\n{one}\n{one}"), Parting::BlankLines),
            (format!("{one}---\n{one}"), Parting::Marks),
            (format!("---\n{one}\n{one}"), Parting::BlankLines),
            (format!("{{\n{one}}}\n"), Parting::Marks),
            (
                format!("f = 1\n{one}{one}\n{one}"),
                Parting::Key("theta".to_string()),
            ),
            (
                format!("f = 1\nno = 1\n{one}no = 2\n{one}"),
                Parting::Key("no".to_string()),
            ),
            (one.to_string(), Parting::BlankLines),
        ] {
            assert_eq!(parting(&text).ok(), Some(want), "{text}");
        }
        let lacking = format!(
            "e = 1\ntheta = 0\nphi = 0\n{}e = 2\ntheta = 0\nphi = 1\n",
            "theta = 0\nphi = 2\n"
        );
        let error = parting(&lacking).err();
        assert_eq!(
            error.map(|e| e.group()),
            Some(spheresum_core::Group::Ambiguous)
        );
    }
}
