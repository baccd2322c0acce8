//! The columns that the records of a file share: the union of their keys, in the order in which they first appear.

use crate::line::Pair;
use crate::records::{Part, walk};
use crate::shape::Shape;
use crate::value::{is_same_unit, joint, parts};
use spheresum_core::intake::Source;
use spheresum_core::intake::source::Line;
use spheresum_core::intake::text::{
    Clip, Entries, Entry, Field, Heading, Key, Meaning, Role, Spot, Table, Unit, classify, settle,
};
use spheresum_core::{Error, Limits, Result};
use std::collections::HashMap;

/// The columns, by name and in order.
#[derive(Debug, Default)]
pub(crate) struct Columns<'a> {
    by_name: HashMap<String, usize>,
    all: Vec<Column<'a>>,
    /// Entries of the head, and settings wherever they stand.
    entries: Vec<Entry<'a>>,
    /// Settings in records, each once.
    settings: Vec<Entry<'a>>,
    /// The first line of the first record.
    first: Option<Line<'a>>,
    records: u64,
}

/// One column.
#[derive(Debug)]
struct Column<'a> {
    /// Its key where it first stands.
    key: Field<'a>,
    /// The unit behind its first number, empty where there is none.
    unit: Option<Field<'a>>,
    /// The decimal sign of its first number that has one, and the line of that.
    sign: Option<(u64, u8)>,
    /// Where a unit is another one, and what is wrong.
    conflict: Option<(Spot<'a>, String)>,
    /// The last record that has it, and its line there.
    last: (u64, u64),
}

/// True for a key that sets something for the whole file wherever it stands.
fn is_setting(pair: &Pair<'_>) -> bool {
    matches!(
        pair.entry().known(),
        Some(Key::Quantity | Key::Unit | Key::Angles | Key::Time | Key::Rows)
    )
}

impl<'a> Columns<'a> {
    /// Collects the columns of a source.
    ///
    /// # Errors
    /// Input: a key twice in a record, several keys in a line. Those of the walk.
    pub(crate) fn of(source: &'a Source, shape: &Shape, limits: &Limits) -> Result<Self> {
        let mut columns = Self::default();
        walk(source, shape, limits, &mut |part| {
            match part {
                Part::Entry(entry) if columns.first.is_none() => {
                    Entries::keep(&mut columns.entries, entry)
                }
                Part::Entry(_) => {}
                Part::Head(pairs) => columns.entries.extend(pairs.iter().map(Pair::entry)),
                Part::Record(pairs) => columns.record(pairs, source)?,
            }
            Ok(())
        })?;
        Ok(columns)
    }

    /// Index of the column of a key.
    pub(crate) fn index(&self, name: &str) -> Option<usize> {
        self.by_name.get(name).copied()
    }

    /// Number of columns.
    pub(crate) fn len(&self) -> usize {
        self.all.len()
    }

    fn record(&mut self, pairs: &[Pair<'a>], source: &Source) -> Result<()> {
        self.records += 1;
        for pair in pairs {
            self.first.get_or_insert(pair.line);
            // A key that has a column keeps it.
            let name = pair.name();
            let known = self.index(&name);
            if known.is_some() || !is_setting(pair) {
                let at = known.unwrap_or_else(|| self.add(name, pair));
                self.pair(at, pair, source)?;
                continue;
            }
            let entry = pair.entry();
            let is_known = |e: &Entry<'_>| e.key == entry.key && e.value == entry.value;
            if !self.settings.iter().any(is_known) {
                self.settings.push(entry);
                // A second value is refused here, before there are many.
                entries(&self.settings, source)?;
                self.entries.push(entry);
            }
        }
        Ok(())
    }

    /// Adds a column for a key.
    fn add(&mut self, name: String, pair: &Pair<'a>) -> usize {
        let at = self.all.len();
        self.by_name.insert(name, at);
        self.all.push(Column {
            key: Field::of(pair.line, pair.key.0, pair.key.1),
            unit: None,
            sign: None,
            conflict: None,
            last: (0, 0),
        });
        at
    }

    fn pair(&mut self, at: usize, pair: &Pair<'a>, source: &Source) -> Result<()> {
        if pair.value_text().contains('=') && classify(pair.key_text()).0 != Meaning::Unknown {
            return Err(Error::input("several keys in one line")
                .hint("write each key in a line of its own")
                .at(source
                    .place(pair.line, pair.value.0, pair.value.1)
                    .with_field(pair.key_text())));
        }
        let Some(column) = self.all.get_mut(at) else {
            return Ok(());
        };
        if column.last.0 == self.records {
            return Err(Error::input(format!(
                "{} stands twice in this record, first in line {}",
                Clip(pair.key_text()),
                column.last.1
            ))
            .hint("part records by blank lines, [reading 12], --- or braces, the same way in the whole file")
            .at(source.place(pair.line, pair.key.0, pair.key.1).with_field(pair.key_text())));
        }
        column.last = (self.records, pair.line.number);
        column.see_value(pair);
        Ok(())
    }

    /// The table of the columns.
    ///
    /// # Errors
    /// Input: entries that contradict each other.
    pub(crate) fn table(&self, source: &Source) -> Result<Table<'a>> {
        let spot = self.first.map(Spot::whole);
        let headings = self.all.iter().map(Column::heading).collect();
        Ok(Table::new(entries(&self.entries, source)?, headings, spot))
    }

