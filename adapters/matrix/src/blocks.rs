//! What each block holds, and which blocks belong together.

use crate::structure::Structure;
use spheresum_core::intake::Source;
use spheresum_core::intake::text::title::{Facts, say_alike};
use spheresum_core::intake::text::{Field, Heading, Meaning, Part, UnitText};
use spheresum_core::{Error, Frequency, Place, Polarisation, Result};
use std::collections::HashMap;

/// What tells blocks apart.
type Key = (Option<Frequency>, Option<Polarisation>, Option<Part>);

/// Value columns of the table, and for each block which is its own.
#[derive(Debug, Default)]
pub(crate) struct Columns<'a> {
    /// The columns.
    pub(crate) headings: Vec<Heading<'a>>,
    /// For each block its column; `None` for one that is left out.
    pub(crate) of_block: Vec<Option<usize>>,
}

/// The value columns that the titles name; `nameless` stands for values without any words.
///
/// # Errors
/// Input: one polarisation in two units.
pub(crate) fn columns<'a>(
    structure: &Structure<'a>,
    facts: &[Facts<'a>],
    nameless: &Heading<'a>,
    source: &Source,
) -> Result<Columns<'a>> {
    let mut found = Columns::default();
    for (block, facts) in structure.blocks.iter().zip(facts) {
        let has_words = facts.name.is_some() || facts.polarisation.is_some();
        let heading = match nameless.meaning {
            Meaning::Unknown => facts.heading(Field::at(nameless.text(), block.corner())),
            _ if has_words => facts.heading(nameless.field),
            // The option `column` says what it is.
            _ => nameless.clone(),
        };
        if heading.meaning == Meaning::Ignore {
            found.of_block.push(None);
            continue;
        }
        let same = found
            .headings
            .iter()
            .position(|h| h.meaning == heading.meaning);
        match same.and_then(|at| found.headings.get(at)) {
            Some(first) if first.unit != heading.unit => {
                let symbol = |unit: &UnitText| unit.known().map_or("none", |u| u.symbol());
                return Err(Error::input(format!(
                    "the unit is {} here, and {} in line {}",
                    symbol(&heading.unit),
                    symbol(&first.unit),
                    first.field.spot.map_or(0, |s| s.line.number)
                ))
                .hint("all blocks of one polarisation are in one unit")
                .at(heading.field.place(source)));
            }
            Some(_) => found.of_block.push(same),
            None => {
                found.of_block.push(Some(found.headings.len()));
                found.headings.push(heading);
            }
        }
    }
    Ok(found)
}

/// A block, or the two of a complex field, with the same frequency and polarisation.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Group {
    /// The block, or that of the real part.
    pub(crate) first: usize,
    /// The block of the imaginary part.
    pub(crate) imaginary: Option<usize>,
}

/// The blocks in groups.
///
/// # Errors
/// Input: a block that repeats another; a part of a field without the other; a block that leaves out what others say.
pub(crate) fn groups(
    structure: &Structure<'_>,
    facts: &[Facts<'_>],
    columns: &Columns<'_>,
    source: &Source,
) -> Result<Vec<Group>> {
    let used =
        || (0..facts.len()).filter(|b| columns.of_block.get(*b).copied().flatten().is_some());
    let place = |block: usize| place(structure, block, source);
    say_alike(facts, used, "frequency", place, |f| f.frequency)?;
    say_alike(facts, used, "polarisation", place, |f| f.polarisation)?;
    say_alike(facts, used, "part of the field", place, |f| f.part)?;
    let mut blocks: HashMap<Key, usize> = HashMap::new();
    let key = |block: usize, part| -> Key {
        let facts = facts.get(block);
        (
            facts.and_then(|f| f.frequency).map(|f| f.value),
            facts.and_then(|f| f.polarisation).map(|p| p.value),
            part,
        )
    };
    let part = |block: usize| facts.get(block).and_then(|f| f.part).map(|p| p.value);
    for block in used() {
        facts
            .get(block)
            .map_or(Ok(()), |f| f.refuse_channel(source))?;
        let Some(first) = blocks.insert(key(block, part(block)), block) else {
            continue;
        };
        let line = structure.blocks.get(first).map_or(0, |b| b.line.number);
        return Err(Error::input(format!(
            "the block{} was there already, with its labels in line {line}",
            describe(key(block, part(block)))
        ))
        .hint(
            "say in each title what the block holds: polarisation, frequency, and part of a field; what was measured twice belongs \
             into two files",
        )
        .at(place(block)));
    }
    let mut found = Vec::new();
    for block in used() {
        let other = match part(block) {
            None => None,
            Some(Part::Re) => Some(Part::Im),
            Some(Part::Im) => Some(Part::Re),
        };
        let partner = other.and_then(|other| blocks.get(&key(block, Some(other))).copied());
        match (part(block), partner) {
            (None, _) | (Some(Part::Re), Some(_)) => found.push(Group {
                first: block,
                imaginary: partner,
            }),
            (Some(Part::Im), Some(_)) => {}
            (Some(part), None) => {
                let (has, lacks) = match part {
                    Part::Re => ("real", "imaginary"),
                    Part::Im => ("imaginary", "real"),
                };
                return Err(Error::input(format!(
                    "there is a {has} part{}, and no {lacks} part",
                    describe(key(block, None))
                ))
                .hint("give a block for both parts of each polarisation and frequency")
                .at(place(block)));
            }
        }
    }
    Ok(found)
}

/// ` (theta, 868.3 MHz, re)`, or nothing.
fn describe((frequency, polarisation, part): Key) -> String {
    let parts: Vec<String> = [
        polarisation.map(|p| p.to_string()),
        frequency.map(|f| f.to_string()),
        part.map(|p| if p == Part::Re { "re" } else { "im" }.to_string()),
    ]
    .into_iter()
    .flatten()
    .collect();
    match parts.is_empty() {
        true => String::new(),
        false => format!(" of {}", parts.join(", ")),
    }
}

/// Where a block starts: the first fact of its title, or its labels.
fn place(structure: &Structure<'_>, block: usize, source: &Source) -> Place {
    let Some(found) = structure.blocks.get(block) else {
        return Place::in_source(source.name());
    };
    let said = found.title.iter().find(|s| s.said.is_fact());

    said.map_or_else(
        || source.place(found.line, 0, found.line.text.len()),
        |s| s.field.place(source),
    )
}
