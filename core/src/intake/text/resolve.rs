//! From headings to the plan.

use crate::intake::text::choices::Choices;
use crate::intake::text::clip::{self, Clip};
use crate::intake::text::guess::{self, Lacks};
use crate::intake::text::meaning::{Meaning, UnitText};
use crate::intake::text::number;
use crate::intake::text::outputs;
use crate::intake::text::plan::{Angle, Kind, Plan, Role};
use crate::intake::text::table::Table;
use crate::intake::text::time::TimeUnit;
use crate::intake::text::tokens::Tokens;
use crate::intake::text::unit::Unit;
use crate::intake::text::values;
use crate::intake::text::wide;
use crate::intake::text::word::What;
use crate::intake::{ReadOptions, Source};
use crate::unit::frequency::FrequencyUnit;
use crate::{Error, Finding, Result};

/// The plan of a table, with the decimal sign still a point and no fixed frequency; and the findings of its columns.
///
/// # Errors
/// Ambiguous: headings that may mean several things. Input: headings that are missing, repeated, or contradict each other.
/// Usage: options that contradict the file.
pub fn plan(
    table: &Table<'_>,
    source: &Source,
    choices: &Choices,
    options: &ReadOptions,
) -> Result<(Plan, Vec<Finding>)> {
    let theta = single(table, source, "θ", |m| {
        matches!(m, Meaning::Theta | Meaning::Elevation)
    })?;
    let phi = single(table, source, "φ", |m| {
        matches!(m, Meaning::Phi | Meaning::Clockwise)
    })?;
    let frequency = single(table, source, "the frequency", |m| m == Meaning::Frequency)?;
    let polarisation = single(table, source, "the polarisation", |m| {
        m == Meaning::Polarisation
    })?;
    let columns = values::settle(table, source, choices)?;
    let is_loss = columns.first().is_some_and(|c| c.name.what == What::Loss);
    let lacks = Lacks {
        theta: theta.is_none() && !is_loss,
        phi: phi.is_none() && !is_loss,
        frequency: frequency.is_none() && !wide::is_wide(&columns),
        values: columns.is_empty(),
    };
    if let Some(error) = guess::refuse(table, source, lacks) {
        return Err(error);
    }
    refuse_lacks(table, source, lacks, is_loss)?;
    wide::refuse_mixture(table, source, frequency, &columns)?;
    if is_loss && let Some(at) = theta.or(phi) {
        return Err(Error::input("a range loss against directions")
            .hint("a range loss belongs to a frequency and a polarisation; leave the angle out by the option column")
            .at(table.place(source, at)));
    }

    let mut roles = vec![Role::Skip; table.headings.len()];
    if let Some(at) = theta {
        let is_elevation = table.headings[at].meaning == Meaning::Elevation;
        roles[at] = Role::Theta(Angle {
            radians: radians(table, source, choices, at)?,
            reversed: is_elevation,
            offset_deg: choices.theta_offset_deg + if is_elevation { 90.0 } else { 0.0 },
        });
    }
    if let Some(at) = phi {
        roles[at] = Role::Phi(Angle {
            radians: radians(table, source, choices, at)?,
            reversed: table.headings[at].meaning == Meaning::Clockwise,
            offset_deg: choices.phi_offset_deg,
        });
    }
    if let Some(at) = frequency {
        roles[at] = Role::Frequency(frequency_unit(table, source, at)?);
    }
    if let Some(at) = polarisation {
        roles[at] = Role::Polarisation;
    }
    if let Some(at) = only(table, |m| m == Meaning::Time) {
        roles[at] = Role::Time(match table.headings[at].unit.known() {
            Some(Unit::Time(unit)) => unit,
            _ => TimeUnit::Unsaid,
        });
    }
    let tokens = Tokens::new(&choices.polarisations);
    let made = outputs::make(
        table,
        source,
        choices,
        options,
        &tokens,
        polarisation,
        &columns,
    )?;
    for (cell, plan) in made.cells.iter().enumerate() {
        roles[plan.column] = Role::Cell(cell);
    }
    let plan = Plan {
        kind: made.quantity.map_or(Kind::Loss, Kind::Readings),
        cells: made.cells,
        outputs: made.outputs,
        decimal: b'.',
        fixed: None,
        conjugate: table.entries.conjugate(source)?,
        tokens,
        stand_ins: choices.stand_ins.clone(),
        roles,
    };
    let findings = unused(table, source, &plan);
    Ok((plan, findings))
}

/// The column with a meaning, where it is the only one.
fn only(table: &Table<'_>, is: impl Fn(Meaning) -> bool) -> Option<usize> {
    let mut found = table
        .headings
        .iter()
        .enumerate()
        .filter(|(_, h)| is(h.meaning));
    let first = found.next().map(|(at, _)| at);
    first.filter(|_| found.next().is_none())
}

/// The one column with a meaning.
fn single(
    table: &Table<'_>,
    source: &Source,
    what: &str,
    is: impl Fn(Meaning) -> bool,
) -> Result<Option<usize>> {
    let mut found = table
        .headings
        .iter()
        .enumerate()
        .filter(|(_, h)| is(h.meaning))
        .map(|(at, _)| at);
    let first = found.next();
    match (first, found.next()) {
        (Some(a), Some(b)) => Err(Error::input(format!(
            "two columns give {what}: {} and {}",
            table.headings[a].text(),
            table.headings[b].text()
        ))
        .hint(format!(
            "leave one out by the option column, such as column={}=ignore",
            table.headings[b].text()
        ))
        .at(table.place(source, b))),
        _ => Ok(first),
    }
}

