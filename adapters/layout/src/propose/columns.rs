//! The columns of a table: what each may be, and what its values show.

use crate::propose::guess::{MOST_RADIANS, counts};
use crate::propose::numeric::{is_numeric, value};
use crate::propose::runs::Runs;
use spheresum_core::Polarisation;
use spheresum_core::intake::text::word::{is_polarisation_guess, polarisation};
use spheresum_core::intake::text::{
    Clip, Guess, Meaning, Part, Unit, UnitText, ValueName, What, classify,
};

/// Most different words of a column that are kept.
const MOST_WORDS: usize = 8;

/// What is proposed for a column.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Proposed {
    /// The role, or `?`.
    pub(super) is: String,
    /// Why, or what is possible.
    pub(super) remark: String,
    /// Words of a polarisation column that have to be settled.
    pub(super) words: Vec<String>,
}

/// What the fields of a column show.
#[derive(Clone, Debug, Default)]
struct Shown<'a> {
    numbers: Vec<f64>,
    words: Vec<&'a str>,
}

/// A proposal for a column, with its heading where there is one.
pub(super) fn column(found: &Runs<'_>, at: usize, heading: Option<&str>) -> Proposed {
    let shown = shown(found, at);
    let (meaning, unit) = heading.map_or((Meaning::Unknown, UnitText::None), classify);
    let are_words = shown.numbers.is_empty() && !shown.words.is_empty();
    let touch = |w: &&str| w.chars().filter(char::is_ascii_digit).count() > 4;
    let mut proposed = match are_words {
        true if found.fixed.is_some() && shown.words.iter().any(touch) => {
            of("?", "numbers that touch: give each its own range")
        }
        true => of_words(meaning, &shown),
        false => of_numbers(meaning, &unit, &shown),
    };
    let range = describe(&shown);
    if proposed.is == "?" && !range.is_empty() {
        proposed.remark = match proposed.remark.as_str() {
            "" => range,
            remark => format!("{remark}; {range}"),
        };
    }
    proposed
}

/// Texts of columns of numbers that are neither numbers nor known to stand for none.
pub(super) fn tokens(found: &Runs<'_>, columns: usize) -> Vec<String> {
    let mut tokens: Vec<String> = Vec::new();
    for at in 0..columns {
        let shown = shown(found, at);
        if shown.numbers.len() <= shown.words.len() {
            continue;
        }
        for word in shown.words {
            if tokens.len() < MOST_WORDS && !tokens.iter().any(|t| t == word) {
                tokens.push(word.to_string());
            }
        }
    }
    tokens
}

fn shown<'a>(found: &Runs<'a>, at: usize) -> Shown<'a> {
    let mut shown = Shown::default();
    for row in found.runs.iter().flatten() {
        let text = row.text(at);
        match value(text, found.separator) {
            Some(number) => shown.numbers.push(number),
            None if text.is_empty() || is_numeric(text, found.separator) => {}
            None => shown.words.push(text),
        }
    }
    shown
}

fn of(is: &str, remark: &str) -> Proposed {
    Proposed {
        is: is.to_string(),
        remark: remark.to_string(),
        words: Vec::new(),
    }
}

fn of_words(meaning: Meaning, shown: &Shown<'_>) -> Proposed {
    let known = |w: &&&str| polarisation(w).is_some() || is_polarisation_guess(w);
    let all = shown.words.iter().filter(known).count() == shown.words.len();
    if meaning != Meaning::Polarisation && !all {
        return of("ignore", "guess: its texts are no numbers");
    }
    let mut words: Vec<String> = Vec::new();
    for word in &shown.words {
        let new =
            polarisation(word).is_none() && !words.iter().any(|w| w.eq_ignore_ascii_case(word));
        if new && words.len() < MOST_WORDS {
            words.push((*word).to_string());
        }
    }
    let remark = if meaning == Meaning::Polarisation {
        ""
    } else {
        "guess: its texts are words for polarisations"
    };
    Proposed {
        words,
        ..of("pol", remark)
    }
}

