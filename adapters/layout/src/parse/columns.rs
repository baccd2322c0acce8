//! `[[column]]`: where the columns stand, and what they are.

use crate::layout::{Column, Kind, Pick, Role, TextRules};
use crate::parse::role;
use crate::parse::section::Section;
use crate::said::{Said, line_of};
use spheresum_core::intake::text::Meaning;
use spheresum_core::unit::frequency::FrequencyUnit;
use spheresum_core::{Error, Frequency, Place, Result};

/// Most columns of a layout, and the last character of a range.
const MOST: (usize, u64) = (4096, 65_536);

/// Reads the columns.
///
/// # Errors
/// Input.
pub(crate) fn columns(root: &Section<'_>, kind: Kind, text: &TextRules) -> Result<Vec<Column>> {
    let sections = root.sections("column")?;
    if let (Kind::Matrix, Some(first)) = (kind, sections.first()) {
        return Err(Error::input("a matrix has no [[column]]")
            .hint("say in [matrix] what row_axis, column_axis and values are")
            .at(first.place()));
    }
    if let Some(beyond) = sections.get(MOST.0) {
        return Err(Error::limit(format!("more than {} columns", MOST.0))
            .hint("describe those that are needed; the others are left out")
            .at(beyond.place()));
    }
    let mut columns: Vec<Column> = Vec::new();
    for section in sections {
        let column = column(&section, kind, text)?;
        if let Some(first) = columns.iter().find(|c| overlap(&c.pick, &column.pick)) {
            return Err(Error::input("two columns stand in one place")
                .hint(format!(
                    "the other is described in {}",
                    line_of(&first.place)
                ))
                .at(column.place));
        }
        columns.push(column);
    }
    Ok(columns)
}

fn column(section: &Section<'_>, kind: Kind, text: &TextRules) -> Result<Column> {
    section.only(&["heading", "number", "from", "to", "is", "frequency_mhz"])?;
    let (pick, place) = pick(section, kind, text)?;
    let said = section
        .text("is")?
        .ok_or_else(|| section.lacks("is", "\"eirp_theta_dbm\" (or what else it is)"))?;
    let mut role = role::with_unit(role::role(&said)?, &said)?;
    if let Some(frequency) = frequency(section)? {
        give(&mut role, &said, frequency)?;
    }
    if let Pick::Heading(heading) = &pick
        && !role.take_frequency_of(heading)
    {
        return Err(Error::input(format!(
            "the heading {heading:?} names another frequency than the layout gives it"
        ))
        .hint("leave frequency_mhz out: the heading has it")
        .at(said.place));
    }
    Ok(Column { pick, role, place })
}

/// Where the column stands, by exactly one of the three ways.
fn pick(section: &Section<'_>, kind: Kind, text: &TextRules) -> Result<(Pick, Place)> {
    let heading = section.text("heading")?;
    let number = section.count("number", MOST.1)?;
    let from = section.count("from", MOST.1)?;
    let to = section.count("to", MOST.1)?;
    let ways = usize::from(heading.is_some())
        + usize::from(number.is_some())
        + usize::from(from.is_some() || to.is_some());
    if ways != 1 {
        let message = if ways == 0 {
            "nothing says where the column stands"
        } else {
            "the column's place is given in two ways"
        };
        let ways = if kind == Kind::Fixed {
            "from = 1 and to = 8, in characters"
        } else {
            "heading = \"…\", or number = 3"
        };
        return Err(Error::input(message)
            .hint(format!("write {ways}"))
            .at(section.place()));
    }
    if let (Some(heading), _) = (&heading, ()) {
        if kind == Kind::Fixed {
            return Err(by_characters(&heading.place));
        }
        if !text.heading_line {
            return Err(
                Error::input("a column by its heading, and the file has no heading line")
                    .hint("give its number = …, or take heading_line = false away")
                    .at(heading.place.clone()),
            );
        }
        if heading.value.trim().is_empty() {
            return Err(Error::input("the heading is empty")
                .hint("give the column's number = … instead")
                .at(heading.place.clone()));
        }
        return Ok((
            Pick::Heading(heading.value.trim().to_string()),
            heading.place.clone(),
        ));
    }
    if let Some(number) = number {
        if kind == Kind::Fixed {
            return Err(by_characters(&number.place));
        }
        return match usize::try_from(number.value) {
            Ok(n) if n > 0 => Ok((Pick::Number(n), number.place)),
            _ => Err(Error::input("columns are counted from 1")
                .hint("the first column is number = 1")
                .at(number.place)),
        };
    }
    range(section, kind, from, to)
}

fn by_characters(place: &Place) -> Error {
    Error::input("fixed columns are given by their characters")
        .hint(
            "write from = 1 and to = 8, counted from 1, both included; or choose kind = \"table\"",
        )
        .at(place.clone())
}

fn range(
    section: &Section<'_>,
    kind: Kind,
    from: Option<Said<u64>>,
    to: Option<Said<u64>>,
) -> Result<(Pick, Place)> {
    let (Some(from), Some(to)) = (from, to) else {
        return Err(Error::input("a range of characters needs both from and to")
            .hint("write from = 1 and to = 8, counted from 1, both included")
            .at(section.place()));
    };
    if kind != Kind::Fixed {
        return Err(Error::input(format!(
            "from and to belong to kind = \"fixed\", and this is {}",
            kind.word()
        ))
        .hint("give the column's heading or number, or choose kind = \"fixed\"")
        .at(from.place));
    }
    match (usize::try_from(from.value), usize::try_from(to.value)) {
        (Ok(a), Ok(b)) if a > 0 && a <= b => Ok((Pick::Range(a, b), from.place)),
        _ => Err(Error::input(format!(
            "{} to {} is no range of characters",
            from.value, to.value
        ))
        .hint("characters are counted from 1, and from is not behind to")
        .at(from.place)),
    }
}

fn overlap(a: &Pick, b: &Pick) -> bool {
    match (a, b) {
        (Pick::Heading(a), Pick::Heading(b)) => a.to_lowercase() == b.to_lowercase(),
        (Pick::Number(a), Pick::Number(b)) => a == b,
        (Pick::Range(a, b), Pick::Range(c, d)) => a <= d && c <= b,
        _ => false,
    }
}

/// The frequency of a column of its own.
fn frequency(section: &Section<'_>) -> Result<Option<Said<Frequency>>> {
    let Some(said) = section.decimal("frequency_mhz")? else {
        return Ok(None);
    };
    match Frequency::parse(&said.value, FrequencyUnit::Mhz) {
        Some(frequency) => Ok(Some(said.map(|_| frequency))),
        None => Err(no_frequency(&said)),
    }
}

/// The error of a number that is no frequency.
pub(crate) fn no_frequency(said: &Said<String>) -> Error {
    Error::input(format!("{} is not a frequency", said.value))
        .hint("a frequency is above 0 and below 18.4 THz")
        .at(said.place.clone())
}

fn give(role: &mut Role, said: &Said<&str>, frequency: Said<Frequency>) -> Result<()> {
    match &mut role.meaning {
        Meaning::Value(name) => {
            name.frequency = Some(frequency.value);
            Ok(())
        }
        _ => Err(Error::input(format!(
            "a frequency for {}, which holds no values",
            said.value
        ))
        .hint("frequency_mhz in a column says at which frequency its values are")
        .at(frequency.place)),
    }
}
