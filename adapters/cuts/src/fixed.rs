//! The fixed angle of a cut: which it is, its number, and how it is written.

use crate::heading::Angle;
use spheresum_core::intake::Source;
use spheresum_core::intake::text::title::Facts;
use spheresum_core::intake::text::{Clip, Field, Heading, Unit, UnitText, field};
use spheresum_core::{Error, Result};

/// The fixed angle of a cut.
#[derive(Clone, Debug)]
pub(crate) struct Fixed<'a> {
    /// Which angle.
    pub(crate) angle: Angle,
    /// Its name and unit, as a heading.
    pub(crate) heading: Heading<'a>,
    /// Its number.
    pub(crate) number: Field<'a>,
}

/// The fixed angle that a cut's title says, if it does.
///
/// # Errors
/// Input: its name and its number have different units.
pub(crate) fn of<'a>(facts: &Facts<'a>, source: &Source) -> Result<Option<Fixed<'a>>> {
    let Some(stated) = &facts.angle else {
        return Ok(None);
    };
    let (meaning, unit, name) = &stated.value;
    let Some(angle) = Angle::of(*meaning) else {
        return Ok(None);
    };
    let (number, behind) =
        field::number_and_unit(stated.field.text).unwrap_or((stated.field.text, ""));
    let unit = match (unit, Unit::parse(behind)) {
        (UnitText::None, Some(own)) => UnitText::Known(own),
        (UnitText::Known(of_name), Some(own)) if *of_name != own => {
            return Err(Error::input(format!(
                "{} is in {}, and its number {:?} in {}",
                Clip(name),
                of_name.symbol(),
                Clip(stated.field.text),
                own.symbol()
            ))
            .hint("write the unit once")
            .at(stated.field.place(source)));
        }
        (known, _) => known.clone(),
    };
    let spot = stated.field.spot;
    let number = match spot {
        Some(spot) => Field::of(spot.line, spot.start, spot.start + number.len()),
        None => Field::constant(number),
    };
    Ok(Some(Fixed {
        angle,
        heading: Heading::new(Field { text: name, spot }, *meaning, unit),
        number,
    }))
}
