//! From the text of one heading to what it means.

use crate::intake::text::column_frequency;
use crate::intake::text::field;
use crate::intake::text::unit::Unit;
use crate::intake::text::word::{Guess, Part, What, Word, word};
use crate::{Frequency, Polarisation};

/// What a heading means, as far as its own text says.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Meaning {
    /// Frequency.
    Frequency,
    /// θ.
    Theta,
    /// φ.
    Phi,
    /// θ = 90° − value. Only a person says so, by the option `column`.
    Elevation,
    /// φ = −value. Only a person says so, by the option `column`.
    Clockwise,
    /// The polarisation of the row's value.
    Polarisation,
    /// When the row was measured.
    Time,
    /// A value.
    Value(ValueName),
    /// A name with several meanings.
    Guess(Guess),
    /// Left out because a person said so.
    Ignore,
    /// Not known.
    Unknown,
}

/// What the name of a value column says.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ValueName {
    /// The quantity.
    pub what: What,
    /// The polarisation.
    pub polarisation: Option<Polarisation>,
    /// The part of a complex value.
    pub part: Option<Part>,
    /// The frequency, where each frequency has a column of its own.
    pub frequency: Option<Frequency>,
}

/// Unit of a heading.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum UnitText {
    /// None written.
    None,
    /// A known one.
    Known(Unit),
    /// A text that is no unit we know.
    Unknown(String),
}

impl UnitText {
    /// The unit, if it is a known one.
    pub fn known(&self) -> Option<Unit> {
        match self {
            Self::Known(unit) => Some(*unit),
            _ => None,
        }
    }
}

/// What a heading's text says: meaning and unit.
pub fn classify(text: &str) -> (Meaning, UnitText) {
    let found = plain(text);
    let is_open = found.0 == Meaning::Unknown || matches!(found.1, UnitText::Unknown(_));
    if !is_open || !text.bytes().any(|b| b.is_ascii_digit()) {
        return found;
    }
    match column_frequency::classify(text) {
        // Where the words say something, a number beside them is no more than a doubt.
        Some((Meaning::Guess(_), _)) if found.0 != Meaning::Unknown => found,
        Some(with_number) => with_number,
        None => found,
    }
}

/// As [`classify`], for names without a number in them.
pub(super) fn plain(text: &str) -> (Meaning, UnitText) {
    let Some((name, unit)) = field::name_and_unit(text) else {
        return (Meaning::Unknown, UnitText::None);
    };
    let tokens: Vec<&str> = name
        // Spreadsheets put blanks that do not break into headings.
        .split([' ', '\u{a0}', '\u{202f}', '_', '-', '.', '/'])
        .filter(|t| !t.is_empty())
        .collect();
    if let Some(unit) = unit {
        let unit = Unit::parse_exact(unit)
            .map_or_else(|| UnitText::Unknown(unit.to_string()), UnitText::Known);
        return (meaning(&tokens, unit.known()), unit);
    }
    let Some((last, front)) = tokens.split_last() else {
        return (Meaning::Unknown, UnitText::None);
    };
    // `eirp_theta_dbm`: the last word is a unit.
    if let Some(unit) = Unit::parse(last) {
        let found = meaning(front, Some(unit));
        if found != Meaning::Unknown && may_be_suffix(found, unit) {
            return (found, UnitText::Known(unit));
        }
    }
    match meaning(&tokens, None) {
        Meaning::Unknown => match meaning(front, None) {
            // `theta_grad`: a name that would be known, and a word in the place of the unit.
            Meaning::Unknown | Meaning::Guess(_) => (Meaning::Unknown, UnitText::None),
            _ => (Meaning::Unknown, UnitText::Unknown((*last).to_string())),
        },
        found => (found, UnitText::None),
    }
}

/// `1` and `v` are units behind the names that have them, and count or name polarisations elsewhere (`pol 1`, `eirp_v`).
fn may_be_suffix(meaning: Meaning, unit: Unit) -> bool {
    let what = match meaning {
        Meaning::Value(name) => Some(name.what),
        _ => None,
    };
    match unit {
        Unit::Volt => what == Some(What::Field),
        Unit::One => matches!(what, Some(What::Field | What::Gain)),
        Unit::Time(_) => meaning == Meaning::Time,
        _ => true,
    }
}

