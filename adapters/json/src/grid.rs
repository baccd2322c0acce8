//! A grid: an axis of θ, an axis of φ, and values by θ and φ; with an axis of frequencies, by frequency, θ and φ.

use crate::json::{Json, Name};
use crate::kind::Kind;
use crate::model::{self, Block};
use crate::names::{FREQUENCY, Known, PHI, THETA};
use crate::shape::Member;
use crate::value::{self, Strict};
use spheresum_core::intake::Intake;
use spheresum_core::intake::text::{Field, Gather, Heading, Role};
use spheresum_core::{Error, Result};
use std::borrow::Cow;

/// An axis: its key and its numbers.
struct Axis<'a> {
    name: &'a Name<'a>,
    numbers: Vec<Field<'a>>,
}

/// Reads a grid.
///
/// # Errors
/// Input, Limit, Ambiguous: with the place of the key or value.
pub(crate) fn read<'a>(
    json: &Json<'a>,
    block: &Block<'_, 'a>,
    parts: &[Member<'a>],
) -> Result<Intake> {
    let known = Known::grid(&block.document.quantity);
    for (name, _) in parts {
        known.check(json, name)?;
    }
    let frequency = match one_of(json, parts, &FREQUENCY, "the frequency")? {
        Some((name, piece)) => Some((axis(json, name, piece, true)?, Kind::of(piece))),
        None => None,
    };
    let theta = needed(json, block, parts, &THETA, "θ")?;
    let phi = needed(json, block, parts, &PHI, "φ")?;
    let mut values: Vec<&Member<'a>> = parts
        .iter()
        .filter(|(name, _)| {
            ![&FREQUENCY[..], &THETA, &PHI]
                .iter()
                .any(|k| k.contains(&name.text.as_ref()))
        })
        .collect();
    values.sort_by_key(|(name, _)| known.rank(&name.text));

    let mut headings = Vec::new();
    let axes: Vec<&Axis<'_>> = frequency
        .iter()
        .map(|(a, _)| a)
        .chain([&theta, &phi])
        .collect();
    for name in axes
        .iter()
        .map(|a| a.name)
        .chain(values.iter().map(|(n, _)| n))
    {
        headings.push(Heading::of(Field::at(&name.text, json.spot(name.piece))));
    }
    let table = model::table(block, headings, json.spot(block.piece));
    let plan = model::plan(json, block, &table)?;
    let context = model::context(json, &table, &plan);

    // One frequency, or none, gives values no level of their own.
    let by_frequency = matches!(frequency, Some((_, Kind::List)));
    let shape = match by_frequency {
        true => axes.as_slice(),
        false => axes.get(axes.len().saturating_sub(2)..).unwrap_or_default(),
    };
    let mut columns = Vec::new();
    for (name, piece) in values {
        let mut pieces = Vec::new();
        flatten(json, piece, shape, &name.text, &mut pieces)?;
        columns.push((name, pieces, json.locator()));
    }
    let mut gather = Gather::new(&context)?;
    let mut at = 0;
    let frequencies: Vec<Option<Field<'_>>> = match &frequency {
        Some((axis, _)) => axis.numbers.iter().copied().map(Some).collect(),
        None => vec![None],
    };
    for frequency in frequencies {
        for theta in &theta.numbers {
            for phi in &phi.numbers {
                let mut line = 0;
                let mut texts: Vec<(Cow<'_, str>, _)> = Vec::with_capacity(columns.len());
                for (index, (name, pieces, locator)) in columns.iter_mut().enumerate() {
                    let Some(piece) = pieces.get(at) else {
                        continue;
                    };
                    let spot = locator.spot(piece);
                    if line == 0 {
                        line = spot.line.number;
                    }
                    let text = value::text(
                        json,
                        piece,
                        &name.text,
                        Role::Cell(index),
                        b'.',
                        Strict::Yes,
                    )?;
                    texts.push((text, spot));
                }
                let mut fields: Vec<Field<'_>> =
                    frequency.into_iter().chain([*theta, *phi]).collect();
                fields.extend(texts.iter().map(|(text, spot)| Field::at(text, *spot)));
                gather.count_line();
                gather.row(&fields, line)?;
                at += 1;
            }
        }
    }
    gather.finish(Vec::new())
}

