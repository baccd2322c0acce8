//! What a plan needs beside the headings: the decimal sign, and the frequency of the whole file.

use crate::intake::adapter::ReadOptions;
use crate::intake::source::Source;
use crate::intake::text::choices::Choices;
use crate::intake::text::entries::Key;
use crate::intake::text::field;
use crate::intake::text::plan::{FixedFrequency, Plan, Role};
use crate::intake::text::resolve;
use crate::intake::text::table::Table;
use crate::intake::text::wide;
use crate::{Error, Finding, Result};

/// The plan of a table under choices and options, complete. `first_sign` gives the decimal sign of the first number in the rows
/// that has one, where nobody chose it ([`sign_of`] tells one number's).
///
/// # Errors
/// Those of the headings; Usage: a frequency that contradicts the file; Input: entries that mean nothing.
pub fn plan(
    table: &Table<'_>,
    source: &Source,
    choices: &Choices,
    options: &ReadOptions,
    first_sign: impl FnOnce(&Plan) -> Option<u8>,
) -> Result<(Plan, Vec<Finding>)> {
    let (mut plan, mut findings) = resolve::plan(table, source, choices, options)?;
    plan.decimal = choices
        .decimal
        .or_else(|| first_sign(&plan))
        .or_else(|| {
            let entry = table.entries.get(Key::Frequency)?;
            sign_of(field::number_and_unit(entry.value)?.0)
        })
        .unwrap_or(b'.');
    if choices.decimal.is_none() && plan.decimal == b',' {
        findings.push(
            Finding::note("decimal-comma", "numbers are read with a decimal comma")
                .advice("the option decimal=comma says so, decimal=point denies it"),
        );
    }
    plan.fixed = fixed_frequency(table, source, &plan, options)?;
    Ok((plan, findings))
}

/// The decimal sign of a number's text, if it has one.
#[must_use]
pub fn sign_of(number: &str) -> Option<u8> {
    // Where there are both, one separates thousands, which the number's parser refuses under either sign.
    if number.contains(',') {
        Some(b',')
    } else {
        number.contains('.').then_some(b'.')
    }
}

/// The decimal sign of the first number in a row that has one; columns that hold no numbers do not count.
#[must_use]
pub fn sign_of_row<'t>(plan: &Plan, texts: impl Iterator<Item = &'t str>) -> Option<u8> {
    plan.roles
        .iter()
        .zip(texts)
        .filter(|(role, _)| role.is_number())
        .find_map(|(_, text)| sign_of(text))
}

/// The frequency that holds for the whole file, from the preamble or the options.
fn fixed_frequency(
    table: &Table<'_>,
    source: &Source,
    plan: &Plan,
    options: &ReadOptions,
) -> Result<Option<FixedFrequency>> {
    let has_column = plan.has(|r| matches!(r, Role::Frequency(_)));
    let in_columns: Vec<_> = plan
        .outputs
        .iter()
        .filter_map(|o| Some((plan.cells.get(o.cell)?.column, o.frequency?)))
        .collect();
    // Beside a column, `frequency: see below` is a remark.
    let is_remark = table
        .entries
        .get(Key::Frequency)
        .is_some_and(|e| !e.value.starts_with(|c: char| c.is_ascii_digit()));
    let stated = if (has_column || !in_columns.is_empty()) && is_remark {
        None
    } else {
        table.entries.frequency(source, plan.decimal)?
    };
    let fixed = match (stated, options.frequency) {
        (Some((frequency, entry)), Some(given)) if frequency != given => {
            return Err(Error::usage(format!(
                "the frequency {given} was given for a file that says {frequency}"
            ))
            .hint("give no frequency for this file: it has its own")
            .at(entry.place(source)));
        }
        (Some((frequency, entry)), _) => Some(FixedFrequency {
            frequency,
            line: Some(entry.line.number),
        }),
        (None, Some(frequency)) => Some(FixedFrequency {
            frequency,
            line: None,
        }),
        (None, None) => None,
    };
    wide::refuse_fixed(table, source, &in_columns, fixed)?;
    Ok(fixed)
}
