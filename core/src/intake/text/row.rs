//! One row: the texts of its fields become angles, a frequency, a polarisation and values.

use crate::intake::source::Source;
use crate::intake::text::cell::{self, Cell};
use crate::intake::text::clip::Clip;
use crate::intake::text::plan::{Angle, FixedFrequency, PHI_DEG, Plan, Role, THETA_DEG, is_in};
use crate::intake::text::table::{Field, Table};
use crate::intake::text::{explain, field, number};
use crate::{Error, Frequency, Limits, Place, Polarisation, Result};

/// What reading a row needs to know.
#[derive(Clone, Copy, Debug)]
pub struct Context<'a> {
    /// The source.
    pub source: &'a Source,
    /// Its table.
    pub table: &'a Table<'a>,
    /// The plan of the table.
    pub plan: &'a Plan,
    /// The limits.
    pub limits: &'a Limits,
}

impl Context<'_> {
    /// Place of the field in a column.
    #[must_use]
    pub fn place(&self, fields: &[Field<'_>], column: usize) -> Place {
        let place = fields.get(column).map_or_else(
            || Place::in_source(self.source.name()),
            |f| f.place(self.source),
        );
        place.with_field(self.table.text(column))
    }
}

/// A row, read.
#[derive(Clone, Debug, Default)]
pub struct Row {
    /// Its own frequency, where there is such a column.
    pub frequency: Option<Frequency>,
    /// θ, degrees; 0 where there is no such column.
    pub theta_deg: f64,
    /// φ, degrees.
    pub phi_deg: f64,
    /// Its own polarisation, where there is such a column.
    pub polarisation: Option<Polarisation>,
    /// When it was measured, seconds; `None` where nothing says so, or it cannot be read.
    pub time_s: Option<f64>,
    /// The values, `None` where missing.
    pub cells: Vec<Option<Cell>>,
}

impl Row {
    /// Reads the fields of a row, one for each column.
    ///
    /// # Errors
    /// Input, Ambiguous, Usage: with the place of the field. Usage: not one field a column.
    pub fn read(&mut self, context: &Context<'_>, fields: &[Field<'_>]) -> Result<()> {
        let plan = context.plan;
        self.cells.clear();
        self.cells.resize(plan.cells.len(), None);
        if fields.len() != plan.roles.len() {
            return Err(Error::usage(format!(
                "{} fields for {} columns",
                fields.len(),
                plan.roles.len()
            )));
        }
        for (column, (role, field)) in plan.roles.iter().zip(fields).enumerate() {
            let text = field.text;
            let read = match role {
                Role::Skip => Ok(()),
                Role::Frequency(unit) => explain::frequency(text, plan.decimal, *unit)
                    .and_then(|f| contradiction(f, plan.fixed))
                    .map(|f| self.frequency = Some(f)),
                Role::Theta(angle) => direction(text, "θ", *angle, THETA_DEG, plan.decimal)
                    .map(|v| self.theta_deg = v),
                Role::Phi(angle) => {
                    direction(text, "φ", *angle, PHI_DEG, plan.decimal).map(|v| self.phi_deg = v)
                }
                Role::Polarisation => match plan.tokens.of(text) {
                    Some(polarisation) => {
                        self.polarisation = Some(polarisation);
                        Ok(())
                    }
                    None => Err(plan.tokens.refuse(text)),
                },
                Role::Time(unit) => {
                    self.time_s = unit.seconds(text, plan.decimal);
                    Ok(())
                }
                Role::Cell(cell) => cell::read(plan.meant(text), plan.cells[*cell].scale, plan)
                    .map(|v| self.cells[*cell] = v),
            };
            read.map_err(|e| e.at(context.place(fields, column)))?;
        }
        Ok(())
    }
}
fn direction(text: &str, name: &str, angle: Angle, range: (f64, f64), decimal: u8) -> Result<f64> {
    let Some(written) = number::whole(text, decimal) else {
        return Err(match field::is_missing(text) {
            true => Error::input(format!("{name} is missing")).hint(
                "every reading has a direction; leave the whole line out where there is none",
            ),
            false => explain::not_a_number(text, decimal),
        });
    };
    let degrees = angle.degrees(written);
    if is_in(range, degrees) {
        return Ok(degrees);
    }
    let unit = if angle.radians { "rad" } else { "°" };
    Err(
        Error::input(format!("{name} = {}{unit} is out of range", Clip(text))).hint(format!(
            "{name} runs from {}° to {}°; check the unit and the order of the columns",
            range.0, range.1
        )),
    )
}

fn contradiction(found: Frequency, fixed: Option<FixedFrequency>) -> Result<Frequency> {
    match fixed {
        Some(fixed) if fixed.frequency != found => Err(match fixed.line {
            Some(line) => Error::input(format!(
                "the row is at {found}, and the preamble says {} in line {line}",
                fixed.frequency
            ))
            .hint("correct the preamble, or take its frequency away: the column stands for itself"),
            None => Error::usage(format!(
                "the row is at {found}, and {} was given for a file that leaves its frequency out",
                fixed.frequency
            ))
            .hint("give no frequency for this file: it has its own"),
        }),
        _ => Ok(found),
    }
}
