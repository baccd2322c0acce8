//! Labels: the angles along rows and columns, none twice.

use spheresum_core::intake::Source;
use spheresum_core::intake::text::{Clip, Field, number};
use spheresum_core::{Error, Result};
use std::collections::HashMap;

/// Labels seen so far, by the number they are.
#[derive(Debug, Default)]
pub(crate) struct Labels {
    seen: HashMap<u64, usize>,
}

impl Labels {
    /// Takes the next label. One that is no number is left to the reading of its angle.
    ///
    /// # Errors
    /// Input: the label is there already.
    pub(crate) fn take(
        &mut self,
        label: Field<'_>,
        decimal: u8,
        what: &str,
        source: &Source,
    ) -> Result<()> {
        let Some(number) = number::whole(label.text, decimal) else {
            return Ok(());
        };
        let position = self.seen.len();
        match self.seen.insert(bits(number), position) {
            None => Ok(()),
            Some(first) => Err(Error::input(format!(
                "the label {} stands there twice",
                Clip(label.text)
            ))
            .hint(format!(
                "{what} {} of the block has it already; two blocks may have been joined, or the separator is not the one of the file",
                first + 1
            ))
            .at(label.place(source))),
        }
    }

    /// Position of the label with a number.
    pub(crate) fn position(&self, label: &str, decimal: u8) -> Option<usize> {
        let number = number::whole(label, decimal)?;
        self.seen.get(&bits(number)).copied()
    }

    /// Number of labels.
    pub(crate) fn len(&self) -> usize {
        self.seen.len()
    }
}

/// The bits of a number; those of 0 for −0.
fn bits(number: f64) -> u64 {
    (number + 0.0).to_bits()
}
