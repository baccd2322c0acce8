//! Tables with a column for each frequency: what contradicts them.

use crate::intake::Source;
use crate::intake::text::clip::Clip;
use crate::intake::text::plan::FixedFrequency;
use crate::intake::text::table::Table;
use crate::intake::text::values::ValueColumn;
use crate::{Error, Result};

/// True where a column names its frequency.
pub fn is_wide(columns: &[ValueColumn]) -> bool {
    columns.iter().any(|c| c.name.frequency.is_some())
}

/// Refuses a column that says the row's frequency, and value columns without one, beside columns that name theirs.
///
/// # Errors
/// Ambiguous.
pub fn refuse_mixture(
    table: &Table<'_>,
    source: &Source,
    frequency_column: Option<usize>,
    columns: &[ValueColumn],
) -> Result<()> {
    let Some(first) = columns.iter().find(|c| c.name.frequency.is_some()) else {
        return Ok(());
    };
    let named = Clip(table.text(first.index));
    if let Some(at) = frequency_column {
        let text = Clip(table.text(at));
        return Err(Error::ambiguous(format!(
            "{named} names its frequency, and the column {text} says one for each row"
        ))
        .hint(format!(
            "leave one out by the option column, such as column={text}=ignore"
        ))
        .at(table.place(source, at)));
    }
    match columns.iter().find(|c| c.name.frequency.is_none()) {
        Some(column) => {
            let text = Clip(table.text(column.index));
            Err(Error::ambiguous(format!(
                "{text} does not say its frequency, and {named} does"
            ))
            .hint(format!(
                "write it in the heading with its unit, such as `{text} @ 868.3 MHz`, or say column={text}=ignore"
            ))
            .at(table.place(source, column.index)))
        }
        None => Ok(()),
    }
}

/// Refuses a frequency of the whole file that is not the one of every column.
///
/// # Errors
/// Input: the file's own; Usage: one given in the call.
pub fn refuse_fixed(
    table: &Table<'_>,
    source: &Source,
    columns: &[(usize, crate::Frequency)],
    fixed: Option<FixedFrequency>,
) -> Result<()> {
    let Some(fixed) = fixed else { return Ok(()) };
    let Some((column, frequency)) = columns.iter().find(|(_, f)| *f != fixed.frequency) else {
        return Ok(());
    };
    let text = Clip(table.text(*column));
    let error = match fixed.line {
        Some(line) => Error::input(format!(
            "{text} is at {frequency}, and the preamble says {} in line {line}",
            fixed.frequency
        ))
        .hint("take the frequency of the preamble away: the columns name theirs"),
        None => Error::usage(format!(
            "{text} is at {frequency}, and {} was given for a file that names its frequencies",
            fixed.frequency
        ))
        .hint("give no frequency for this file: it has its own"),
    };
    Err(error.at(table.place(source, *column)))
}
