//! Small things that are read in several places.

use crate::error::Result;
use crate::table::line::Piece;
use crate::table::measure::Symbol;

/// A whole number from 0.
pub(super) fn count(piece: Piece<'_>) -> Result<usize> {
    let digits = piece.text.bytes().all(|b| b.is_ascii_digit());
    match piece.text.parse() {
        Ok(count) if digits => Ok(count),
        _ => Err(piece.error(format!("{:?} is not a whole number", piece.text))),
    }
}

/// A number in one unit.
pub(super) fn in_unit(piece: Piece<'_>, unit: Symbol) -> Result<f64> {
    Ok(piece.amount_in(&[unit])?.value)
}

/// How often a step goes into a full turn.
pub(super) fn steps(piece: Piece<'_>, turn_deg: f64) -> Result<usize> {
    let step = in_unit(piece, Symbol::Degree)?;
    let count = (turn_deg / step).round();
    if !(step > 0.0 && (1.0..=36_000.0).contains(&count)) || (count * step - turn_deg).abs() > 1e-9
    {
        return Err(piece.error(format!("a step of {step}° does not divide {turn_deg}°")));
    }
    // Between 1 and 36 000.
    Ok(count as usize)
}

/// One of some words.
pub(super) fn one_of<T: Copy>(piece: Piece<'_>, what: &str, all: &[(&str, T)]) -> Result<T> {
    all.iter()
        .find(|w| w.0 == piece.text)
        .map(|w| w.1)
        .ok_or_else(|| {
            let words: Vec<&str> = all.iter().map(|w| w.0).collect();
            piece
                .error(format!("there is no {what} {:?}", piece.text))
                .hint(format!("{what}: {}", words.join(", ")))
        })
}
