//! The value columns of a table: which quantity they hold, and how it is written.

use crate::intake::Source;
use crate::intake::text::choices::Choices;
use crate::intake::text::meaning::{Meaning, UnitText, ValueName};
use crate::intake::text::plan::Scale;
use crate::intake::text::table::Table;
use crate::intake::text::unit::Unit;
use crate::intake::text::word::What;
use crate::model::FieldScale;
use crate::unit::level;
use crate::{Error, Quantity, Result};

/// A value column: its index, and its name with the quantity settled.
#[derive(Clone, Copy, Debug)]
pub struct ValueColumn {
    /// Index in the headings.
    pub index: usize,
    /// What the name says; never vague.
    pub name: ValueName,
}

/// The value columns in order, all of one quantity. Empty where there are none.
///
/// # Errors
/// Ambiguous: two quantities, or a name that may be several. Input or Usage: a stated quantity that contradicts the columns.
pub fn settle(table: &Table<'_>, source: &Source, choices: &Choices) -> Result<Vec<ValueColumn>> {
    let named: Vec<ValueColumn> = table
        .headings
        .iter()
        .enumerate()
        .filter_map(|(index, h)| match h.meaning {
            Meaning::Value(name) => Some(ValueColumn { index, name }),
            _ => None,
        })
        .collect();
    let clear = one_quantity(table, source, &named)?;
    let mut settled = Vec::new();
    for mut column in named {
        let is_part_only = column.name.what == What::Unsaid && column.name.polarisation.is_some();
        match clear {
            _ if !column.name.what.is_vague() => {}
            // `total` beside `eirp_theta`: the total of the same quantity.
            Some(what) if is_part_only => column.name.what = what,
            // `power` beside `eirp_theta`: some other power, not needed.
            Some(_) => continue,
            None => column.name.what = vague(table, source, choices, column)?,
        }
        settled.push(column);
    }
    check_stated(table, source, choices, &settled)?;
    Ok(settled)
}

/// The one quantity that names say without doubt, if any does.
fn one_quantity(table: &Table<'_>, source: &Source, named: &[ValueColumn]) -> Result<Option<What>> {
    let mut clear = named.iter().filter(|c| !c.name.what.is_vague());
    let Some(first) = clear.next() else {
        return Ok(None);
    };
    let Some(second) = clear.find(|c| c.name.what != first.name.what) else {
        return Ok(Some(first.name.what));
    };
    let (a, b) = (
        table.headings[first.index].text(),
        table.headings[second.index].text(),
    );
    Err(Error::ambiguous(format!(
        "the file holds two quantities, {} ({a}) and {} ({b})",
        first.name.what.word(),
        second.name.what.word()
    ))
    .hint(format!(
        "leave the columns of one out by the option column, such as column={b}=ignore"
    ))
    .at(table.place(source, second.index)))
}

/// The quantity of a vague name, from the option, the preamble or the unit.
fn vague(
    table: &Table<'_>,
    source: &Source,
    choices: &Choices,
    column: ValueColumn,
) -> Result<What> {
    let stated = match choices.quantity {
        Some(what) => Some(what),
        None => table.entries.quantity(source)?.map(|(what, _)| what),
    };
    let heading = &table.headings[column.index];
    let unit = heading.unit.known().or(choices.unit);
    let gain = column.name.what == What::Unsaid && unit == Some(Unit::Dbi);
    let place = table.place(source, column.index);
    match (column.name.what, stated) {
        (What::Sensitivity, Some(what)) if !matches!(what, What::Eis | What::Level) => {
            Err(Error::input(format!(
                "{} is a sensitivity, and the stated quantity is {}",
                heading.text(),
                what.word()
            ))
            .hint("state eis or level")
            .at(place))
        }
        (_, Some(what)) => Ok(what),
        (_, None) if gain => Ok(What::Gain),
        (vague, None) => {
            let (possible, roles) = match vague {
                What::Sensitivity => (
                    "EIS (eis), or the instrument's level before the range loss (level)",
                    ["eis", "level"],
                ),
                What::Power => (
                    "EIRP (eirp), or received power before the range loss (received)",
                    ["eirp", "received"],
                ),
                _ => (
                    "EIRP (eirp), received power (received), EIS (eis), level or gain",
                    ["eirp", "received"],
                ),
            };
            let tail = column
                .name
                .polarisation
                .map_or_else(String::new, |p| format!("_{p}"));
            let unit = unit.map_or_else(|| "dbm".to_string(), |u| u.symbol().to_lowercase());
            Err(Error::ambiguous(format!("{} may be {possible}", heading.text()))
                .hint(format!(
                    "say which by a line `# quantity: {a}`, the option quantity={a}, or column={text}={a}{tail}_{unit} ({b} likewise)",
                    a = roles[0],
                    b = roles[1],
                    text = heading.text(),
                ))
                .at(place))
        }
    }
}

