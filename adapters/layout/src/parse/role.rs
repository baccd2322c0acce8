//! Roles: what a column, an axis or a part of a title is.

use crate::layout::Role;
use crate::said::Said;
use spheresum_core::intake::text::choices::role_of;
use spheresum_core::intake::text::{Clip, Guess, Meaning, UnitText, What, classify};
use spheresum_core::spelling::nearest;
use spheresum_core::{Error, Result};

/// What is possible, for hints.
pub(crate) const POSSIBLE: &str = "theta_deg, phi_deg, elevation_deg (θ = 90° − value), clockwise_deg (φ = −value), erp_theta_dbm (EIRP = value + 2.15 dB), \
    frequency_mhz, pol, eirp_theta_dbm, received_phi_dbm, loss_theta_db, field_theta_re …, or ignore";

/// Some roles, for suggestions.
const SOME: [&str; 30] = [
    "theta_deg",
    "theta_rad",
    "phi_deg",
    "phi_rad",
    "elevation_deg",
    "clockwise_deg",
    "frequency_hz",
    "frequency_khz",
    "frequency_mhz",
    "frequency_ghz",
    "pol",
    "ignore",
    "eirp_theta_dbm",
    "eirp_phi_dbm",
    "eirp_total_dbm",
    "eirp_dbm",
    "eis_theta_dbm",
    "eis_phi_dbm",
    "eis_dbm",
    "gain_theta_dbi",
    "gain_phi_dbi",
    "gain_dbi",
    "received_theta_dbm",
    "received_phi_dbm",
    "received_dbm",
    "level_theta_dbm",
    "level_phi_dbm",
    "loss_theta_db",
    "loss_phi_db",
    "field_theta_re",
];

/// The role that a text names.
///
/// # Errors
/// Input: it names none, or leaves it open what it is.
pub(crate) fn role(said: &Said<&str>) -> Result<Role> {
    let text = said.value.trim();
    match role_of(text) {
        Some((meaning, unit)) => Ok(Role {
            text: text.to_string(),
            meaning,
            unit,
        }),
        None if possible_readings(text).is_some() => {
            let readings = possible_readings(text).unwrap_or_default();
            Err(
                Error::ambiguous(format!("{:?} may be several things", Clip(text)))
                    .hint(format!("say which: {readings}"))
                    .at(said.place.clone()),
            )
        }
        None => {
            let meant = nearest(text, SOME)
                .map_or_else(String::new, |near| format!("did you mean {near}? "));
            Err(
                Error::input(format!("{:?} does not say what it is", Clip(text)))
                    .hint(format!("{meant}possible: {POSSIBLE}"))
                    .at(said.place.clone()),
            )
        }
    }
}

/// What a name may be that leaves it open.
fn possible_readings(text: &str) -> Option<&'static str> {
    let (meaning, _) = classify(text);
    Some(match meaning {
        Meaning::Value(name) => match name.what {
            What::Power => "eirp_…, or received_… for a power before the range loss",
            What::Sensitivity => {
                "eis_…, or level_… for the instrument's level before the range loss"
            }
            What::Unsaid => "eirp_…, received_…, eis_…, level_… or gain_…",
            _ => return None,
        },
        Meaning::Guess(Guess::Azimuth) => "phi_deg, or clockwise_deg (φ = −value)",
        Meaning::Guess(Guess::Elevation) => "elevation_deg (θ = 90° − value), or theta_deg",
        Meaning::Guess(Guess::Polarisation) => "theta or phi, such as eirp_theta_dbm",
        Meaning::Guess(Guess::Channel) => "ignore, and give the frequency in [constants]",
        Meaning::Guess(Guess::ColumnFrequency) => {
            "the values without the number, and frequency_mhz = … for their frequency"
        }
        Meaning::Guess(Guess::Erp) => {
            "erp_theta_dbm and its kin (EIRP = value + 2.15 dB), or eirp_…"
        }
        _ => return None,
    })
}

/// The role of an angle or a frequency: of an axis, or a part of a title.
///
/// # Errors
/// Input: another role, or a frequency without a unit.
pub(crate) fn of_axis(said: &Said<&str>) -> Result<Role> {
    let role = role(said)?;
    if !matches!(
        role.meaning,
        Meaning::Theta
            | Meaning::Phi
            | Meaning::Elevation
            | Meaning::Clockwise
            | Meaning::Frequency
    ) {
        return Err(Error::input(format!("{} is no axis", role.text))
            .hint("an axis is theta_deg, phi_deg, elevation_deg, clockwise_deg or frequency_mhz")
            .at(said.place.clone()));
    }
    with_unit(role, said)
}

/// Refuses a frequency without a unit: nothing else of a layout can give it.
///
/// # Errors
/// Input.
pub(crate) fn with_unit(role: Role, said: &Said<&str>) -> Result<Role> {
    if role.meaning == Meaning::Frequency && role.unit == UnitText::None {
        return Err(Error::input(format!("{} has no unit", role.text))
            .hint("write frequency_hz, frequency_khz, frequency_mhz or frequency_ghz")
            .at(said.place.clone()));
    }
    Ok(role)
}
