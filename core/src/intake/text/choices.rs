//! Options by name: what a person decides for a file.

use crate::intake::ReadOptions;
use crate::intake::text::meaning::{Meaning, UnitText, ValueName, classify};
use crate::intake::text::unit::Unit;
use crate::intake::text::word::{self, What};
use crate::{Error, Polarisation, Result};

/// A heading of the file, and what the person says it is.
#[derive(Clone, Debug, PartialEq)]
pub struct ColumnChoice {
    /// The heading, as typed.
    pub heading: String,
    /// The role, as typed.
    pub role: String,
    /// Meaning of the role.
    pub meaning: Meaning,
    /// Unit of the role.
    pub unit: UnitText,
}

/// The decided options.
#[derive(Clone, Debug, Default, PartialEq)]
#[non_exhaustive]
pub struct Choices {
    /// `decimal`: the byte of the decimal sign.
    pub decimal: Option<u8>,
    /// `column`.
    pub columns: Vec<ColumnChoice>,
    /// `pol`.
    pub polarisations: Vec<(String, Polarisation)>,
    /// `quantity`.
    pub quantity: Option<What>,
    /// `unit`.
    pub unit: Option<Unit>,
    /// `angles`.
    pub angles: Option<Unit>,
    /// Texts of value fields that stand for another: for nothing (missing), `<X`, `>X` or `inf`.
    pub stand_ins: Vec<(String, String)>,
    /// Added to every θ, degrees.
    pub theta_offset_deg: f64,
    /// Added to every φ, degrees.
    pub phi_offset_deg: f64,
    /// Losses are written as negative decibels.
    pub losses_are_negative: bool,
}

/// The options by name, which all text adapters share.
const NAMES: &str = "decimal, column, pol, quantity, unit, angles";

impl Choices {
    /// Reads the named options that all text adapters share. The adapter `id` reads those called in `own` itself.
    ///
    /// # Errors
    /// Usage: an unknown name or value.
    pub fn of(options: &ReadOptions, id: &str, own: &[&str]) -> Result<Self> {
        let mut choices = Self::default();
        for (name, value) in &options.named {
            let value = value.trim();
            match name.as_str() {
                "decimal" => choices.decimal = Some(decimal(value)?),
                "column" => choices.columns = columns(value)?,
                "pol" => choices.polarisations = polarisations(value)?,
                "quantity" => {
                    choices.quantity = Some(
                        quantity(value).ok_or_else(|| unknown("quantity", value, QUANTITIES))?,
                    )
                }
                "unit" => {
                    choices.unit =
                        Some(value_unit(value).ok_or_else(|| unknown("unit", value, VALUE_UNITS))?)
                }
                "angles" => {
                    choices.angles = Some(
                        angle_unit(value).ok_or_else(|| unknown("angles", value, "deg, rad"))?,
                    )
                }
                other if own.contains(&other) => {}
                other => {
                    let own: String = own.iter().flat_map(|name| [name, ", "]).collect();
                    return Err(
                        Error::usage(format!("the {id} adapter has no option {other:?}"))
                            .hint(format!("its options: {own}{NAMES}")),
                    );
                }
            }
        }
        Ok(choices)
    }
}

/// Quantities an option or a preamble may name.
pub const QUANTITIES: &str = "eirp, eis, gain, received, level, field";

/// Units of values an option or a preamble may name.
pub const VALUE_UNITS: &str = "dBm, dBW, W, mW, µW, dBi, dB, 1, sqrtW, V";

/// The quantity a word names without doubt.
pub fn quantity(text: &str) -> Option<What> {
    match classify(text) {
        (Meaning::Value(name), UnitText::None)
            if name.polarisation.is_none() && name.part.is_none() =>
        {
            name.what.quantity().map(|_| name.what)
        }
        _ => None,
    }
}

/// The unit of values a word names.
pub fn value_unit(text: &str) -> Option<Unit> {
    Unit::parse_exact(text).filter(|u| u.is_value())
}

/// The unit of angles a word names.
pub fn angle_unit(text: &str) -> Option<Unit> {
    Unit::parse(text).filter(|u| matches!(u, Unit::Deg | Unit::Rad))
}

/// The error of a value that an option does not take.
#[must_use]
pub fn unknown(option: &str, value: &str, possible: &str) -> Error {
    Error::usage(format!("{value:?} is no value of the option {option}"))
        .hint(format!("possible: {possible}"))
}

fn decimal(value: &str) -> Result<u8> {
    match value {
        "point" => Ok(b'.'),
        "comma" => Ok(b','),
        _ => Err(unknown("decimal", value, "point, comma")),
    }
}

/// Splits `A=B,C=D`; the last `=` of a part counts, so that a heading may contain one.
fn pairs<'a>(option: &str, value: &'a str) -> Result<Vec<(&'a str, &'a str)>> {
    value
        .split(',')
        .map(|pair| {
            let (left, right) = pair.rsplit_once('=').ok_or_else(|| {
                Error::usage(format!("{pair:?} in the option {option} has no `=`"))
            })?;
            Ok((left.trim(), right.trim()))
        })
        .collect()
}