/// The words of a name, counted.
#[derive(Default)]
struct Seen {
    frequency: bool,
    column: bool,
    time: bool,
    what: Option<What>,
    polarisation: Option<Polarisation>,
    /// `ph` alone: φ, or "power, horizontal".
    short_phi: bool,
    part: Option<Part>,
    /// `range` or `path`, which belong to a loss.
    of_loss: bool,
    guess: Option<Guess>,
    /// The guess is a digit, which means something beside `pol` only.
    digit: bool,
}

fn meaning(tokens: &[&str], unit: Option<Unit>) -> Meaning {
    see(tokens).map_or(Meaning::Unknown, |seen| judge(&seen, tokens, unit))
}

/// `None` where a word is not known, or two words contradict each other.
fn see(tokens: &[&str]) -> Option<Seen> {
    let mut seen = Seen::default();
    for token in tokens {
        let new = match word(token)? {
            Word::Theta => seen.polarisation.replace(Polarisation::Theta).is_none(),
            Word::Phi => {
                seen.short_phi = token.eq_ignore_ascii_case("ph");
                seen.polarisation.replace(Polarisation::Phi).is_none()
            }
            Word::Total => seen.polarisation.replace(Polarisation::Total).is_none(),
            Word::Frequency => !std::mem::replace(&mut seen.frequency, true),
            Word::Time => !std::mem::replace(&mut seen.time, true),
            Word::Polarisation => !std::mem::replace(&mut seen.column, true),
            Word::Part(part) => seen.part.replace(part).is_none(),
            Word::Guess(guess) => {
                seen.digit = matches!(*token, "1" | "2");
                seen.guess.replace(guess).is_none()
            }
            Word::Filler => true,
            Word::OfLoss => {
                seen.of_loss = true;
                true
            }
            Word::What(what) => match (seen.what, what) {
                (None, _) => seen.what.replace(what).is_none(),
                // `received power`, `rx level`, `e field`, `EIS sensitivity` are one thing each; `power level` is vague.
                (Some(What::Received), What::Power | What::Level)
                | (Some(What::Level), What::Received) => {
                    seen.what = Some(What::Received);
                    true
                }
                (Some(What::Power), What::Received) => {
                    seen.what = Some(What::Received);
                    true
                }
                (Some(What::Field), What::Field) => true,
                (Some(What::Power), What::Level) | (Some(What::Level), What::Power) => {
                    seen.what = Some(What::Power);
                    true
                }
                (Some(What::Eis), What::Sensitivity) | (Some(What::Eirp), What::Power) => true,
                _ => false,
            },
        };
        if !new {
            return None;
        }
    }
    Some(seen)
}

