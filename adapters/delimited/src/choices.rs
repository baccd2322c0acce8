//! Options by name: what a person decides for a file.

use crate::meaning::{Meaning, UnitText, classify};
use crate::names::{self, What};
use crate::split::Separator;
use crate::unit::Unit;
use spheresum_core::intake::ReadOptions;
use spheresum_core::{Error, Polarisation, Result};

/// A heading of the file, and what the person says it is.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct ColumnChoice {
    /// The heading, as typed.
    pub(crate) heading: String,
    /// The role, as typed.
    pub(crate) role: String,
    /// Meaning of the role.
    pub(crate) meaning: Meaning,
    /// Unit of the role.
    pub(crate) unit: UnitText,
}

/// The decided options.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Choices {
    /// `separator`.
    pub(crate) separator: Option<Separator>,
    /// `decimal`: the byte of the decimal sign.
    pub(crate) decimal: Option<u8>,
    /// `column`.
    pub(crate) columns: Vec<ColumnChoice>,
    /// `pol`.
    pub(crate) polarisations: Vec<(String, Polarisation)>,
    /// `quantity`.
    pub(crate) quantity: Option<What>,
    /// `unit`.
    pub(crate) unit: Option<Unit>,
    /// `angles`.
    pub(crate) angles: Option<Unit>,
}

/// The options by name.
const NAMES: &str = "separator, decimal, column, pol, quantity, unit, angles";

impl Choices {
    /// Reads the named options.
    ///
    /// # Errors
    /// Usage: an unknown name or value, or comma for both signs.
    pub(crate) fn of(options: &ReadOptions) -> Result<Self> {
        let mut choices = Self::default();
        for (name, value) in &options.named {
            let value = value.trim();
            match name.as_str() {
                "separator" => choices.separator = Some(separator(value)?),
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
                other => {
                    return Err(Error::usage(format!(
                        "the delimited adapter has no option {other:?}"
                    ))
                    .hint(format!("its options: {NAMES}")));
                }
            }
        }
        if choices.separator == Some(Separator::Comma) && choices.decimal == Some(b',') {
            return Err(Error::usage("the comma cannot be both separator and decimal sign")
                .hint("export the file with semicolons or tabs between the fields, or with decimal points"));
        }
        Ok(choices)
    }
}

/// Quantities an option or a preamble may name.
pub(crate) const QUANTITIES: &str = "eirp, eis, gain, received, level, field";

/// Units of values an option or a preamble may name.
pub(crate) const VALUE_UNITS: &str = "dBm, dBW, W, mW, µW, dBi, dB, 1, sqrtW, V";

/// The quantity a word names without doubt.
pub(crate) fn quantity(text: &str) -> Option<What> {
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
pub(crate) fn value_unit(text: &str) -> Option<Unit> {
    Unit::parse_exact(text).filter(|u| u.is_value())
}

/// The unit of angles a word names.
pub(crate) fn angle_unit(text: &str) -> Option<Unit> {
    Unit::parse(text).filter(|u| matches!(u, Unit::Deg | Unit::Rad))
}

fn unknown(option: &str, value: &str, possible: &str) -> Error {
    Error::usage(format!("{value:?} is no value of the option {option}"))
        .hint(format!("possible: {possible}"))
}

fn separator(value: &str) -> Result<Separator> {
    Separator::ALL
        .into_iter()
        .find(|s| s.word() == value)
        .ok_or_else(|| unknown("separator", value, "comma, semicolon, tab, blank"))
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
                 (θ = 90° − value), or ignore",
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

fn role_of(role: &str) -> Option<(Meaning, UnitText)> {
    if role.eq_ignore_ascii_case("ignore") {
        return Some((Meaning::Ignore, UnitText::None));
    }
    let (meaning, unit) = classify(role);
    let meaning = match meaning {
        Meaning::Guess(names::Guess::Elevation) => Meaning::Elevation,
        Meaning::Guess(_) | Meaning::Unknown => return None,
        // The role has to settle what the name leaves open.
        Meaning::Value(name) if name.what.is_vague() => return None,
        known => known,
    };
    (!matches!(unit, UnitText::Unknown(_))).then_some((meaning, unit))
}

fn polarisations(value: &str) -> Result<Vec<(String, Polarisation)>> {
    pairs("pol", value)?
        .into_iter()
        .map(|(token, polarisation)| {
            let polarisation = names::polarisation(polarisation)
                .ok_or_else(|| unknown("pol", polarisation, "theta, phi, total"))?;
            Ok((token.to_string(), polarisation))
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(name: &str, value: &str) -> Result<Choices> {
        Choices::of(&ReadOptions::default().with_named(name, value))
    }

    #[test]
    fn reads_every_option() {
        assert_eq!(
            of("separator", "tab").map(|c| c.separator).ok(),
            Some(Some(Separator::Tab))
        );
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
            ("separater", "tab"),
            ("separator", "pipe"),
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
            assert_eq!(group, Some(spheresum_core::Group::Usage), "{name}={value}");
        }
    }
}
