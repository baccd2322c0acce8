//! A walk through the records of a file.

use crate::line::{Kind, Mark, Pair, kind};
use crate::section::Sections;
use crate::shape::{Parting, Shape};
use spheresum_core::intake::Source;
use spheresum_core::intake::source::Line;
use spheresum_core::intake::text::{Clip, Entry, Meaning, classify};
use spheresum_core::{Error, Limits, Result};

/// What a walk comes across.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Part<'p, 'a> {
    /// An entry in a comment.
    Entry(Entry<'a>),
    /// Pairs that hold for the whole file.
    Head(&'p [Pair<'a>]),
    /// Pairs of one direction; never empty.
    Record(&'p [Pair<'a>]),
}

/// Walks through a source.
///
/// # Errors
/// Input: a line that is nothing known, braces without their others. Ambiguous: a section that says something. Limit: more pairs
/// in a record than fields are allowed. Those of `take`.
pub(crate) fn walk<'a>(
    source: &'a Source,
    shape: &Shape,
    limits: &Limits,
    take: &mut dyn FnMut(Part<'_, 'a>) -> Result<()>,
) -> Result<()> {
    let mut walk = Walk {
        source,
        shape,
        pairs: Vec::new(),
        begun: None,
        open: None,
        any_mark: false,
        any_record: false,
        sections: Sections::default(),
        take,
    };
    for line in source.lines() {
        match kind(line) {
            Kind::Blank if shape.parting == Parting::BlankLines => walk.flush()?,
            Kind::Blank => {}
            Kind::Comment(entry) => {
                if let Some(entry) = entry {
                    (walk.take)(Part::Entry(entry))?;
                }
            }
            Kind::Mark(mark) => walk.mark(mark, line)?,
            Kind::Pair(pair) => walk.pair(pair, limits)?,
            Kind::Other => return Err(walk.other(line)),
        }
    }
    walk.flush()?;
    match walk.open {
        Some(line) => Err(Error::input("the brace of this line is never closed")
            .hint("the file may be cut off; export it again")
            .at(source.place(line, 0, line.text.len()))),
        None => Ok(()),
    }
}

struct Walk<'w, 'a> {
    source: &'a Source,
    shape: &'w Shape,
    pairs: Vec<Pair<'a>>,
    /// The name in the mark in front of these pairs.
    begun: Option<(&'a str, Line<'a>)>,
    /// The brace that is open.
    open: Option<Line<'a>>,
    any_mark: bool,
    any_record: bool,
    sections: Sections,
    take: &'w mut dyn FnMut(Part<'_, 'a>) -> Result<()>,
}

impl<'a> Walk<'_, 'a> {
    fn mark(&mut self, mark: Mark<'a>, line: Line<'a>) -> Result<()> {
        self.flush()?;
        self.any_mark = true;
        let whole = || self.source.place(line, 0, line.text.len());
        match (mark, self.open) {
            (Mark::Open(_), Some(first)) => {
                return Err(Error::input(format!(
                    "a brace inside the one of line {}",
                    first.number
                ))
                .hint("records stand beside each other; where one was cut off, close its brace")
                .at(whole()));
            }
            (Mark::Close, None) => {
                return Err(Error::input("a closing brace without one that opens")
                    .hint("the start of the file or of this record may be missing")
                    .at(whole()));
            }
            (Mark::Open(_), None) => self.open = Some(line),
            (Mark::Close, Some(_)) => self.open = None,
            _ => {}
        }
        self.begun = match mark {
            Mark::Section(name) | Mark::Open(name) => {
                self.sections.name(name, line, self.source)?;
                Some((name, line))
            }
            Mark::Rule | Mark::Close => None,
        };
        Ok(())
    }

    fn pair(&mut self, pair: Pair<'a>, limits: &Limits) -> Result<()> {
        if let Parting::Key(key) = &self.shape.parting
            && *key == pair.name()
        {
            self.flush()?;
        }
        if self.pairs.len() >= limits.max_fields {
            let line = pair.line;
            return Err(Error::limit(format!(
                "more than {} keys in one record",
                limits.max_fields
            ))
            .hint("raise the limit on fields, or check what parts the records")
            .at(self.source.place(line, 0, line.text.len())));
        }
        self.pairs.push(pair);
        Ok(())
    }

    /// Hands over the pairs since the last parting.
    fn flush(&mut self) -> Result<()> {
        if self.pairs.is_empty() {
            return Ok(());
        }
        let pairs = std::mem::take(&mut self.pairs);
        let begun = self.begun.take();
        let of_direction = |p: &Pair<'_>| self.shape.is_direction(&p.name());
        let is_record =
            self.any_record || !self.shape.has_direction || pairs.iter().any(of_direction);
        if !is_record {
            self.refuse_value(&pairs)?;
            return (self.take)(Part::Head(&pairs));
        }
        let mut head = 0;
        if !self.any_record {
            self.any_record = true;
            self.sections.first_record(begun.map(|b| b.0));
            // Where a mark stands above, what follows is a record from its first key on.
            if !self.any_mark {
                head = pairs.iter().take_while(|p| self.may_be_head(p)).count();
            }
        }
        let (head, record) = pairs.split_at(head);
        if !head.is_empty() {
            (self.take)(Part::Head(head))?;
        }
        match record.is_empty() {
            true => Ok(()),
            false => (self.take)(Part::Record(record)),
        }
    }

    /// Refuses a value in front of records that begin with a key: it may be of the first of them.
    fn refuse_value(&self, pairs: &[Pair<'_>]) -> Result<()> {
        let of_value = |p: &&Pair<'_>| matches!(classify(p.key_text()).0, Meaning::Value(_));
        match (&self.shape.parting, pairs.iter().find(of_value)) {
            (Parting::Key(first), Some(pair)) => Err(Error::ambiguous(format!(
                "{} stands in front of the first {first}, with which records begin: of that record, or of the head",
                Clip(pair.key_text())
            ))
            .hint("part the records by blank lines, or begin each with the same key")
            .at(self.source.place(pair.line, pair.key.0, pair.key.1))),
            _ => Ok(()),
        }
    }

    /// True for a key in front of the first direction that no record has again, and that is no value.
    fn may_be_head(&self, pair: &Pair<'_>) -> bool {
        let name = pair.name();
        let meaning = classify(pair.key_text()).0;
        self.shape.has_direction
            && !self.shape.is_direction(&name)
            && self.shape.count(&name) == 1
            && !matches!(meaning, Meaning::Value(_) | Meaning::Guess(_))
    }

    fn other(&self, line: Line<'_>) -> Error {
        let behind = line.at + line.text.len();
        let is_last = self
            .source
            .text()
            .get(behind..)
            .is_none_or(|t| t.trim().is_empty());
        let start = line.text.len() - line.text.trim_start().len();
        Error::input(format!(
            "{:?} is no `key = value`, and parts no records",
            Clip(line.text.trim())
        ))
        .hint(match is_last {
            true => "this is the last line: the file may be cut off; a remark starts with #",
            false => "keys start with a letter; records are parted by blank lines, [reading 12], --- or braces; a remark starts with #",
        })
        .at(self.source.place(line, start, line.text.trim_end().len()))
    }
}