fn judge(seen: &Seen, tokens: &[&str], unit: Option<Unit>) -> Meaning {
    if seen.of_loss && seen.what != Some(What::Loss) {
        return Meaning::Unknown;
    }
    if seen.time {
        return match tokens {
            [_] => Meaning::Time,
            _ => Meaning::Unknown,
        };
    }
    let is_value = seen.what.is_some() || seen.part.is_some() || unit.is_some_and(Unit::is_value);
    if let Some(guess) = seen.guess {
        return match guess {
            Guess::Erp if !seen.frequency => Meaning::Guess(Guess::Erp),
            _ if seen.frequency || seen.polarisation.is_some() => Meaning::Unknown,
            _ if seen.digit && !seen.column => Meaning::Unknown,
            Guess::Elevation | Guess::Azimuth | Guess::Channel if is_value => Meaning::Unknown,
            guess => Meaning::Guess(guess),
        };
    }
    if seen.frequency {
        let alone = seen.what.is_none()
            && seen.part.is_none()
            && seen.polarisation.is_none()
            && !seen.column;
        return if alone {
            Meaning::Frequency
        } else {
            Meaning::Unknown
        };
    }
    if is_value {
        if seen.what.is_none() && seen.short_phi {
            return Meaning::Guess(Guess::Polarisation);
        }
        return Meaning::Value(ValueName {
            what: seen.what.unwrap_or(if seen.part.is_some() {
                What::Field
            } else {
                What::Unsaid
            }),
            polarisation: seen.polarisation,
            part: seen.part,
            frequency: None,
        });
    }
    match (seen.polarisation, seen.column) {
        (None, true) => Meaning::Polarisation,
        (Some(Polarisation::Theta), false) => Meaning::Theta,
        (Some(Polarisation::Phi), false) => Meaning::Phi,
        (Some(_), _) => Meaning::Value(ValueName {
            what: What::Unsaid,
            polarisation: seen.polarisation,
            part: None,
            frequency: None,
        }),
        (None, false) => Meaning::Unknown,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Polarisation::{Phi, Theta, Total};

    fn value(what: What, polarisation: Option<Polarisation>, part: Option<Part>) -> Meaning {
        Meaning::Value(ValueName {
            what,
            polarisation,
            part,
            frequency: None,
        })
    }

    #[test]
    fn canonical_and_trade_names() {
        use Meaning as M;
        for (text, meaning, unit) in [
            ("frequency_mhz", M::Frequency, Some("MHz")),
            ("Freq [GHz]", M::Frequency, Some("GHz")),
            ("theta_deg", M::Theta, Some("deg")),
            ("Theta angle (rad)", M::Theta, Some("rad")),
            (
                "EIRP\u{a0}theta [dBm]",
                value(What::Eirp, Some(Theta), None),
                Some("dBm"),
            ),
            ("φ [°]", M::Phi, Some("deg")),
            ("ph_deg", M::Phi, Some("deg")),
            ("pol", M::Polarisation, None),
            ("Polarization", M::Polarisation, None),
            (
                "EIRP theta [dBm]",
                value(What::Eirp, Some(Theta), None),
                Some("dBm"),
            ),
            ("EIRP (dBm)", value(What::Eirp, None, None), Some("dBm")),
            (
                "eis_phi_dbm",
                value(What::Eis, Some(Phi), None),
                Some("dBm"),
            ),
            (
                "gain_total_dbi",
                value(What::Gain, Some(Total), None),
                Some("dBi"),
            ),
            (
                "gain_theta_1",
                value(What::Gain, Some(Theta), None),
                Some("1"),
            ),
            (
                "rx power phi (uW)",
                value(What::Received, Some(Phi), None),
                Some("µW"),
            ),
            (
                "received_theta_dbm",
                value(What::Received, Some(Theta), None),
                Some("dBm"),
            ),
            (
                "field_theta_re",
                value(What::Field, Some(Theta), Some(Part::Re)),
                None,
            ),
            (
                "E-field phi imag [V]",
                value(What::Field, Some(Phi), Some(Part::Im)),
                Some("V"),
            ),
            (
                "field_phi_im_sqrtw",
                value(What::Field, Some(Phi), Some(Part::Im)),
                Some("sqrtW"),
            ),
            ("power_dbm", value(What::Power, None, None), Some("dBm")),
            (
                "total [dBm]",
                value(What::Unsaid, Some(Total), None),
                Some("dBm"),
            ),
            (
                "theta_dbm",
                value(What::Unsaid, Some(Theta), None),
                Some("dBm"),
            ),
            (
                "loss_theta_db",
                value(What::Loss, Some(Theta), None),
                Some("dB"),
            ),
            ("elevation_deg", M::Guess(Guess::Elevation), Some("deg")),
            ("az", M::Guess(Guess::Azimuth), None),
            ("V [dBm]", M::Guess(Guess::Polarisation), Some("dBm")),
            ("eirp_h_dbm", M::Guess(Guess::Polarisation), Some("dBm")),
            ("pol 1", M::Guess(Guess::Polarisation), None),
            ("eirp_v", M::Guess(Guess::Polarisation), None),
            ("1", M::Unknown, None),
            ("ph_dbm", M::Guess(Guess::Polarisation), Some("dBm")),
            ("channel", M::Guess(Guess::Channel), None),
            ("roll_deg", M::Unknown, None),
            ("time_s", M::Time, Some("s")),
            ("Time [min]", M::Time, Some("min")),
            ("timestamp", M::Time, None),
            ("power time", M::Unknown, None),
            ("eirp_s", M::Unknown, None),
            ("theta [deg] phi [deg]", M::Unknown, None),
            ("theta phi", M::Unknown, None),
        ] {
            let (got, got_unit) = classify(text);
            assert_eq!(got, meaning, "{text}");
            if meaning != M::Unknown {
                assert_eq!(got_unit.known().map(Unit::symbol), unit, "{text}");
            }
        }
    }

    #[test]
    fn unknown_units_are_kept() {
        assert_eq!(
            classify("theta_grad").1,
            UnitText::Unknown("grad".to_string())
        );
        assert_eq!(
            classify("EIRP theta [dBuV]").1,
            UnitText::Unknown("dBuV".to_string())
        );
        assert_eq!(
            classify("eirp_theta_furlong"),
            (Meaning::Unknown, UnitText::Unknown("furlong".to_string()))
        );
    }
}
