//! Frequencies of a file.

use crate::number::number;
use crate::word::Word;
use spheresum_core::intake::Source;
use spheresum_core::unit::frequency::FrequencyUnit;
use spheresum_core::{Frequency, Result};

/// Reads a frequency as an exact decimal; `None` is 0 Hz, which the format allows and a channel never has.
///
/// # Errors
/// Input: not a number, below 0, or beyond what a frequency can be.
pub(crate) fn frequency(
    word: Word<'_>,
    unit: FrequencyUnit,
    source: &Source,
) -> Result<Option<Frequency>> {
    let value = number(word, source)?;
    if value == 0.0 && is_zero(word.text()) {
        return Ok(None);
    }
    match Frequency::parse(word.text(), unit) {
        Some(frequency) => Ok(Some(frequency)),
        None => Err(word.wrong(
            source,
            format!("{} {} is no frequency", word.text(), unit.symbol()),
            "a frequency lies above 0 and below 18.4 THz; check the unit in the option line, and that each line begins with its frequency",
        )),
    }
}

/// True where no digit of the mantissa differs from 0; a number that is only small is no zero.
fn is_zero(text: &str) -> bool {
    let mantissa = text.split(['e', 'E']).next().unwrap_or_default();
    !mantissa.bytes().any(|b| matches!(b, b'1'..=b'9'))
}