fn of_numbers(meaning: Meaning, unit: &UnitText, shown: &Shown<'_>) -> Proposed {
    let most = shown.numbers.iter().fold(0.0_f64, |m, n| m.max(n.abs()));
    match (meaning, unit.known()) {
        (Meaning::Theta, Some(unit)) => of(&format!("theta_{}", unit.symbol()), ""),
        (Meaning::Phi, Some(unit)) => of(&format!("phi_{}", unit.symbol()), ""),
        (Meaning::Theta, None) if most > MOST_RADIANS => {
            of("theta_deg", "degrees, by the size of its numbers")
        }
        (Meaning::Phi, None) if most > MOST_RADIANS => {
            of("phi_deg", "degrees, by the size of its numbers")
        }
        (Meaning::Theta, None) => of("?", "theta_deg or theta_rad"),
        (Meaning::Phi, None) => of("?", "phi_deg or phi_rad"),
        (Meaning::Frequency, Some(unit)) => {
            of(&format!("frequency_{}", unit.symbol().to_lowercase()), "")
        }
        (Meaning::Frequency, None) => of(
            "?",
            "frequency_hz, frequency_khz, frequency_mhz or frequency_ghz",
        ),
        (Meaning::Polarisation, _) => Proposed {
            words: numbered(shown),
            ..of("pol", "")
        },
        (Meaning::Value(name), unit) => of_value(name, unit),
        (Meaning::Guess(guess), unit) => of("?", &of_guess(guess, unit)),
        _ if counts(&shown.numbers) => of("ignore", "guess: a running number"),
        _ => of("?", ""),
    }
}

/// Numbers that stand for polarisations.
fn numbered(shown: &Shown<'_>) -> Vec<String> {
    let mut words: Vec<String> = Vec::new();
    for number in &shown.numbers {
        let word = number.to_string();
        if !words.contains(&word) && words.len() < MOST_WORDS {
            words.push(word);
        }
    }
    words
}

fn of_value(name: ValueName, unit: Option<Unit>) -> Proposed {
    let tail = tail(name, unit);
    let role = |what: What| format!("{}{tail}", what.word());
    let needs_unit = unit.is_none() && name.what != What::Field;
    let remark = if needs_unit {
        ", with its unit behind it such as _dbm"
    } else {
        ""
    };
    let possible: &[What] = match name.what {
        What::Unsaid if unit == Some(Unit::Dbi) => return of(&role(What::Gain), ""),
        What::Power | What::Unsaid => &[What::Eirp, What::Received],
        What::Sensitivity => &[What::Eis, What::Level],
        what if needs_unit => return of("?", &format!("{}{remark}", role(what))),
        what => return of(&role(what), ""),
    };
    let roles: Vec<String> = possible.iter().map(|w| role(*w)).collect();
    of("?", &format!("{}{remark}", roles.join(" or ")))
}

/// Polarisation, part and unit of a value's role.
fn tail(name: ValueName, unit: Option<Unit>) -> String {
    let polarisation = match name.polarisation {
        Some(Polarisation::Theta) => "_theta",
        Some(Polarisation::Phi) => "_phi",
        Some(Polarisation::Total) => "_total",
        None => "",
    };
    let part = match name.part {
        Some(Part::Re) => "_re",
        Some(Part::Im) => "_im",
        None => "",
    };
    let unit = unit.map_or_else(String::new, |u| match u {
        Unit::Uw => "_uw".to_string(),
        unit => format!("_{}", unit.symbol().to_lowercase()),
    });
    format!("{polarisation}{part}{unit}")
}

fn of_guess(guess: Guess, unit: Option<Unit>) -> String {
    let angle = if unit == Some(Unit::Rad) {
        "rad"
    } else {
        "deg"
    };
    let level = unit.map_or_else(|| "dbm".to_string(), |u| u.symbol().to_lowercase());
    match guess {
        Guess::Elevation => format!("elevation_{angle} (θ = 90° − value) or theta_{angle}"),
        Guess::Azimuth => format!("phi_{angle} or clockwise_{angle} (φ = −value)"),
        Guess::Polarisation => format!(
            "eirp_theta_{level} or eirp_phi_{level}, or received_… before the range loss; a column of polarisations is pol"
        ),
        Guess::Channel => {
            "a number that stands for a frequency: ignore, and give the frequency in [constants]"
                .to_string()
        }
        Guess::ColumnFrequency => "its values, such as eirp_theta_dbm, with frequency_mhz = … below if its number is a frequency".to_string(),
        Guess::Erp => {
            format!(
            "erp_theta_{level} or erp_phi_{level} (over a half-wave dipole: EIRP = value + 2.15 dB), or eirp_…"
        )
        }
    }
}

/// The range of the numbers, for a person to tell the columns apart by.
fn describe(shown: &Shown<'_>) -> String {
    if shown.numbers.is_empty() {
        return match shown.words.first() {
            Some(word) => format!("texts such as {:?}", Clip(word)),
            None => String::new(),
        };
    }
    let mut sorted = shown.numbers.clone();
    sorted.sort_by(f64::total_cmp);
    sorted.dedup();
    let (low, high) = (sorted.first(), sorted.last());
    let (Some(low), Some(high)) = (low, high) else {
        return String::new();
    };
    if sorted.len() == 1 {
        return format!("always {low}");
    }
    format!("{low} … {high}, {} different numbers", sorted.len())
}
