//! `[conventions]`: signs and angles that are not as usual.

use crate::layout::Conventions;
use crate::parse::section::Section;
use crate::said::Said;
use spheresum_core::intake::text::number;
use spheresum_core::{Error, Result};

/// Largest offset of an angle, degrees.
const MOST_OFFSET_DEG: f64 = 360.0;

/// Reads `[conventions]`.
///
/// # Errors
/// Input.
pub(crate) fn conventions(root: &Section<'_>) -> Result<Conventions> {
    let Some(section) = root.section("conventions")? else {
        return Ok(Conventions::default());
    };
    section.only(&[
        "theta",
        "phi",
        "theta_offset_deg",
        "phi_offset_deg",
        "time",
        "losses",
    ])?;
    Ok(Conventions {
        elevation: either(&section, "theta", "polar", "elevation")?,
        clockwise: either(&section, "phi", "counterclockwise", "clockwise")?,
        theta_offset_deg: offset(&section, "theta_offset_deg")?,
        phi_offset_deg: offset(&section, "phi_offset_deg")?,
        conjugate: either(&section, "time", "exp(+jwt)", "exp(-jwt)")?,
        losses_are_negative: either(&section, "losses", "positive", "negative")?
            .is_some_and(|said| said.value),
    })
}

/// One of two words: false for the first, true for the second.
fn either(section: &Section<'_>, key: &str, no: &str, yes: &str) -> Result<Option<Said<bool>>> {
    let Some(said) = section.text(key)? else {
        return Ok(None);
    };
    match said.value.trim() {
        word if word == no => Ok(Some(said.map(|_| false))),
        word if word == yes => Ok(Some(said.map(|_| true))),
        _ => Err(section.refuse(key, &said, &format!("{no}, {yes}"))),
    }
}

fn offset(section: &Section<'_>, key: &str) -> Result<f64> {
    let Some(said) = section.decimal(key)? else {
        return Ok(0.0);
    };
    number::whole(&said.value, b'.')
        .filter(|degrees| degrees.abs() <= MOST_OFFSET_DEG)
        .ok_or_else(|| {
            Error::input(format!("{key} = {} is out of range", said.value))
                .hint(format!(
                    "it runs from −{MOST_OFFSET_DEG}° to {MOST_OFFSET_DEG}°"
                ))
                .at(said.place)
        })
}
