//! The read: options, heading, plan, decimal sign, frequency, rows.

use crate::body;
use crate::careful::Context;
use crate::choices::Choices;
use crate::decimal;
use crate::plan::{FixedFrequency, Plan, Role};
use crate::preamble::Key;
use crate::resolve;
use crate::split::Separator;
use crate::table::{self, Table};
use spheresum_core::intake::{Intake, ReadOptions, Source};
use spheresum_core::{Error, Finding, Limits, Result};

/// Reads a source.
pub(crate) fn read(
    source: &Source,
    limits: &Limits,
    options: &ReadOptions,
    with_fast_path: bool,
) -> Result<Intake> {
    let choices = Choices::of(options)?;
    let mut table = table::table(source, &choices, limits)?;
    table.preamble.index(source)?;
    let table = table;
    let (mut plan, mut findings) = resolve::plan(&table, source, &choices, options)?;
    plan.decimal = choices
        .decimal
        .unwrap_or_else(|| decimal::find(source.text(), &table, &plan));
    if choices.decimal.is_none() && plan.decimal == b',' {
        findings.push(
            Finding::note("decimal-comma", "numbers are read with a decimal comma")
                .advice("the option decimal=comma says so, decimal=point denies it"),
        );
    }
    debug_assert!(table.separator != Separator::Comma || plan.decimal != b',');
    plan.fixed = fixed_frequency(&table, source, &plan, options)?;
    let context = Context {
        source,
        table: &table,
        plan: &plan,
        choices: &choices,
        limits,
    };
    body::read(&context, findings, with_fast_path)
}

/// The frequency that holds for the whole file, from the preamble or the options.
fn fixed_frequency(
    table: &Table<'_>,
    source: &Source,
    plan: &Plan,
    options: &ReadOptions,
) -> Result<Option<FixedFrequency>> {
    let has_column = plan.has(|r| matches!(r, Role::Frequency(_)));
    // Beside a column, `frequency: see below` is a remark.
    let is_remark = table
        .preamble
        .get(Key::Frequency)
        .is_some_and(|e| !e.value.starts_with(|c: char| c.is_ascii_digit()));
    let stated = if has_column && is_remark {
        None
    } else {
        table.preamble.frequency(source, plan.decimal)?
    };
    match (stated, options.frequency) {
        (Some((frequency, entry)), Some(given)) if frequency != given => Err(Error::usage(
            format!("the frequency {given} was given for a file that says {frequency}"),
        )
        .hint("give no frequency for this file: it has its own")
        .at(entry.place(source))),
        (Some((frequency, entry)), _) => Ok(Some(FixedFrequency {
            frequency,
            line: Some(entry.line.number),
        })),
        (None, Some(frequency)) => Ok(Some(FixedFrequency {
            frequency,
            line: None,
        })),
        (None, None) => Ok(None),
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]
mod tests {
    use super::*;

    fn same_by_both_paths(name: &str, bytes: Vec<u8>) {
        let limits = Limits::small();
        let Ok(source) = Source::from_bytes(name, bytes, &limits) else {
            return;
        };
        let options = ReadOptions::default();
        let fast = read(&source, &limits, &options, true);
        let careful = read(&source, &limits, &options, false);
        match (fast, careful) {
            // By debug text, which tells NaN and −0 apart from what they are equal or unequal to.
            (Ok(fast), Ok(careful)) => assert!(
                format!("{fast:?}") == format!("{careful:?}"),
                "{name} differs"
            ),
            (Err(fast), Err(careful)) => {
                assert_eq!(format!("{fast:?}"), format!("{careful:?}"), "{name}")
            }
            (fast, careful) => panic!("{name}: {:?} and {:?}", fast.is_ok(), careful.is_ok()),
        }
    }

    #[test]
    fn fast_and_careful_give_the_same() {
        let folder =
            std::path::PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../tests/data/delimited");
        let mut state = 17_u64;
        let mut below = |n: usize| {
            state = state
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1_442_695_040_888_963_407);
            (state >> 33) as usize % n
        };
        let spice = b",;\t \"(#/.-+e<0123456789\n\r\n";
        for part in ["good", "bad"] {
            for entry in std::fs::read_dir(folder.join(part)).unwrap() {
                let path = entry.unwrap().path();
                let name = path.display().to_string();
                let bytes = std::fs::read(&path).unwrap();
                same_by_both_paths(&name, bytes.clone());
                for _ in 0..if bytes.is_empty() { 0 } else { 60 } {
                    let mut changed = bytes.clone();
                    for _ in 0..=below(3) {
                        let at = below(changed.len());
                        changed[at] = spice[below(spice.len())];
                    }
                    same_by_both_paths(&name, changed);
                }
            }
        }
    }
}