    /// The decimal sign of the first number that has one, in the columns that hold numbers.
    pub(crate) fn first_sign(&self, roles: &[Role]) -> Option<u8> {
        let used = self
            .all
            .iter()
            .zip(roles)
            .filter(|(_, r)| holds_numbers(**r));
        used.filter_map(|(c, _)| c.sign).min().map(|(_, sign)| sign)
    }

    /// Refuses units that are not the same everywhere, or none, in the columns that are used.
    ///
    /// # Errors
    /// Input.
    pub(crate) fn check_units(&self, roles: &[Role], source: &Source) -> Result<()> {
        for (column, role) in self.all.iter().zip(roles) {
            if !holds_numbers(*role) {
                continue;
            }
            if let Some((spot, message)) = &column.conflict {
                return Err(Error::input(message.clone())
                    .hint("write one unit for each key, the same in all records: nothing is converted from record to record")
                    .at(spot.place(source).with_field(column.key.text)));
            }
            if let Some(unit) = column
                .unit
                .filter(|u| !u.text.is_empty() && Unit::parse_exact(u.text).is_none())
            {
                return Err(Error::input(format!("{:?} is not a unit", Clip(unit.text)))
                    .hint("units: deg, rad; Hz, kHz, MHz, GHz; dBm, dBW, W, mW, µW; dBi, dB, 1; sqrtW, V")
                    .at(unit.place(source).with_field(column.key.text)));
            }
        }
        Ok(())
    }
}

fn holds_numbers(role: Role) -> bool {
    role.is_number()
}

/// The entries, sorted by key.
fn entries<'a>(all: &[Entry<'a>], source: &Source) -> Result<Entries<'a>> {
    let mut entries = Entries::default();
    entries.all.extend_from_slice(all);
    entries.index(source)?;
    Ok(entries)
}

impl<'a> Column<'a> {
    /// Sees the decimal sign of a value, and the unit behind it.
    fn see_value(&mut self, pair: &Pair<'a>) {
        let value = pair.value_text();
        let found = parts(value);
        if self.sign.is_none() {
            self.sign = settle::sign_of(found.number).map(|s| (pair.line.number, s));
        }
        if !found.is_number && found.unit.is_empty() || self.conflict.is_some() {
            return;
        }
        let start = value
            .rfind(found.unit)
            .map_or(pair.value.1, |at| pair.value.0 + at);
        let unit = match found.unit {
            "" => Field::of(pair.line, pair.value.1, pair.value.1),
            text => Field::at(text, Spot::new(pair.line, start, start + text.len())),
        };
        let Some(first) = self.unit else {
            self.unit = Some(unit);
            self.conflict = self.against_key(unit);
            return;
        };
        if !is_same_unit(first.text, unit.text) {
            let line = first.spot.map_or(0, |s| s.line.number);
            let has = |text: &str| match text {
                "" => "no unit".to_string(),
                text => format!("the unit {}", Clip(text)),
            };
            let message = format!(
                "{} has {} here, and {} in line {line}",
                Clip(self.key.text),
                has(unit.text),
                has(first.text)
            );
            self.conflict = Some((Spot::new(pair.line, pair.value.0, pair.value.1), message));
        }
    }

    /// A unit behind a value that is not the one in its key.
    fn against_key(&self, unit: Field<'a>) -> Option<(Spot<'a>, String)> {
        let own = classify(self.key.text).1.known()?;
        let differs = !unit.text.is_empty() && Unit::parse_exact(unit.text) != Some(own);
        let message = || {
            format!(
                "{} has the unit {} behind its value, and {} in its name",
                Clip(self.key.text),
                Clip(unit.text),
                own.symbol()
            )
        };
        unit.spot.filter(|_| differs).map(|spot| (spot, message()))
    }

    /// The heading: what the key means together with the unit behind its values.
    fn heading(&self) -> Heading<'a> {
        let (meaning, unit) = joint(self.key.text, self.unit.map_or("", |u| u.text));
        Heading::new(self.key, meaning, unit)
    }
}