/// The one part with one of some keys.
fn one_of<'p, 'a>(
    json: &Json<'a>,
    parts: &'p [Member<'a>],
    keys: &[&str],
    what: &str,
) -> Result<Option<(&'p Name<'a>, &'a str)>> {
    let mut found = parts
        .iter()
        .filter(|(name, _)| keys.contains(&name.text.as_ref()));
    match (found.next(), found.next()) {
        (Some((first, _)), Some((second, _))) => Err(json.says_twice(what, first, second)),
        (first, _) => Ok(first.map(|(name, piece)| (name, *piece))),
    }
}

fn needed<'p, 'a>(
    json: &Json<'a>,
    block: &Block<'_, 'a>,
    parts: &'p [Member<'a>],
    keys: &[&str],
    what: &str,
) -> Result<Axis<'p>>
where
    'a: 'p,
{
    match one_of(json, parts, keys, what)? {
        Some((name, piece)) => axis(json, name, piece, false),
        None => Err(Error::input(format!("the block has no {}", keys.join(" or ")))
            .hint("a block is a grid with theta_deg, phi_deg and lists of values, or it has a list of readings")
            .at(json.place(block.piece))),
    }
}

/// The numbers of an axis; where `or_one` allows it, of a number alone.
fn axis<'p, 'a: 'p>(
    json: &Json<'a>,
    name: &'p Name<'a>,
    piece: &'a str,
    or_one: bool,
) -> Result<Axis<'p>> {
    let most = json.limits.max_fields;
    let mut numbers = Vec::new();
    let mut locator = json.locator();
    let mut take = |number: &'a str| {
        let named = |e: Error| match e.place().cloned() {
            Some(place) => e.at(place.with_field(&name.text)),
            None => e,
        };
        json.expect(number, Kind::Number, "a number")
            .map_err(named)?;
        if numbers.len() >= most {
            return Err(
                Error::limit(format!("more than {most} numbers on one axis"))
                    .hint("raise the limit on fields, or list the readings")
                    .at(json.place(number).with_field(&name.text)),
            );
        }
        numbers.push(Field::at(number, locator.spot(number)));
        Ok(())
    };
    if or_one && Kind::of(piece) == Kind::Number {
        take(piece)?;
    } else {
        json.items(piece, "a list of numbers", take)?;
    }
    if numbers.is_empty() {
        return Err(Error::input(format!("the axis {} is empty", name.text))
            .hint("the file may be cut off; export it again")
            .at(json.place(piece).with_field(&name.text)));
    }
    Ok(Axis { name, numbers })
}

/// The values of nested lists in order, whose lengths have to be those of the axes.
fn flatten<'a>(
    json: &Json<'a>,
    piece: &'a str,
    shape: &[&Axis<'_>],
    key: &str,
    values: &mut Vec<&'a str>,
) -> Result<()> {
    let Some((axis, inner)) = shape.split_first() else {
        if values.len() >= json.limits.max_readings {
            return Err(
                Error::limit(format!("more than {} values", json.limits.max_readings))
                    .hint("raise the limit on readings, or split the file")
                    .at(json.place(piece).with_field(key)),
            );
        }
        values.push(piece);
        return Ok(());
    };
    let what = match inner.len() {
        0 => "a list of values over φ",
        1 => "a list of lists, over θ and φ",
        _ => "a list of lists of lists, over frequency, θ and φ",
    };
    let mut count = 0;
    json.items(piece, what, |item| {
        count += 1;
        match count > axis.numbers.len() {
            true => Ok(()),
            false => flatten(json, item, inner, key, values),
        }
    })?;
    if count == axis.numbers.len() {
        return Ok(());
    }
    Err(Error::input(format!(
        "a list of {key} has {count} items, and {} has {}",
        axis.name.text,
        axis.numbers.len()
    ))
    .hint("values nest as the axes do: frequency (where it is a list), θ, φ; write null where one is missing")
    .at(json.place(piece).with_field(key)))
}
