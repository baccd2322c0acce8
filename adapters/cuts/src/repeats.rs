//! Cuts that are there twice, and running angles that are there twice in one cut. Core would average them.

use crate::columns::Columns;
use crate::fixed::Fixed;
use crate::heading::Angle;
use crate::structure::Cut;
use spheresum_core::intake::Source;
use spheresum_core::intake::text::title::Facts;
use spheresum_core::intake::text::{Clip, Field, Meaning, number};
use spheresum_core::{Error, Frequency, Polarisation, Result};
use std::collections::{HashMap, HashSet};

/// What tells cuts apart: fixed angle, frequency, polarisation, and a value column; frequency and polarisation of the first row,
/// where rows have them.
type Key = (
    Angle,
    u64,
    Option<Frequency>,
    Option<Polarisation>,
    usize,
    String,
);

/// The cuts so far, with their first lines.
#[derive(Debug, Default)]
pub(crate) struct Cuts {
    seen: HashMap<Key, u64>,
}

/// The bits of a number; those of 0 for −0.
fn bits(text: &str, decimal: u8) -> Option<u64> {
    number::whole(text, decimal).map(|n| (n + 0.0).to_bits())
}

impl Cuts {
    /// Takes the next cut.
    ///
    /// # Errors
    /// Input: it is there already.
    pub(crate) fn take(
        &mut self,
        cut: &Cut<'_>,
        fixed: &Fixed<'_>,
        facts: &Facts<'_>,
        columns: &Columns<'_>,
        (first_row, decimal): (&str, u8),
        source: &Source,
    ) -> Result<()> {
        // A number that is none is refused with its row.
        let Some(bits) = bits(fixed.number.text, decimal) else {
            return Ok(());
        };
        for column in columns.of_names.get(cut.names).into_iter().flatten() {
            let is_value = columns.headings.get(*column).is_some_and(|h| {
                matches!(h.meaning, Meaning::Value(_) | Meaning::Guess(_))
                    && Angle::of(h.meaning).is_none()
            });
            if !is_value {
                continue;
            }
            let key = (
                fixed.angle,
                bits,
                facts.frequency.map(|f| f.value),
                facts.polarisation.map(|p| p.value),
                *column,
                first_row.to_string(),
            );
            if let Some(line) = self.seen.insert(key, cut.line.number) {
                return Err(Error::input(format!(
                    "the cut at {} = {} was there already, in line {line}",
                    fixed.angle.letter(),
                    Clip(fixed.number.text)
                ))
                .hint(
                    "if this is another cut, its title lacks its fixed angle, frequency or polarisation; what was measured twice belongs \
                     into two files",
                )
                .at(source.place(cut.line, 0, cut.line.text.len())));
            }
        }
        Ok(())
    }
}

/// The running angles of one cut so far; beside columns of frequency and polarisation, with these.
#[derive(Debug, Default)]
pub(crate) struct Running<'a> {
    seen: HashSet<(u64, &'a str, &'a str)>,
}

impl<'a> Running<'a> {
    /// Takes the running angle of the next row.
    ///
    /// # Errors
    /// Input: it is there already.
    pub(crate) fn take(
        &mut self,
        running: Field<'a>,
        (frequency, polarisation): (&'a str, &'a str),
        (angle, decimal): (Angle, u8),
        source: &Source,
    ) -> Result<()> {
        let Some(bits) = bits(running.text, decimal) else {
            return Ok(());
        };
        if self.seen.insert((bits, frequency, polarisation)) {
            return Ok(());
        }
        Err(Error::input(format!(
            "{} = {} stands in the cut twice",
            angle.letter(),
            Clip(running.text)
        ))
        .hint("if another cut starts here, it needs a title with its fixed angle; a point that was measured twice belongs into two files")
        .at(running.place(source)))
    }
}
