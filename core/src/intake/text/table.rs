//! Headings and entries of a file: what its columns are called, and what stands beside them.

use crate::intake::source::{Line, Source};
use crate::intake::text::choices::{Choices, ColumnChoice};
use crate::intake::text::clip::{self, Clip};
use crate::intake::text::column_frequency;
use crate::intake::text::entries::Entries;
use crate::intake::text::meaning::{Meaning, UnitText, ValueName, classify};
use crate::{Error, Place, Result};
use std::collections::HashMap;

/// Where a text stands: a part of a line, by byte offsets in it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Spot<'a> {
    /// The line.
    pub line: Line<'a>,
    /// First byte.
    pub start: usize,
    /// Byte behind the last.
    pub end: usize,
}

impl<'a> Spot<'a> {
    /// A part of a line.
    #[must_use]
    pub const fn new(line: Line<'a>, start: usize, end: usize) -> Self {
        Self { line, start, end }
    }

    /// A whole line.
    #[must_use]
    pub const fn whole(line: Line<'a>) -> Self {
        Self::new(line, 0, line.text.len())
    }

    /// Its place in the source.
    #[must_use]
    pub fn place(&self, source: &Source) -> Place {
        source.place(self.line, self.start, self.end)
    }
}

/// The text of one value, and where it stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Field<'a> {
    /// The text, without blanks and quotes around it.
    pub text: &'a str,
    /// Where it stands; `None` for a constant that the file leaves out.
    pub spot: Option<Spot<'a>>,
}

impl<'a> Field<'a> {
    /// A part of a line.
    #[must_use]
    pub fn of(line: Line<'a>, start: usize, end: usize) -> Self {
        Self {
            text: line.text.get(start..end).unwrap_or_default(),
            spot: Some(Spot::new(line, start, end)),
        }
    }

    /// A text that stands for the one at a spot, such as a number written anew.
    #[must_use]
    pub const fn at(text: &'a str, spot: Spot<'a>) -> Self {
        Self {
            text,
            spot: Some(spot),
        }
    }

    /// A text that stands nowhere in the file.
    #[must_use]
    pub const fn constant(text: &'a str) -> Self {
        Self { text, spot: None }
    }

    /// Its place in the source: the source alone for a constant.
    #[must_use]
    pub fn place(&self, source: &Source) -> Place {
        self.spot
            .map_or_else(|| Place::in_source(source.name()), |s| s.place(source))
    }
}

/// One heading.
#[derive(Clone, Debug)]
pub struct Heading<'a> {
    /// Its text and where that stands.
    pub field: Field<'a>,
    /// What it means.
    pub meaning: Meaning,
    /// Its unit.
    pub unit: UnitText,
}

impl<'a> Heading<'a> {
    /// A heading by its text alone: [`classify`].
    #[must_use]
    pub fn of(field: Field<'a>) -> Self {
        let (meaning, unit) = classify(field.text);
        Self {
            field,
            meaning,
            unit,
        }
    }

    /// A heading whose meaning and unit are known from elsewhere.
    #[must_use]
    pub const fn new(field: Field<'a>, meaning: Meaning, unit: UnitText) -> Self {
        Self {
            field,
            meaning,
            unit,
        }
    }

    /// Its text.
    #[must_use]
    pub const fn text(&self) -> &'a str {
        self.field.text
    }
}

/// The headings of a table, and the entries that hold for all of it.
#[derive(Clone, Debug, Default)]
pub struct Table<'a> {
    /// `key: value` entries of the file.
    pub entries: Entries<'a>,
    /// The headings, one a column.
    pub headings: Vec<Heading<'a>>,
    /// What stands for the whole: the heading line, or what takes its place.
    pub spot: Option<Spot<'a>>,
}

impl<'a> Table<'a> {
    /// A table of headings.
    #[must_use]
    pub fn new(entries: Entries<'a>, headings: Vec<Heading<'a>>, spot: Option<Spot<'a>>) -> Self {
        Self {
            entries,
            headings,
            spot,
        }
    }

