//! The columns of all cuts together: both angles, and every other column that some cut has.

use crate::fixed::Fixed;
use crate::heading::{Angle, Names};
use crate::structure::Structure;
use spheresum_core::intake::Source;
use spheresum_core::intake::source::Line;
use spheresum_core::intake::text::{Clip, Entries, Guess, Heading, Meaning, Spot, Table, UnitText};
use spheresum_core::{Error, Limits, Result};
use std::collections::HashMap;

/// Columns of the table.
#[derive(Debug)]
pub(crate) struct Columns<'a> {
    /// θ, φ, and the other columns in the order in which they are first there.
    pub(crate) headings: Vec<Heading<'a>>,
    /// For each line of headings the index of each of its columns above.
    pub(crate) of_names: Vec<Vec<usize>>,
    /// For each line of headings its running angle.
    pub(crate) running: Vec<Angle>,
}

/// The columns of all lines of headings, and of the fixed angles.
///
/// # Errors
/// Input: a table of directions; a fixed angle that is the running one, or is missing; an angle written in two ways. Limit.
pub(crate) fn columns<'a>(
    structure: &Structure<'a>,
    fixed: &[Option<Fixed<'a>>],
    source: &Source,
    limits: &Limits,
) -> Result<Columns<'a>> {
    let mut running = Vec::with_capacity(structure.names.len());
    for names in &structure.names {
        running.push(running_of(names, source)?);
        let table = Table::new(
            Entries::default(),
            names.headings.clone(),
            Some(Spot::whole(names.line)),
        );
        table.refuse_repeats(source)?;
    }
    let mut angles: [Option<Heading<'a>>; 2] = [None, None];
    for (cut, fixed) in structure.cuts.iter().zip(fixed) {
        let Some((names, angle)) = structure.names.get(cut.names).zip(running.get(cut.names))
        else {
            continue;
        };
        let Some(fixed) = fixed else {
            return Err(without_fixed(cut.line, *angle, source));
        };
        if fixed.angle == *angle {
            return Err(Error::input(format!(
                "{} is fixed, and the rows run along {} as well ({} in line {})",
                angle.letter(),
                angle.letter(),
                names
                    .running()
                    .and_then(|(at, _)| names.headings.get(at))
                    .map_or("", Heading::text),
                names.line.number
            ))
            .hint(format!(
                "a cut fixes one angle and runs along the other: correct the name of one, {} or {}",
                angle.letter(),
                angle.other().letter()
            ))
            .at(fixed.number.place(source)));
        }
        let own = names.running().and_then(|(at, _)| names.headings.get(at));
        for (angle, heading) in own
            .map(|h| (*angle, h))
            .into_iter()
            .chain([(fixed.angle, &fixed.heading)])
        {
            let slot = &mut angles[angle as usize];
            match slot {
                Some(first) => refuse_other_writing(first, heading, angle, source)?,
                None => *slot = Some(heading.clone()),
            }
        }
    }
    let [Some(theta), Some(phi)] = angles else {
        return Err(Error::usage("a file without cuts"));
    };
    let mut found = Columns {
        headings: vec![theta, phi],
        of_names: Vec::with_capacity(structure.names.len()),
        running,
    };
    let mut known: HashMap<String, usize> = HashMap::new();
    for (names, angle) in structure.names.iter().zip(&found.running) {
        let own = names.running().map(|(at, _)| at);
        let mut indices = Vec::with_capacity(names.headings.len());
        for (at, heading) in names.headings.iter().enumerate() {
            if Some(at) == own {
                indices.push(*angle as usize);
                continue;
            }
            let index = known
                .entry(heading.text().to_lowercase())
                .or_insert_with(|| {
                    found.headings.push(heading.clone());
                    found.headings.len() - 1
                });
            indices.push(*index);
        }
        if found.headings.len() > limits.max_fields {
            return Err(
                Error::limit(format!("more than {} different columns", limits.max_fields))
                    .hint("raise the limit on fields, or check that these are cuts of readings")
                    .at(source.place(names.line, 0, names.line.text.len())),
            );
        }
        found.of_names.push(indices);
    }
    refuse_gaps(structure, &found, source)?;
    Ok(found)
}

/// Refuses headings without the frequency or the polarisation that others have: their rows would have none.
fn refuse_gaps(structure: &Structure<'_>, found: &Columns<'_>, source: &Source) -> Result<()> {
    for (at, heading) in found.headings.iter().enumerate() {
        if !matches!(heading.meaning, Meaning::Frequency | Meaning::Polarisation) {
            continue;
        }
        let lacks = found
            .of_names
            .iter()
            .position(|indices| !indices.contains(&at));
        if let Some(names) = lacks.and_then(|at| structure.names.get(at)) {
            return Err(Error::input(format!(
                "the headings have no column {}, and those of line {} have",
                Clip(heading.text()),
                heading.field.spot.map_or(0, |s| s.line.number)
            ))
            .hint("give the rows of all cuts such a column, or none, and say it in the titles")
            .at(source.place(names.line, 0, names.line.text.len())));
        }
    }
    Ok(())
}

/// The running angle of a line of headings.
fn running_of(names: &Names<'_>, source: &Source) -> Result<Angle> {
    let mut angles = names.angles();
    let first = angles.next();
    let second = angles.find(|(_, angle)| first.is_some_and(|(_, a)| a != *angle));
    match (first, second) {
        (Some((_, angle)), None) => Ok(angle),
        (_, second) => {
            let heading = second.and_then(|(at, _)| names.headings.get(at));
            let place = heading.map_or_else(
                || source.place(names.line, 0, names.line.text.len()),
                |h| h.field.place(source),
            );
            Err(Error::input(
                "the headings name both angles: this is a table of directions, and no cut",
            )
            .hint("read it with the adapter delimited (--adapter delimited)")
            .at(place))
        }
    }
}

fn without_fixed(line: Line<'_>, running: Angle, source: &Source) -> Error {
    let (letter, name) = match running.other() {
        Angle::Theta => ("θ", "theta"),
        Angle::Phi => ("φ", "phi"),
    };
    Error::input(format!("the cut does not say its fixed angle {letter}"))
        .hint(format!(
            "write a line such as `{name}: 30 deg` above each cut; the number of a cut is no angle"
        ))
        .at(source.place(line, 0, line.text.len()))
}

/// Refuses an angle that is written in two ways.
fn refuse_other_writing(
    first: &Heading<'_>,
    heading: &Heading<'_>,
    angle: Angle,
    source: &Source,
) -> Result<()> {
    let is_guess = matches!(
        heading.meaning,
        Meaning::Guess(Guess::Elevation | Guess::Azimuth)
    );
    let text = first.text().to_lowercase() == heading.text().to_lowercase();
    if first.meaning == heading.meaning && first.unit == heading.unit && (!is_guess || text) {
        return Ok(());
    }
    let describe = |h: &Heading<'_>| match &h.unit {
        UnitText::None => format!("{} without a unit", Clip(h.text())),
        UnitText::Known(unit) => format!("{} in {}", Clip(h.text()), unit.symbol()),
        UnitText::Unknown(text) => format!("{} in {:?}", Clip(h.text()), Clip(text)),
    };
    Err(Error::input(format!(
        "{} is {} here, and {} in line {}",
        angle.letter(),
        describe(heading),
        describe(first),
        first.field.spot.map_or(0, |s| s.line.number)
    ))
    .hint("all cuts of a file write an angle in the same way and unit")
    .at(heading.field.place(source)))
}
