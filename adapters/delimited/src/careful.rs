//! The careful path of a row: every error comes from here, with line, column, field and hint.

use crate::cell::{self, Cell};
use crate::choices::Choices;
use crate::explain;
use crate::number;
use crate::plan::{Angle, FixedFrequency, PHI_DEG, Plan, Role, THETA_DEG, is_in};
use crate::ragged;
use crate::show::Clip;
use crate::split::{Span, split};
use crate::table::Table;
use spheresum_core::intake::Source;
use spheresum_core::intake::source::Line;
use spheresum_core::{Error, Frequency, Limits, Place, Polarisation, Result};

/// What reading a row needs to know.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Context<'a> {
    /// The source.
    pub(crate) source: &'a Source,
    /// Its table.
    pub(crate) table: &'a Table<'a>,
    /// The plan of the table.
    pub(crate) plan: &'a Plan,
    /// What a person decided.
    pub(crate) choices: &'a Choices,
    /// The limits.
    pub(crate) limits: &'a Limits,
}

impl Context<'_> {
    /// Place of the field in a column.
    pub(crate) fn place(&self, line: Line<'_>, spans: &[Span], column: usize) -> Place {
        let (start, end) = spans.get(column).copied().unwrap_or_default();
        let name = self.table.headings.get(column).map_or("", |h| h.text);
        self.source.place(line, start, end).with_field(name)
    }
}

/// A row, read.
#[derive(Clone, Debug, Default)]
pub(crate) struct Row {
    /// Where its fields stand.
    pub(crate) spans: Vec<Span>,
    /// Its own frequency, where there is such a column.
    pub(crate) frequency: Option<Frequency>,
    /// θ, degrees; 0 where there is no such column.
    pub(crate) theta_deg: f64,
    /// φ, degrees.
    pub(crate) phi_deg: f64,
    /// Its own polarisation, where there is such a column.
    pub(crate) polarisation: Option<Polarisation>,
    /// The values, `None` where missing.
    pub(crate) cells: Vec<Option<Cell>>,
}

impl Row {
    /// Reads a line.
    ///
    /// # Errors
    /// Input, Ambiguous, Limit, Usage: with the place of the field.
    pub(crate) fn read(
        &mut self,
        context: &Context<'_>,
        line: Line<'_>,
        is_last: bool,
    ) -> Result<()> {
        let Context { table, plan, .. } = *context;
        split(
            line.text,
            table.separator,
            plan.roles.len(),
            &mut self.spans,
        );
        self.cells.clear();
        self.cells.resize(plan.cells.len(), None);
        if is_heading(table, line, &self.spans) {
            return Err(Error::input("a heading line in the middle of the rows")
                .hint("two files were joined: give them as two files, or take the line away if they belong together")
                .at(context.source.place(line, 0, line.text.len())));
        }
        if self.spans.len() != plan.roles.len() {
            return Err(ragged::refuse(
                table,
                context.source,
                context.choices,
                context.limits,
                line,
                is_last,
            ));
        }
        for (column, role) in plan.roles.iter().enumerate() {
            let (start, end) = self.spans[column];
            let text = &line.text[start..end];
            let read =
                match role {
                    Role::Skip => Ok(()),
                    Role::Frequency(unit) => explain::frequency(text, plan.decimal, *unit)
                        .and_then(|f| contradiction(f, plan.fixed))
                        .map(|f| self.frequency = Some(f)),
                    Role::Theta(angle) => direction(text, "θ", *angle, THETA_DEG, plan.decimal)
                        .map(|v| self.theta_deg = v),
                    Role::Phi(angle) => direction(text, "φ", *angle, PHI_DEG, plan.decimal)
                        .map(|v| self.phi_deg = v),
                    Role::Polarisation => match plan.tokens.of(text) {
                        Some(polarisation) => {
                            self.polarisation = Some(polarisation);
                            Ok(())
                        }
                        None => Err(plan.tokens.refuse(text)),
                    },
                    Role::Cell(cell) => cell::read(text, plan.cells[*cell].scale, plan)
                        .map(|v| self.cells[*cell] = v),
                };
            read.map_err(|e| e.at(context.place(line, &self.spans, column)))?;
        }
        Ok(())
    }
}

/// True for the heading line again, or one of the same names in another dress.
fn is_heading(table: &Table<'_>, line: Line<'_>, spans: &[Span]) -> bool {
    spans.len() == table.headings.len()
        && spans
            .iter()
            .zip(&table.headings)
            .all(|(s, h)| line.text[s.0..s.1].eq_ignore_ascii_case(h.text))
}

fn direction(text: &str, name: &str, angle: Angle, range: (f64, f64), decimal: u8) -> Result<f64> {
    let Some(written) = number::whole(text, decimal) else {
        return Err(match crate::field::is_missing(text) {
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
