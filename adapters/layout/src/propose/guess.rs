//! What a differing part of titles may be.

use crate::propose::numeric::value;
use spheresum_core::intake::text::word::{is_polarisation_guess, polarisation};
use spheresum_core::intake::text::{Guess, Meaning, Separator, Unit, classify};

/// Above this size an angle is in degrees: 2π and a little.
pub(super) const MOST_RADIANS: f64 = 6.4;

/// A placeholder, with what is a guess about it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Placeholder {
    pub(super) placeholder: String,
    pub(super) remark: String,
    pub(super) words: Vec<String>,
}

impl Placeholder {
    /// A person has to say.
    pub(super) fn unknown() -> Self {
        Self::of("{?}", "write for {?} what stands there")
    }

    fn of(placeholder: &str, remark: &str) -> Self {
        Self {
            placeholder: placeholder.to_string(),
            remark: remark.to_string(),
            words: Vec::new(),
        }
    }
}

/// The placeholder for values behind a key and in front of a unit.
pub(super) fn placeholder(key: &str, values: &[&str], unit: &str) -> Placeholder {
    let key = key.trim_end_matches([':', '=', ' ', '[', '(', ',']);
    let (meaning, own_unit) = classify(key);
    let numbers: Vec<f64> = values
        .iter()
        .map_while(|v| value(v, Separator::Blank))
        .collect();
    let unit = Unit::parse(unit.trim_end_matches([',', ';', ':', '.', ')', ']']));
    if numbers.len() < values.len() {
        return of_words(meaning, values);
    }
    let in_degrees = numbers.iter().any(|n| n.abs() > MOST_RADIANS);
    let is_angle = matches!(unit, Some(Unit::Deg | Unit::Rad));
    match meaning {
        Meaning::Frequency if own_unit.known().is_some() => {
            let symbol = own_unit.known().map_or("", Unit::symbol).to_lowercase();
            Placeholder::of(&format!("{{frequency_{symbol}}}"), "")
        }
        _ if matches!(unit, Some(Unit::Frequency(_))) => Placeholder::of("{frequency}", ""),
        Meaning::Theta if is_angle => Placeholder::of("{theta}", ""),
        Meaning::Phi if is_angle => Placeholder::of("{phi}", ""),
        Meaning::Theta if in_degrees => {
            Placeholder::of("{theta_deg}", "degrees, by the size of the numbers")
        }
        Meaning::Phi if in_degrees => {
            Placeholder::of("{phi_deg}", "degrees, by the size of the numbers")
        }
        Meaning::Guess(Guess::Elevation) => Placeholder::of(
            "{?}",
            "{?} may be {elevation_deg} (θ = 90° − value) or {theta_deg}",
        ),
        Meaning::Guess(Guess::Azimuth) => Placeholder::of(
            "{?}",
            "{?} may be {phi_deg} or {clockwise_deg} (φ = −value)",
        ),
        Meaning::Frequency | Meaning::Theta | Meaning::Phi => Placeholder::unknown(),
        _ if counts(&numbers) => Placeholder::of("{skip}", "guess: a running number"),
        _ => Placeholder::unknown(),
    }
}

/// True for 1, 2, 3 … or 0, 1, 2 …
pub(super) fn counts(numbers: &[f64]) -> bool {
    numbers
        .first()
        .is_some_and(|first| *first == 0.0 || *first == 1.0)
        && numbers.len() > 1
        && numbers.windows(2).all(|w| w[1] - w[0] == 1.0)
}

fn of_words(meaning: Meaning, values: &[&str]) -> Placeholder {
    let is_polarisation = |w: &&str| polarisation(w).is_some() || is_polarisation_guess(w);
    let all = values.iter().all(is_polarisation);
    if meaning != Meaning::Polarisation && !all {
        return Placeholder::unknown();
    }
    let mut words: Vec<String> = Vec::new();
    for word in values {
        if polarisation(word).is_none() && !words.iter().any(|w| w == word) {
            words.push((*word).to_string());
        }
    }
    let remark = if meaning == Meaning::Polarisation {
        ""
    } else {
        "guess: a polarisation"
    };
    Placeholder {
        words,
        ..Placeholder::of("{polarisation}", remark)
    }
}