fn check_stated(
    table: &Table<'_>,
    source: &Source,
    choices: &Choices,
    settled: &[ValueColumn],
) -> Result<()> {
    let Some(first) = settled.first() else {
        return Ok(());
    };
    let what = first.name.what;
    // ERP is EIRP in other words.
    let differs = |stated: What| stated.quantity() != what.quantity();
    if let Some(stated) = choices.quantity.filter(|q| differs(*q)) {
        return Err(Error::usage(format!(
            "the option says quantity={}, and the columns hold {}",
            stated.word(),
            what.word()
        ))
        .at(table.place(source, first.index)));
    }
    // A free remark under the key is no contradiction.
    if let Ok(Some((stated, entry))) = table.entries.quantity(source)
        && differs(stated)
        && choices.quantity.is_none()
    {
        return Err(Error::input(format!(
            "the preamble says {}, and the columns hold {} ({})",
            stated.word(),
            what.word(),
            table.headings[first.index].text()
        ))
        .hint("correct the preamble or the heading")
        .at(entry.place(source)));
    }
    Ok(())
}

/// How a column is written, and for fields the scale of the quantity.
///
/// # Errors
/// Ambiguous: no unit. Input: a unit that is not known, or not one of the quantity.
pub fn scale(
    table: &Table<'_>,
    source: &Source,
    choices: &Choices,
    column: ValueColumn,
) -> Result<(Scale, Option<FieldScale>)> {
    let heading = &table.headings[column.index];
    let what = column.name.what;
    let possible = match what {
        What::Gain => "dBi, dB, 1 (linear)",
        What::Field => "sqrtW, V, or none for a relative field",
        What::Loss => "dB",
        _ => "dBm, dBW, W, mW, µW",
    };
    let unit = match &heading.unit {
        UnitText::Known(unit) => Some(*unit),
        UnitText::Unknown(text) => {
            return Err(
                Error::input(format!("{text:?} is not a unit of {}", what.word()))
                    .hint(format!("possible units: {possible}"))
                    .at(table.place(source, column.index)),
            );
        }
        UnitText::None => match choices.unit {
            Some(unit) => Some(unit),
            None => table.entries.unit(source)?,
        },
    };
    let scale = match (what, unit) {
        (What::Field, None | Some(Unit::One)) => {
            return Ok((Scale::Field, Some(FieldScale::Relative)));
        }
        (What::Field, Some(Unit::SqrtW)) => return Ok((Scale::Field, Some(FieldScale::SqrtWatt))),
        (What::Field, Some(Unit::Volt)) => return Ok((Scale::Field, Some(FieldScale::Volt))),
        (_, None) => {
            return Err(Error::ambiguous(format!("the values of {} have no unit", heading.text()))
                .hint(format!(
                    "write it in the heading, such as {}_dbm or [dBm]; or a line `# unit: dBm`; or the option unit=dBm; \
                     possible units: {possible}",
                    what.word()
                ))
                .at(table.place(source, column.index)));
        }
        (What::Gain, Some(Unit::Dbi | Unit::Db)) => Some(Scale::Ratio),
        (What::Gain, Some(Unit::One)) => Some(Scale::Linear(1.0)),
        (What::Loss, Some(Unit::Db)) if choices.losses_are_negative => Some(Scale::NegatedLoss),
        (What::Loss, Some(Unit::Db)) => Some(Scale::Loss),
        (What::Gain | What::Loss | What::Field, _) => None,
        (What::Erp, Some(unit)) => over_dipole(unit),
        (_, Some(Unit::Dbm)) => Some(Scale::Dbm),
        (_, Some(Unit::Dbw)) => Some(Scale::Dbw),
        (_, Some(Unit::W)) => Some(Scale::Linear(1.0)),
        (_, Some(Unit::Mw)) => Some(Scale::Linear(1e3)),
        (_, Some(Unit::Uw)) => Some(Scale::Linear(1e6)),
        _ => None,
    };
    match (scale, unit) {
        (Some(scale), _) => Ok((scale, None)),
        (None, unit) => Err(Error::input(format!(
            "{} is not a unit of {}",
            unit.map_or("nothing", Unit::symbol),
            what.word()
        ))
        .hint(format!("possible units: {possible}"))
        .at(table.place(source, column.index))),
    }
}

/// Gain of a half-wave dipole over the isotropic antenna, dB: 1.64, which practice writes as 2.15 dB (from memory).
const DIPOLE_DB: f64 = 2.15;

/// The scale of a power over a half-wave dipole that becomes EIRP.
fn over_dipole(unit: Unit) -> Option<Scale> {
    let linear = |divisor: f64| Scale::Linear(divisor / level::ratio_from_db(DIPOLE_DB));
    match unit {
        Unit::Dbm => Some(Scale::DbmPlus(DIPOLE_DB)),
        Unit::Dbw => Some(Scale::DbmPlus(DIPOLE_DB + 30.0)),
        Unit::W => Some(linear(1.0)),
        Unit::Mw => Some(linear(1e3)),
        Unit::Uw => Some(linear(1e6)),
        _ => None,
    }
}

/// The quantity of a table; `None` for a loss.
pub fn quantity(what: What, field: Option<FieldScale>) -> Option<Quantity> {
    match (what, field) {
        (What::Field, Some(scale)) => Some(Quantity::Field(scale)),
        _ => what.quantity(),
    }
}
