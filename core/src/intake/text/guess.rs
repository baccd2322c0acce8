//! Names with several meanings: the error that shows the meanings and the option that chooses.

use crate::intake::Source;
use crate::intake::text::clip::Clip;
use crate::intake::text::meaning::Meaning;
use crate::intake::text::table::{Heading, Table};
use crate::intake::text::word::{self, Guess};
use crate::{Error, Polarisation};

/// What the table still lacks.
#[derive(Clone, Copy, Debug)]
pub struct Lacks {
    /// θ.
    pub theta: bool,
    /// φ.
    pub phi: bool,
    /// The frequency.
    pub frequency: bool,
    /// Values.
    pub values: bool,
}

/// Most meanings in one message.
const MOST_SHOWN: usize = 8;

/// The error of the headings that may be what the table lacks; `None` where there are none.
pub fn refuse(table: &Table<'_>, source: &Source, lacks: Lacks) -> Option<Error> {
    let mut first = None;
    let mut meanings: Vec<String> = Vec::new();
    let mut choices: Vec<String> = Vec::new();
    let mut polarisations = 0;
    // Beside columns that name their frequency, one that seems to is not left out.
    let wide = table
        .headings
        .iter()
        .any(|h| matches!(h.meaning, Meaning::Value(name) if name.frequency.is_some()));
    for (at, heading) in table.headings.iter().enumerate() {
        let Meaning::Guess(guess) = heading.meaning else {
            continue;
        };
        let text = Clip(heading.text());
        let (meaning, role) = match guess {
            Guess::Elevation if lacks.theta => (
                format!("{text} may be an elevation (θ = 90° − {text}) or θ itself"),
                "elevation_deg".to_string(),
            ),
            Guess::Azimuth if lacks.phi => (
                format!("{text} may be φ, or an axis that turns the other way"),
                "phi_deg".to_string(),
            ),
            Guess::Channel if lacks.frequency => (
                format!("{text} may count channels, and does not say their frequencies"),
                "ignore".to_string(),
            ),
            Guess::Polarisation if lacks.values => {
                polarisations += 1;
                (
                    format!(
                        "{text} may be the theta or the phi polarisation ({text} = θ or {text} = φ)"
                    ),
                    role_of(
                        heading,
                        if polarisations % 2 == 1 {
                            "theta"
                        } else {
                            "phi"
                        },
                    ),
                )
            }
            Guess::Erp if lacks.values => (
                format!(
                    "{text} may be a power over a half-wave dipole (EIRP = ERP + 2.15 dB, which the role erp_… adds) or over an isotropic antenna (eirp_…)"
                ),
                role_of(heading, polarisation_of(heading)),
            ),
            Guess::ColumnFrequency if lacks.values || wide => (
                format!(
                    "the number in {text} may be a frequency without its unit, or count channels or something else"
                ),
                "ignore".to_string(),
            ),
            _ => continue,
        };
        first.get_or_insert(at);
        meanings.push(meaning);
        choices.push(format!("{text}={role}"));
    }
    let first = first?;
    // `H [dBm]` says no quantity, and the choices above name one.
    let is_open = |h: &Heading<'_>| {
        h.meaning == Meaning::Guess(Guess::Polarisation) && quantity_of(h).is_none()
    };
    let open = lacks.values && table.headings.iter().any(is_open);
    let more = if open {
        ", with received_… in the place of eirp_… where they are powers at the receiver"
    } else {
        ""
    };
    meanings.truncate(MOST_SHOWN);
    choices.truncate(MOST_SHOWN);
    Some(
        Error::ambiguous(meanings.join("; "))
            .hint(format!(
                "rename the columns, or say what they are by the option column{more}, such as column={}",
                choices.join(",")
            ))
            .at(table.place(source, first)),
    )
}

/// A likely role for a heading such as `eirp_v_dbm`: its own words with the polarisation put in.
fn role_of(heading: &Heading<'_>, polarisation: &str) -> String {
    let what = match heading.meaning {
        Meaning::Guess(Guess::Erp) => "erp",
        _ => quantity_of(heading).unwrap_or("eirp"),
    };
    let unit = match (what, heading.unit.known()) {
        (_, Some(unit)) if unit.is_value() => unit.symbol().to_lowercase(),
        ("gain", _) => "dbi".to_string(),
        ("loss", _) => "db".to_string(),
        _ => "dbm".to_string(),
    };
    format!("{what}_{polarisation}_{unit}")
}

/// The polarisation that a heading names beside its guess; theta, for an example, where it names none.
fn polarisation_of(heading: &Heading<'_>) -> &'static str {
    let named = heading
        .text()
        .split(|c: char| !c.is_alphanumeric())
        .find_map(word::polarisation);
    named.map_or("theta", Polarisation::as_str)
}

/// The quantity that a heading names beside its guess.
fn quantity_of(heading: &Heading<'_>) -> Option<&'static str> {
    let lower = heading.text().to_lowercase();
    ["eis", "gain", "received", "level", "loss", "eirp"]
        .into_iter()
        .find(|w| lower.contains(w))
}
