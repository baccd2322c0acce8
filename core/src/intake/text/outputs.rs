//! Which cells of a row become which reading.

use crate::intake::text::choices::Choices;
use crate::intake::text::clip::Clip;
use crate::intake::text::entries::Key;
use crate::intake::text::plan::{CellPlan, Output};
use crate::intake::text::table::Table;
use crate::intake::text::tokens::Tokens;
use crate::intake::text::values::{self, ValueColumn};
use crate::intake::text::word::{Part, What};
use crate::intake::{ReadOptions, Source};
use crate::{Error, Polarisation, Quantity, Result};
use std::collections::HashMap;

/// Cells, outputs and quantity of a table.
pub struct Made {
    /// The value columns.
    pub cells: Vec<CellPlan>,
    /// What each row gives.
    pub outputs: Vec<Output>,
    /// The quantity; `None` for a loss.
    pub quantity: Option<Quantity>,
}

/// Makes the outputs of the value columns.
///
/// # Errors
/// Ambiguous: a polarisation that nobody says. Input: repeated or incomplete columns. Usage: options that contradict the file.
pub fn make(
    table: &Table<'_>,
    source: &Source,
    choices: &Choices,
    options: &ReadOptions,
    tokens: &Tokens,
    polarisation_column: Option<usize>,
    columns: &[ValueColumn],
) -> Result<Made> {
    let mut made = Made {
        cells: Vec::new(),
        outputs: Vec::new(),
        quantity: None,
    };
    let mut scale_of_fields = None;
    // Index of the column of each output, for places.
    let mut first_columns: Vec<usize> = Vec::new();
    // Output of each polarisation and frequency: wide tables have thousands.
    let mut by_name = HashMap::new();
    let others_say = columns.iter().any(|c| c.name.polarisation.is_some());
    for column in columns {
        let at = column.index;
        let (scale, field) = values::scale(table, source, choices, *column)?;
        if let Some(first) = scale_of_fields
            .replace(field)
            .filter(|first| *first != field)
        {
            return Err(Error::input(format!(
                "the field columns have different scales ({first:?} and {field:?})"
            ))
            .hint("write all components in the same scale")
            .at(table.place(source, at)));
        }
        made.quantity = values::quantity(column.name.what, field);
        let polarisation = whose(
            table,
            source,
            options,
            tokens,
            polarisation_column,
            others_say,
            *column,
        )?;
        let cell = made.cells.len();
        made.cells.push(CellPlan { scale, column: at });
        let name = (polarisation, column.name.frequency);
        let same = by_name
            .get(&name)
            .and_then(|output: &usize| made.outputs.get_mut(*output));
        match (column.name.what == What::Field, column.name.part, same) {
            (false, None, None) | (true, Some(_), None) => {
                by_name.insert(name, made.outputs.len());
                made.outputs.push(Output {
                    polarisation,
                    frequency: column.name.frequency,
                    cell,
                    imaginary: None,
                });
                first_columns.push(at);
            }
            (true, Some(part), Some(output))
                if output.imaginary.is_none() && part != part_of(columns, output.cell) =>
            {
                output.imaginary = Some(cell);
                if part == Part::Re {
                    *output = Output {
                        cell,
                        imaginary: Some(output.cell),
                        ..*output
                    };
                }
            }
            (true, None, _) | (false, Some(_), _) => {
                return Err(Error::input(format!("{:?} is no component of a field", table.headings[at].text()))
                    .hint("complex fields have two columns a polarisation, such as field_theta_re and field_theta_im")
                    .at(table.place(source, at)));
            }
            (_, _, Some(_)) => {
                return Err(Error::input(format!(
                    "{:?} repeats the meaning of an earlier column",
                    table.headings[at].text()
                ))
                .hint(format!(
                    "leave one out by the option column, such as column={}=ignore",
                    table.headings[at].text()
                ))
                .at(table.place(source, at)));
            }
        }
    }
    if made.quantity.is_some_and(Quantity::is_complex) {
        complete_fields(table, source, &made, &first_columns)?;
    }
    refuse_contradiction(
        table,
        source,
        options,
        polarisation_column,
        &made,
        &first_columns,
    )?;
    Ok(made)
}

