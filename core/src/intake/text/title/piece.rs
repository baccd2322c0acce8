//! One piece of a title: what it says.

use super::{Said, Statement};
use crate::intake::source::Line;
use crate::intake::text::entries::{Entry, Key};
use crate::intake::text::field;
use crate::intake::text::meaning::{Meaning, UnitText, classify};
use crate::intake::text::number;
use crate::intake::text::table::{Field, Heading};
use crate::intake::text::unit::Unit;
use crate::intake::text::word::{Guess, is_polarisation_guess};

/// Words that number a block and say nothing of it.
const LABELS: &[&str] = &["block", "table", "matrix", "title", "data", "cut"];
/// Words in front of a fixed angle that add nothing.
const OF_FIXED: &[&str] = &["cut", "at", "fixed"];
/// Most pieces of one line; what stands behind them is not looked at.
const MOST: usize = 64;

/// The pieces of a part of a line that are not empty, without ornament and quotes around them.
pub(super) fn split(line: Line<'_>, start: usize, end: usize) -> Vec<Field<'_>> {
    let bytes = line.text.as_bytes();
    let digit = |at: Option<&u8>| at.is_some_and(u8::is_ascii_digit);
    let mut pieces = Vec::new();
    let mut from = start;
    let mut depth = 0_usize;
    for at in start..=end {
        let ends = match bytes.get(at) {
            _ if at == end => true,
            Some(b'(' | b'[') => {
                depth += 1;
                false
            }
            Some(b')' | b']') => {
                depth = depth.saturating_sub(1);
                false
            }
            Some(b';' | b'|' | b'\t') => depth == 0,
            // A comma between digits is a decimal sign.
            Some(b',') => {
                depth == 0 && !(digit(bytes.get(at + 1)) && at > start && digit(bytes.get(at - 1)))
            }
            _ => false,
        };
        if !ends {
            continue;
        }
        let piece = bare(Field::of(line, from, at));
        if !piece.text.is_empty() && pieces.len() < MOST {
            pieces.push(piece);
        }
        from = at + 1;
    }
    pieces
}

/// A field without blanks, quotes and ornament such as `===` around it.
fn bare(field: Field<'_>) -> Field<'_> {
    let ornament = |c: char| c.is_whitespace() || matches!(c, '=' | '*' | '~' | '"');
    let mut text = field.text.trim_matches(ornament);
    if text.starts_with("--") || text.ends_with("--") {
        text = text.trim_matches(|c: char| ornament(c) || c == '-');
    }
    part(field, text)
}

/// A part of a field, which has to be a slice of its text.
fn part<'a>(field: Field<'a>, text: &'a str) -> Field<'a> {
    let Some(spot) = field.spot else {
        return Field::constant(text);
    };
    let offset = (text.as_ptr() as usize).saturating_sub(field.text.as_ptr() as usize);
    let start = spot.start + offset.min(field.text.len());
    Field::of(spot.line, start, start + text.len())
}

/// Key and value of a piece.
fn key_and_value(piece: Field<'_>) -> Option<(&str, Field<'_>)> {
    let at = piece.text.find([':', '='])?;
    let (key, value) = (piece.text.get(..at)?.trim(), piece.text.get(at + 1..)?);
    let of_key =
        |c: char| c.is_alphanumeric() || matches!(c, ' ' | '_' | '-' | '[' | ']' | '(' | ')' | '°');
    let is_key = key.starts_with(char::is_alphabetic) && key.chars().all(of_key);
    is_key.then(|| (key, part(piece, value.trim())))
}

/// A key that numbers a block: `Cut 3`, `Block`.
fn is_label(key: &str) -> bool {
    let mut words = key.split_whitespace();
    let first = words.next().unwrap_or_default().to_lowercase();
    LABELS.contains(&first.as_str()) && words.all(|w| w.bytes().all(|b| b.is_ascii_digit()))
}

/// The name of a fixed angle without words that add nothing.
fn angle_name(mut key: &str) -> &str {
    while let Some((first, behind)) = key.split_once(' ')
        && OF_FIXED.contains(&first.to_lowercase().as_str())
    {
        key = behind.trim_start();
    }
    key
}

/// The whole body as an entry, where its first piece is a `key: value` that means nothing here.
pub(super) fn remark<'a>(piece: Field<'a>, line: Line<'a>, body: &'a str) -> Option<Entry<'a>> {
    let (key, value) = key_and_value(piece)?;
    match keyed(key, value, line) {
        Some(Said::Entry(entry)) if entry.known().is_none() => {
            let (_, value) = body.split_once([':', '='])?;
            let value = value.trim();
            Some(Entry { key, value, line })
        }
        _ => None,
    }
}

/// A name in one piece, and its value in the next.
pub(super) fn pair<'a>(name: Field<'a>, value: Field<'a>, line: Line<'a>) -> Option<Statement<'a>> {
    if key_and_value(name).is_some() || key_and_value(value).is_some() {
        return None;
    }
    let said = keyed(name.text, value, line)?;
    let fits = match &said {
        Said::Values(_) | Said::Label | Said::Remark => false,
        Said::Polarisation | Said::Axis { .. } => true,
        Said::Entry(entry) => entry.known().is_some(),
        Said::Frequency(_) | Said::Channel | Said::Count(_) => {
            value.text.starts_with(|c: char| c.is_ascii_digit())
        }
        Said::Angle(_) => is_angle(value.text),
    };
    fits.then_some(Statement { said, field: value })
}

/// A number, with or without a unit of angles behind it.
fn is_angle(text: &str) -> bool {
    field::number_and_unit(text).is_some_and(|(number, unit)| {
        let is_number = [b'.', b',']
            .iter()
            .any(|d| number::whole(number, *d).is_some());
        is_number && (unit.is_empty() || matches!(Unit::parse(unit), Some(Unit::Deg | Unit::Rad)))
    })
}