fn refuse_lacks(table: &Table<'_>, source: &Source, lacks: Lacks, is_loss: bool) -> Result<()> {
    let missing = match lacks {
        Lacks { theta: true, .. } => ("θ", "theta_deg"),
        Lacks { phi: true, .. } => ("φ", "phi_deg"),
        Lacks { values: true, .. } => ("a value", "eirp_theta_dbm"),
        Lacks {
            frequency: true, ..
        } if is_loss => ("the frequency", "frequency_mhz"),
        _ => return Ok(()),
    };
    // A heading that is known but for its last word.
    if let Some(at) = table
        .headings
        .iter()
        .position(|h| h.meaning == Meaning::Unknown && h.unit != UnitText::None)
        && let UnitText::Unknown(unit) = &table.headings[at].unit
    {
        return Err(Error::input(format!("{unit:?} is not a unit, in the heading {:?}", table.headings[at].text()))
            .hint(
                "units: deg, rad; Hz, kHz, MHz, GHz; dBm, dBW, W, mW, µW; dBi, dB, 1; sqrtW, V; in brackets, parentheses, \
                 or as the last word",
            )
            .at(table.place(source, at)));
    }
    let is_number = |text: &str| {
        number::whole(text, b'.')
            .or_else(|| number::whole(text, b','))
            .is_some()
    };
    if !lacks.theta
        && !lacks.phi
        && lacks.values
        && let Some(at) = table.headings.iter().position(|h| is_number(h.text()))
    {
        let text = Clip(table.text(at));
        return Err(Error::ambiguous(format!(
            "the heading {text} may be a frequency without its unit, a channel, or a value"
        ))
        .hint(format!(
            "where it is a frequency, write it with its unit, such as `{text} MHz`, or say column={text}=eirp_theta_{text}mhz_dbm"
        ))
        .at(table.place(source, at)));
    }
    Err(Error::input(format!("no heading names {}, such as {}", missing.0, missing.1))
        .hint(format!(
            "the headings are: {}; say what one is by the option column=HEADING={}; a title above the heading starts with #",
            table.list(),
            missing.1
        ))
        .at(table.whole(source)))
}

/// True for an angle in radians.
fn radians(table: &Table<'_>, source: &Source, choices: &Choices, at: usize) -> Result<bool> {
    let heading = &table.headings[at];
    let unit = match &heading.unit {
        UnitText::None => match choices.angles {
            Some(unit) => Some(unit),
            None => table.entries.angles(source)?,
        },
        known => known.known(),
    };
    let error = match (unit, &heading.unit) {
        (Some(Unit::Deg), _) => return Ok(false),
        (Some(Unit::Rad), _) => return Ok(true),
        (None, UnitText::None) => Error::ambiguous(format!(
            "the angle {} may be in degrees or in radians",
            heading.text()
        ))
        .hint("write theta_deg or theta_rad, a line `# angles: deg`, or the option angles=deg"),
        (_, UnitText::Unknown(text)) => not_a_unit(text, "an angle", "deg, rad"),
        (unit, _) => not_a_unit(unit.map_or("", Unit::symbol), "an angle", "deg, rad"),
    };
    Err(error.at(table.place(source, at)))
}

fn frequency_unit(table: &Table<'_>, source: &Source, at: usize) -> Result<FrequencyUnit> {
    let heading = &table.headings[at];
    let possible = "Hz, kHz, MHz, GHz";
    let error = match &heading.unit {
        UnitText::Known(Unit::Frequency(unit)) => return Ok(*unit),
        UnitText::None => Error::ambiguous(format!(
            "the frequencies of {} have no unit",
            heading.text()
        ))
        .hint(format!(
            "write it in the heading, such as frequency_mhz or [MHz]; possible units: {possible}"
        )),
        UnitText::Known(unit) => not_a_unit(unit.symbol(), "frequency", possible),
        UnitText::Unknown(text) => not_a_unit(text, "frequency", possible),
    };
    Err(error.at(table.place(source, at)))
}

fn not_a_unit(text: &str, of: &str, possible: &str) -> Error {
    Error::input(format!("{text:?} is not a unit of {of}"))
        .hint(format!("possible units: {possible}"))
}

/// A note of the columns that are left out without anybody having said so.
fn unused(table: &Table<'_>, source: &Source, plan: &Plan) -> Vec<Finding> {
    let left: Vec<(usize, &str)> = plan
        .roles
        .iter()
        .zip(&table.headings)
        .enumerate()
        .filter(|(_, (role, h))| {
            **role == Role::Skip && h.meaning != Meaning::Ignore && !h.text().is_empty()
        })
        .map(|(at, (_, h))| (at, h.text()))
        .collect();
    let Some((first, _)) = left.first() else {
        return Vec::new();
    };
    let names: Vec<&str> = left.iter().map(|(_, text)| *text).collect();
    vec![
        Finding::note(
            "columns-unused",
            format!(
                "columns that are not used: {}",
                clip::list(&names, 16, ", ")
            ),
        )
        .at(table.place(source, *first))
        .advice("say what one is by the option column=HEADING=ROLE, or column=HEADING=ignore"),
    ]
}