    /// Text of a heading; empty where there is none.
    #[must_use]
    pub fn text(&self, index: usize) -> &'a str {
        self.headings.get(index).map_or("", Heading::text)
    }

    /// Place of a heading.
    #[must_use]
    pub fn place(&self, source: &Source, index: usize) -> Place {
        match self.headings.get(index) {
            Some(heading) if heading.field.spot.is_some() => {
                heading.field.place(source).with_field(heading.text())
            }
            Some(heading) => self.whole(source).with_field(heading.text()),
            None => self.whole(source),
        }
    }

    /// Place of the heading line.
    #[must_use]
    pub fn whole(&self, source: &Source) -> Place {
        self.spot
            .map_or_else(|| Place::in_source(source.name()), |s| s.place(source))
    }

    /// The heading texts for a message.
    #[must_use]
    pub fn list(&self) -> String {
        let texts: Vec<&str> = self.headings.iter().map(Heading::text).collect();
        clip::list(&texts, 16, " | ")
    }

    /// Puts the choices of the option `column` in the place of what the headings say.
    ///
    /// # Errors
    /// Usage: no heading is called that, or its unit is another.
    pub fn choose(&mut self, choices: &Choices, source: &Source) -> Result<()> {
        if choices.columns.is_empty() {
            return Ok(());
        }
        let mut by_text = HashMap::new();
        for (at, heading) in self.headings.iter().enumerate() {
            by_text.entry(heading.text().to_lowercase()).or_insert(at);
        }
        for choice in &choices.columns {
            let Some(at) = by_text.get(&choice.heading.to_lowercase()).copied() else {
                return Err(Error::usage(format!(
                    "the option column names {:?}, and no heading is called that",
                    choice.heading
                ))
                .hint(format!("the headings are {}", self.list()))
                .at(self.whole(source)));
            };
            let place = self.place(source, at);
            let heading = &mut self.headings[at];
            heading.meaning = chosen(heading.text(), choice, &place)?;
            match (&heading.unit, &choice.unit) {
                (_, UnitText::None) => {}
                (UnitText::Known(a), UnitText::Known(b))
                    if a != b && choice.meaning != Meaning::Ignore =>
                {
                    return Err(Error::usage(format!(
                        "the option column gives {:?} the unit {}, and the heading says {}",
                        heading.text(),
                        b.symbol(),
                        a.symbol()
                    ))
                    .hint(format!(
                        "leave the unit out of the role {}, or correct it",
                        choice.role
                    ))
                    .at(place));
                }
                _ => heading.unit = choice.unit.clone(),
            }
        }
        Ok(())
    }

    /// Refuses empty headings (but for a last one) and repeated ones.
    ///
    /// # Errors
    /// Input.
    pub fn refuse_repeats(&self, source: &Source) -> Result<()> {
        self.refuse_repeats_from(source, 0)
    }

    /// As [`Table::refuse_repeats`], from the heading `first` on.
    ///
    /// # Errors
    /// Input.
    pub fn refuse_repeats_from(&self, source: &Source, first: usize) -> Result<()> {
        let mut first_columns = HashMap::new();
        for (at, heading) in self.headings.iter().enumerate().skip(first) {
            if heading.text().is_empty() {
                if at + 1 == self.headings.len() && at > 0 {
                    continue;
                }
                return Err(Error::input(format!("heading {} is empty", at + 1))
                    .hint("name every column; where blanks line the columns up, give the option separator=blank")
                    .at(self.place(source, at)));
            }
            if let Some(first) = first_columns.insert(heading.text().to_lowercase(), at) {
                return Err(Error::input(format!(
                    "the heading {:?} stands there twice",
                    Clip(heading.text())
                ))
                .hint(format!(
                    "column {} has it already; rename or remove one",
                    first + 1
                ))
                .at(self.place(source, at)));
            }
        }
        Ok(())
    }
}

/// What a choice says of a heading; a frequency that the heading names stays.
fn chosen(heading: &str, choice: &ColumnChoice, place: &Place) -> Result<Meaning> {
    let Meaning::Value(name) = choice.meaning else {
        return Ok(choice.meaning);
    };
    let (own, given) = (column_frequency::of(heading), name.frequency);
    match (own, given) {
        (Some(own), Some(given)) if own != given => Err(Error::usage(format!(
            "the option column puts {heading:?} at {given}, and the heading says {own}"
        ))
        .hint("leave the frequency out of the role")
        .at(place.clone())),
        _ => Ok(Meaning::Value(ValueName {
            frequency: given.or(own),
            ..name
        })),
    }
}
