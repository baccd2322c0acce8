//! Numbers of a file.

use crate::word::Word;
use spheresum_core::intake::Source;
use spheresum_core::{Error, Result};

/// Reads a decimal number with a point, such as `-0.5` or `1.2e-3`: the nearest double.
///
/// # Errors
/// Input: not a number (the words `inf` and `nan` are none), or beyond the range of doubles.
pub(crate) fn number(word: Word<'_>, source: &Source) -> Result<f64> {
    let text = word.text();
    let plain = text
        .bytes()
        .all(|b| matches!(b, b'0'..=b'9' | b'+' | b'-' | b'.' | b'e' | b'E'));
    let value: Option<f64> = plain.then(|| text.parse().ok()).flatten();
    match value {
        Some(value) if value.is_finite() => Ok(value),
        Some(_) => Err(word.wrong(
            source,
            format!("{} is beyond the range of numbers", word.shown()),
            "check the exponent",
        )),
        None => Err(refuse(word, source)),
    }
}

fn refuse(word: Word<'_>, source: &Source) -> Error {
    let text = word.text();
    let hint = if text.contains(',') {
        "the decimal sign is a point, and blanks part numbers"
    } else if text.bytes().any(|b| b.is_ascii_digit()) {
        "write a decimal number, such as -0.5 or 1.2e-3; a comment starts with !"
    } else {
        "each value has two numbers; where nothing was measured, take out the whole frequency; a comment starts with !"
    };
    word.wrong(source, format!("{} is not a number", word.shown()), hint)
}

/// Reads a resistance, ohm: a number above 0.
///
/// # Errors
/// Input: not a number above 0.
pub(crate) fn resistance(word: Word<'_>, source: &Source) -> Result<f64> {
    let ohm = number(word, source)?;
    if ohm > 0.0 {
        Ok(ohm)
    } else {
        Err(word.wrong(
            source,
            format!("a reference resistance of {} ohm", word.text()),
            "the reference is a resistance above 0 ohm, usually 50",
        ))
    }
}
