//! What the layout decides, and what the call adds where the layout leaves it open.

use crate::layout::Layout;
use crate::said::{Said, line_of};
use spheresum_core::intake::ReadOptions;
use spheresum_core::intake::text::Choices;
use spheresum_core::{Error, Result};

/// The choices and options that hold.
///
/// # Errors
/// Usage: an unknown option, or one that says something else than the layout.
pub(crate) fn decide(layout: &Layout, options: &ReadOptions) -> Result<(Choices, ReadOptions)> {
    let mut choices = Choices::of(options, layout.id(), &[])?;
    let constants = &layout.constants;
    merge(
        "decimal",
        &mut choices.decimal,
        layout.text.decimal.as_ref(),
    )?;
    merge(
        "quantity",
        &mut choices.quantity,
        constants.quantity.as_ref(),
    )?;
    merge("unit", &mut choices.unit, constants.unit.as_ref())?;
    merge("angles", &mut choices.angles, constants.angles.as_ref())?;
    for (word, polarisation) in &layout.polarisation_words {
        let given = choices
            .polarisations
            .iter()
            .find(|(w, p)| w.to_lowercase() == *word && p != polarisation);
        if let Some((word, _)) = given {
            return Err(Error::usage(format!(
                "the option pol says what {word} stands for, and the layout {} says otherwise",
                layout.file
            ))
            .hint("leave the option out, or correct the layout"));
        }
        choices.polarisations.push((word.clone(), *polarisation));
    }
    choices.theta_offset_deg = layout.conventions.theta_offset_deg;
    choices.phi_offset_deg = layout.conventions.phi_offset_deg;
    choices.losses_are_negative = layout.conventions.losses_are_negative;
    let mut options = options.clone();
    merge(
        "frequency",
        &mut options.frequency,
        constants.frequency.as_ref(),
    )?;
    merge(
        "polarisation",
        &mut options.polarisation,
        constants.polarisation.as_ref(),
    )?;
    Ok((choices, options))
}

/// Takes what the layout says; what the call says has to be the same.
fn merge<T: Copy + PartialEq>(
    what: &str,
    given: &mut Option<T>,
    said: Option<&Said<T>>,
) -> Result<()> {
    let Some(said) = said else {
        return Ok(());
    };
    match given {
        Some(given) if *given != said.value => Err(Error::usage(format!(
            "the call gives the {what}, and the layout gives another ({})",
            line_of(&said.place)
        ))
        .hint("leave the option out, or correct the layout")
        .at(said.place.clone())),
        _ => {
            *given = Some(said.value);
            Ok(())
        }
    }
}