/// What a key and its value say; `None` for a key that numbers a block.
fn keyed<'a>(key: &'a str, value: Field<'a>, line: Line<'a>) -> Option<Said<'a>> {
    let entry = Entry {
        key,
        value: value.text,
        line,
    };
    let lower = key.to_lowercase();
    match lower.as_str() {
        "row axis" => return Some(Said::Axis { rows: true }),
        "column axis" => return Some(Said::Axis { rows: false }),
        "columns" => return Some(Said::Count(key)),
        "part" | "component" if parted(value).is_some() => {
            return parted(value).map(Said::Values);
        }
        _ => {}
    }
    match entry.known() {
        Some(Key::Frequency) => return Some(Said::Frequency(classify(key).1)),
        Some(Key::Polarisation) => return Some(Said::Polarisation),
        Some(Key::Rows) => return Some(Said::Count(key)),
        Some(_) => return Some(Said::Entry(entry)),
        None => {}
    }
    if is_label(key) {
        return None;
    }
    let name = angle_name(key);
    let (meaning, unit) = classify(name);
    Some(match meaning {
        Meaning::Theta | Meaning::Phi | Meaning::Guess(Guess::Elevation | Guess::Azimuth)
            if is_angle(value.text) =>
        {
            let name = Field {
                text: name,
                spot: value.spot,
            };
            Said::Angle(Heading::new(name, meaning, unit))
        }
        Meaning::Guess(Guess::Channel) => Said::Channel,
        _ => Said::Entry(entry),
    })
}

/// `re`, `imaginary part`: a part of a field.
fn parted(text: Field<'_>) -> Option<Heading<'_>> {
    let words = text.text.split_whitespace();
    let words: Vec<&str> = words.filter(|w| !w.eq_ignore_ascii_case("part")).collect();
    let (meaning, unit) = classify(&words.join(" "));
    let is_part = matches!(meaning, Meaning::Value(v) if v.part.is_some());
    is_part.then(|| Heading::new(text, meaning, unit))
}

/// What a piece says.
pub(super) fn say<'a>(piece: Field<'a>, line: Line<'a>, found: &mut Vec<Statement<'a>>) {
    if let Some((key, value)) = key_and_value(piece) {
        match keyed(key, value, line) {
            Some(said) => found.push(Statement { said, field: value }),
            None if key_and_value(value).is_some_and(|(k, _)| is_label(k)) => {}
            None => say(value, line, found),
        }
        return;
    }
    // `EIRP theta at 868.3 MHz`.
    for sign in [" at ", " @ "] {
        if let Some((left, right)) = piece.text.split_once(sign)
            && let Some(frequency) = frequency(part(piece, right.trim()))
            && let Some(values) = values(part(piece, left.trim()))
        {
            found.extend([values, frequency]);
            return;
        }
    }
    let said = frequency(piece)
        .or_else(|| spaced(piece, line))
        .or_else(|| values(piece));
    let is_numbered = piece.text.ends_with(|c: char| c.is_ascii_digit()) && is_label(piece.text);
    found.push(said.unwrap_or(Statement {
        said: if is_numbered {
            Said::Label
        } else {
            Said::Remark
        },
        field: piece,
    }));
}

/// `868.3 MHz`.
fn frequency(piece: Field<'_>) -> Option<Statement<'_>> {
    let (_, unit) = field::number_and_unit(piece.text)?;
    matches!(Unit::parse(unit), Some(Unit::Frequency(_))).then_some(Statement {
        said: Said::Frequency(UnitText::None),
        field: piece,
    })
}

/// `phi 30 deg`, `Frequency 868.3 MHz`: a name and a number with blanks between them.
fn spaced<'a>(piece: Field<'a>, line: Line<'a>) -> Option<Statement<'a>> {
    let at = piece.text.match_indices(' ').map(|(at, _)| at).find(|at| {
        let behind = piece.text[at + 1..].trim_start();
        let digits = behind.strip_prefix(['-', '+']).unwrap_or(behind);
        digits.starts_with(|c: char| c.is_ascii_digit())
    })?;
    let (name, value) = (piece.text[..at].trim(), piece.text[at..].trim());
    let value = part(piece, value);
    match keyed(name, value, line)? {
        said @ (Said::Angle(_) | Said::Channel) => Some(Statement { said, field: value }),
        Said::Frequency(unit) if unit.known().is_some() || frequency(value).is_some() => {
            let said = Said::Frequency(unit);
            Some(Statement { said, field: value })
        }
        _ => None,
    }
}

/// `EIRP theta [dBm]`, `phi`, `imaginary part`: what a heading says of values.
fn values(piece: Field<'_>) -> Option<Statement<'_>> {
    let is_number = piece.text.bytes().all(|b| b.is_ascii_digit());
    if is_polarisation_guess(piece.text) && !is_number {
        return Some(Statement {
            said: Said::Polarisation,
            field: piece,
        });
    }
    let (meaning, unit) = classify(piece.text);
    let said = match meaning {
        Meaning::Theta | Meaning::Phi if unit == UnitText::None => Said::Polarisation,
        Meaning::Value(_) | Meaning::Guess(Guess::Polarisation | Guess::Erp) => {
            Said::Values(Heading::new(piece, meaning, unit))
        }
        // `EIRP theta 868.3`, and no bare number.
        Meaning::Guess(Guess::ColumnFrequency) if piece.text.starts_with(char::is_alphabetic) => {
            Said::Values(Heading::new(piece, meaning, unit))
        }
        _ => Said::Values(parted(piece)?),
    };
    Some(Statement { said, field: piece })
}