fn columns(value: &str) -> Result<Vec<ColumnChoice>> {
    let mut found = Vec::new();
    for (heading, role) in pairs("column", value)? {
        let (meaning, unit) = role_of(role).ok_or_else(|| {
            Error::usage(format!("{role:?} in the option column is no column name")).hint(
                "roles are canonical column names (theta_deg, phi_deg, frequency_mhz, pol, eirp_theta_dbm …), elevation_deg \
                 (θ = 90° − value), clockwise_deg (φ = −value), erp_theta_dbm (EIRP = value + 2.15 dB), or ignore",
            )
        })?;
        found.push(ColumnChoice {
            heading: heading.to_string(),
            role: role.to_string(),
            meaning,
            unit,
        });
    }
    Ok(found)
}

/// The role of an angle that runs the other way: `clockwise_deg`, `clockwise_rad`.
fn clockwise(role: &str) -> Option<(Meaning, UnitText)> {
    let unit = match role.to_lowercase().as_str() {
        "clockwise" => UnitText::None,
        "clockwise_deg" => UnitText::Known(Unit::Deg),
        "clockwise_rad" => UnitText::Known(Unit::Rad),
        _ => return None,
    };
    Some((Meaning::Clockwise, unit))
}

/// What a role means, and its unit: a canonical column name, `elevation_deg`, `clockwise_deg`, or `ignore`.
#[must_use]
pub fn role_of(role: &str) -> Option<(Meaning, UnitText)> {
    if role.eq_ignore_ascii_case("ignore") {
        return Some((Meaning::Ignore, UnitText::None));
    }
    let (meaning, unit) = classify(role);
    let meaning = match meaning {
        Meaning::Guess(word::Guess::Elevation) => Meaning::Elevation,
        Meaning::Guess(word::Guess::Erp) => erp(role)?,
        Meaning::Unknown if clockwise(role).is_some() => return clockwise(role),
        Meaning::Guess(_) | Meaning::Unknown => return None,
        // The role has to settle what the name leaves open.
        Meaning::Value(name) if name.what.is_vague() => return None,
        known => known,
    };
    (!matches!(unit, UnitText::Unknown(_))).then_some((meaning, unit))
}

/// The meaning of the role `erp_theta_dbm` and its kin.
fn erp(role: &str) -> Option<Meaning> {
    let isotropic = role.to_lowercase().replacen("erp", "eirp", 1);
    match classify(&isotropic).0 {
        Meaning::Value(name) if name.what == What::Eirp => Some(Meaning::Value(ValueName {
            what: What::Erp,
            ..name
        })),
        _ => None,
    }
}

fn polarisations(value: &str) -> Result<Vec<(String, Polarisation)>> {
    pairs("pol", value)?
        .into_iter()
        .map(|(token, polarisation)| {
            let polarisation = word::polarisation(polarisation)
                .ok_or_else(|| unknown("pol", polarisation, "theta, phi, total"))?;
            Ok((token.to_string(), polarisation))
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(name: &str, value: &str) -> Result<Choices> {
        Choices::of(&ReadOptions::default().with_named(name, value), "test", &[])
    }

    #[test]
    fn reads_every_option() {
        assert_eq!(
            of("decimal", "comma").map(|c| c.decimal).ok(),
            Some(Some(b','))
        );
        assert_eq!(
            of("quantity", "received power").map(|c| c.quantity).ok(),
            Some(Some(What::Received))
        );
        assert_eq!(
            of("angles", "rad").map(|c| c.angles).ok(),
            Some(Some(Unit::Rad))
        );
        let columns = of(
            "column",
            "V [dBm]=eirp_theta_dbm, el=elevation_deg,x=ignore",
        )
        .map(|c| c.columns)
        .unwrap_or_default();
        assert_eq!(columns.len(), 3);
        assert_eq!(columns.first().map(|c| c.heading.as_str()), Some("V [dBm]"));
        assert_eq!(columns.get(1).map(|c| c.meaning), Some(Meaning::Elevation));
        let pol = of("pol", "V=theta,H=phi")
            .map(|c| c.polarisations)
            .unwrap_or_default();
        assert_eq!(pol.first(), Some(&("V".to_string(), Polarisation::Theta)));
    }

    #[test]
    fn refuses_the_rest() {
        for (name, value) in [
            ("separator", "tab"),
            ("decimal", "dot"),
            ("column", "V"),
            ("column", "V=azimuth_deg"),
            ("column", "V=power_dbm"),
            ("pol", "V=vertical"),
            ("quantity", "power"),
            ("unit", "deg"),
            ("angles", "gon"),
        ] {
            let group = of(name, value).err().map(|e| e.group());
            assert_eq!(group, Some(crate::Group::Usage), "{name}={value}");
        }
    }
}