fn part_of(columns: &[ValueColumn], cell: usize) -> Part {
    columns
        .get(cell)
        .and_then(|c| c.name.part)
        .unwrap_or(Part::Re)
}

fn complete_fields(
    table: &Table<'_>,
    source: &Source,
    made: &Made,
    first_columns: &[usize],
) -> Result<()> {
    for (output, column) in made.outputs.iter().zip(first_columns) {
        let heading = table.headings[*column].text();
        let place = || table.place(source, *column);
        if output.imaginary.is_none() {
            return Err(Error::input(format!("{heading} has no second component"))
                .hint("give both the real and the imaginary part of each polarisation")
                .at(place()));
        }
        if output.polarisation == Some(Polarisation::Total) {
            return Err(
                Error::input(format!("{heading}: a complex field has no total"))
                    .hint("give the theta and the phi component")
                    .at(place()),
            );
        }
    }
    Ok(())
}

/// The polarisation of a value column; `None` where the row says it.
fn whose(
    table: &Table<'_>,
    source: &Source,
    options: &ReadOptions,
    tokens: &Tokens,
    polarisation_column: Option<usize>,
    others_say: bool,
    column: ValueColumn,
) -> Result<Option<Polarisation>> {
    let text = Clip(table.headings[column.index].text());
    let place = || table.place(source, column.index);
    match (column.name.polarisation, polarisation_column) {
        (None, Some(_)) => return Ok(None),
        (Some(_), Some(at)) => {
            let other = Clip(table.headings[at].text());
            return Err(Error::ambiguous(format!(
                "{text} names its polarisation, and the column {other} says one for each row"
            ))
            .hint(format!(
                "leave one out by the option column, such as column={other}=ignore"
            ))
            .at(place()));
        }
        (Some(polarisation), None) => {
            if polarisation == Polarisation::Total && column.name.what == What::Loss {
                return Err(Error::input(format!("{text}: a range loss has no total"))
                    .hint("give loss_theta_db and loss_phi_db")
                    .at(place()));
            }
            return Ok(Some(polarisation));
        }
        (None, None) => {}
    }
    let roles = |p: &str| format!("{}_{p}", column.name.what.word());
    if others_say {
        return Err(Error::ambiguous(format!(
            "{text} does not say its polarisation, and other columns do"
        ))
        .hint(format!(
            "say column={text}={} (or theta, phi), or column={text}=ignore",
            roles("total")
        ))
        .at(place()));
    }
    let entry = table.entries.get(Key::Polarisation);
    let stated = entry.and_then(|e| tokens.of(e.value));
    match (options.polarisation, entry, stated) {
        (Some(chosen), Some(entry), Some(stated)) if chosen != stated => {
            return Err(Error::usage(format!(
                "the polarisation {chosen} was given for a file that says {stated}"
            ))
            .hint("give no polarisation for this file")
            .at(entry.place(source)));
        }
        (Some(chosen), ..) => return Ok(Some(chosen)),
        (None, _, Some(stated)) => return Ok(Some(stated)),
        (None, Some(entry), None) => {
            return Err(tokens.refuse(entry.value).at(entry.place(source)));
        }
        (None, None, None) => {}
    }
    Err(Error::ambiguous(format!("{text} does not say its polarisation: theta, phi or total"))
        .hint(format!(
            "name the column {}, add a pol column or a line `# polarisation: theta`, or say what the file holds where it is named (`--run NAME=FILE@theta`)",
            roles("theta")
        ))
        .at(place()))
}

/// An option that gives the polarisation of a file that says it itself.
fn refuse_contradiction(
    table: &Table<'_>,
    source: &Source,
    options: &ReadOptions,
    polarisation_column: Option<usize>,
    made: &Made,
    first_columns: &[usize],
) -> Result<()> {
    let Some(chosen) = options.polarisation else {
        return Ok(());
    };
    let contradiction = polarisation_column.or_else(|| {
        let other = made
            .outputs
            .iter()
            .position(|o| o.polarisation != Some(chosen))?;
        first_columns.get(other).copied()
    });
    match contradiction {
        None => Ok(()),
        Some(at) => Err(Error::usage(format!(
            "the polarisation {chosen} was given for a file that says its own ({})",
            table.headings[at].text()
        ))
        .hint("give no polarisation for this file")
        .at(table.place(source, at))),
    }
}
