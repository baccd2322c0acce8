//! `[constants]`: what the files leave out.

use crate::layout::Constants;
use crate::parse::columns::no_frequency;
use crate::parse::section::Section;
use crate::said::{Said, line_of};
use spheresum_core::intake::text::plan::{PHI_DEG, THETA_DEG, is_in};
use spheresum_core::intake::text::{choices, number, word};
use spheresum_core::unit::frequency::FrequencyUnit;
use spheresum_core::{Error, Frequency, Result};

const FREQUENCIES: [(&str, FrequencyUnit); 4] = [
    ("frequency_hz", FrequencyUnit::Hz),
    ("frequency_khz", FrequencyUnit::Khz),
    ("frequency_mhz", FrequencyUnit::Mhz),
    ("frequency_ghz", FrequencyUnit::Ghz),
];

const KEYS: [&str; 10] = [
    "frequency_mhz",
    "frequency_hz",
    "frequency_khz",
    "frequency_ghz",
    "polarisation",
    "quantity",
    "unit",
    "angles",
    "theta_deg",
    "phi_deg",
];

/// Reads `[constants]`.
///
/// # Errors
/// Input.
pub(crate) fn constants(root: &Section<'_>) -> Result<Constants> {
    let Some(section) = root.section("constants")? else {
        return Ok(Constants::default());
    };
    section.only(&KEYS)?;
    let polarisations = "theta, phi, total";
    Ok(Constants {
        frequency: frequency(&section)?,
        polarisation: word(&section, "polarisation", polarisations, word::polarisation)?,
        quantity: word(&section, "quantity", choices::QUANTITIES, choices::quantity)?,
        unit: word(&section, "unit", choices::VALUE_UNITS, choices::value_unit)?,
        angles: word(&section, "angles", "deg, rad", choices::angle_unit)?,
        theta_deg: angle(&section, "theta_deg", THETA_DEG)?,
        phi_deg: angle(&section, "phi_deg", PHI_DEG)?,
    })
}

fn word<T>(
    section: &Section<'_>,
    key: &str,
    possible: &str,
    read: impl Fn(&str) -> Option<T>,
) -> Result<Option<Said<T>>> {
    let Some(said) = section.text(key)? else {
        return Ok(None);
    };
    match read(said.value.trim()) {
        Some(value) => Ok(Some(Said::new(value, said.place))),
        None => Err(section.refuse(key, &said, possible)),
    }
}

fn frequency(section: &Section<'_>) -> Result<Option<Said<Frequency>>> {
    let mut found: Option<Said<Frequency>> = None;
    for (key, unit) in FREQUENCIES {
        let Some(said) = section.decimal(key)? else {
            continue;
        };
        if let Some(first) = &found {
            return Err(Error::input("two constants give the frequency")
                .hint(format!("the other stands in {}", line_of(&first.place)))
                .at(said.place));
        }
        let frequency = Frequency::parse(&said.value, unit).ok_or_else(|| no_frequency(&said))?;
        found = Some(said.map(|_| frequency));
    }
    Ok(found)
}

fn angle(section: &Section<'_>, key: &str, range: (f64, f64)) -> Result<Option<Said<String>>> {
    let said = section.decimal(key)?;
    match said {
        Some(said)
            if !number::whole(&said.value, b'.').is_some_and(|degrees| is_in(range, degrees)) =>
        {
            Err(
                Error::input(format!("{key} = {} is out of range", said.value))
                    .hint(format!("it runs from {}° to {}°", range.0, range.1))
                    .at(said.place),
            )
        }
        said => Ok(said),
    }
}
