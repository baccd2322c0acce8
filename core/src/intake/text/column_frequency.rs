//! A frequency inside a heading: wide tables have a column of values for each frequency.

use crate::intake::text::field;
use crate::intake::text::meaning::{Meaning, UnitText, ValueName, plain};
use crate::intake::text::unit::Unit;
use crate::intake::text::word::{Guess, What, Word, word};
use crate::unit::frequency::FrequencyUnit;
use crate::{Frequency, Polarisation};

/// Longest text that is looked into, bytes. A line split by the wrong separator is one long heading.
const MOST_BYTES: usize = 256;

/// The frequency that a heading names: one number with a unit of frequency behind it. `None` where there is none, or two.
#[must_use]
pub fn of(text: &str) -> Option<Frequency> {
    take_out(text).map(|(frequency, _)| frequency)
}

/// What a heading with a number in it means, where its words alone say nothing. A number without a unit of frequency is a guess.
pub(super) fn classify(text: &str) -> Option<(Meaning, UnitText)> {
    let found = take_out(text).and_then(|(frequency, rest)| {
        let (meaning, unit) = of_rest(&rest)?;
        Some((at(meaning, &unit, frequency)?, unit))
    });
    found.or_else(|| bare(text))
}

/// What is left of a heading without its frequency; a channel's number beside a frequency says nothing more.
fn of_rest(rest: &str) -> Option<(Meaning, UnitText)> {
    let found = words(rest);
    if found.0 != Meaning::Unknown {
        return Some(found);
    }
    let number = numbers(rest).find(|n| n.of_channel)?;
    Some(words(&without(rest, number.start, number.end)))
}

/// Meaning and unit of words; no words at all are a value of no name.
fn words(text: &str) -> (Meaning, UnitText) {
    let name = text.trim_matches(is_joint);
    if name.is_empty() || name.starts_with(['[', '(']) {
        plain(&format!("value {name}"))
    } else {
        plain(text)
    }
}

/// A meaning at a frequency; `None` for what is no value.
fn at(meaning: Meaning, unit: &UnitText, frequency: Frequency) -> Option<Meaning> {
    let name = match meaning {
        Meaning::Value(name) => name,
        // `theta 868.3 MHz`: an angle has no frequency.
        Meaning::Theta | Meaning::Phi if *unit == UnitText::None => ValueName {
            what: What::Unsaid,
            polarisation: Some(match meaning {
                Meaning::Theta => Polarisation::Theta,
                _ => Polarisation::Phi,
            }),
            part: None,
            frequency: None,
        },
        Meaning::Guess(guess @ (Guess::Polarisation | Guess::Erp)) => {
            return Some(Meaning::Guess(guess));
        }
        _ => return None,
    };
    Some(Meaning::Value(ValueName {
        frequency: Some(frequency),
        ..name
    }))
}

/// A value's name with numbers in it that say no frequency for certain: `EIRP theta 868.3 [dBm]`, `EIRP theta ch 12 [dBm]`.
fn bare(text: &str) -> Option<(Meaning, UnitText)> {
    if text.len() > MOST_BYTES {
        return None;
    }
    let mut rest = text.to_string();
    // From the right, so that the offsets in front stay.
    let found: Vec<Number> = numbers(text).collect();
    for number in found.iter().rev() {
        rest = without(&rest, number.start, number.end);
    }
    if found.is_empty() || rest.trim_matches(is_joint).is_empty() {
        return None;
    }
    let (meaning, unit) = words(&rest);
    matches!(meaning, Meaning::Value(_)).then_some((Meaning::Guess(Guess::ColumnFrequency), unit))
}

/// The frequency of a heading, and the heading without it.
fn take_out(text: &str) -> Option<(Frequency, String)> {
    if text.len() > MOST_BYTES {
        return None;
    }
    let mut found = numbers(text).filter_map(|n| n.frequency.map(|f| (f, n)));
    let (frequency, number) = found.next()?;
    // Two frequencies are a band, or something else.
    found
        .next()
        .is_none()
        .then(|| (frequency, without(text, number.start, number.end)))
}

/// Signs that stand between the words of a heading, and those that tie a frequency to them.
fn is_joint(c: char) -> bool {
    matches!(c, ' ' | '_' | '-' | '.' | '/' | '@' | '=' | ':' | ',')
}

/// A text without one part of it, with what ties that part to the rest, and brackets around it.
fn without(text: &str, start: usize, end: usize) -> String {
    let mut front = text.get(..start).unwrap_or_default();
    let mut back = text.get(end..).unwrap_or_default();
    let untied = front.trim_end_matches(is_joint);
    let tied_by_sign = front
        .get(untied.len()..)
        .is_some_and(|t| t.contains(['=', ':']));
    front = untied;
    let last = front
        .rsplit([' ', '_', '-', '(', '['])
        .next()
        .unwrap_or_default();
    if last.eq_ignore_ascii_case("at") || tied_by_sign && word(last) == Some(Word::Frequency) {
        front = front.get(..front.len() - last.len()).unwrap_or_default();
        front = front.trim_end_matches(is_joint);
    }
    for (open, close) in [('(', ')'), ('[', ']')] {
        if let (Some(outside), Some(behind)) = (
            front.strip_suffix(open),
            back.trim_start().strip_prefix(close),
        ) {
            (front, back) = (outside, behind);
            break;
        }
    }
    format!("{front} {}", back.trim_start_matches(is_joint))
}

/// A number in a heading.
struct Number {
    /// First byte, that of the word `ch` or `f` in front included.
    start: usize,
    /// Byte behind it and its unit.
    end: usize,
    /// The frequency it is, where a unit says so.
    frequency: Option<Frequency>,
    /// A word for channels stands in front.
    of_channel: bool,
}

/// The numbers of a heading that stand apart, or behind a word for frequencies or channels.
fn numbers(text: &str) -> impl Iterator<Item = Number> + '_ {
    let mut from = 0;
    std::iter::from_fn(move || {
        loop {
            let start = from + text.get(from..)?.find(|c: char| c.is_ascii_digit())?;
            let rest = text.get(start..)?;
            let number = field::number_and_unit(rest).map_or("", |(number, _)| number);
            from = start + number.len().max(1);
            let front = text.get(..start)?;
            let letters = front.len() - front.trim_end_matches(char::is_alphanumeric).len();
            let word_in_front = front.get(front.len() - letters..)?;
            let known = word(word_in_front);
            if letters > 0 && !matches!(known, Some(Word::Frequency | Word::Guess(Guess::Channel)))
            {
                continue;
            }
            let behind = text.get(from..)?;
            let (frequency, unit_bytes) = match unit_behind(behind) {
                Some((unit, bytes)) => (parse(number, unit), bytes),
                // `2nd`, `3x`: no number of its own.
                None if behind.starts_with(char::is_alphanumeric) => continue,
                None => (None, 0),
            };
            from += unit_bytes;
            let apart = front.trim_end_matches([' ', '_']);
            let word_apart = apart.rsplit(is_joint).next().unwrap_or_default();
            let is_channel = |w: &str| word(w) == Some(Word::Guess(Guess::Channel));
            let of_channel = is_channel(word_in_front) || letters == 0 && is_channel(word_apart);
            return Some(Number {
                start: match (letters, of_channel) {
                    (0, true) => apart.len() - word_apart.len(),
                    _ => start - letters,
                },
                end: from,
                frequency,
                of_channel,
            });
        }
    })
}

/// The unit of frequency that a text starts with, behind blanks or joints, and how many bytes that takes.
fn unit_behind(text: &str) -> Option<(FrequencyUnit, usize)> {
    let rest = text.trim_start_matches([' ', '_', '-', '\u{a0}', '\u{202f}']);
    let letters = rest
        .find(|c: char| !c.is_alphanumeric())
        .unwrap_or(rest.len());
    match Unit::parse(rest.get(..letters)?)? {
        Unit::Frequency(unit) => Some((unit, text.len() - rest.len() + letters)),
        _ => None,
    }
}

/// An exact decimal with a point or a comma; `None` where a comma may part thousands.
fn parse(number: &str, unit: FrequencyUnit) -> Option<Frequency> {
    let Some((whole, fraction)) = number.split_once(',') else {
        return Frequency::parse(number, unit);
    };
    if fraction.len() == 3 || number.contains('.') {
        return None;
    }
    Frequency::parse(&format!("{whole}.{fraction}"), unit)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::intake::text::classify;
    use crate::intake::text::word::Part;

    fn mhz(text: &str) -> Option<Frequency> {
        Frequency::parse(text, FrequencyUnit::Mhz)
    }

    #[test]
    fn spellings_of_one_column() {
        for text in [
            "eirp_theta_dbm@868.3MHz",
            "EIRP theta @ 868.3 MHz [dBm]",
            "EIRP theta 868.3 MHz (dBm)",
            "eirp_theta_868.3mhz_dbm",
            "eirp_theta_868.3_mhz_dbm",
            "EIRP theta (868.3 MHz) [dBm]",
            "EIRP theta [dBm] @ 0.8683 GHz",
            "EIRP theta [dBm @ 868300 kHz]",
            "868300000 Hz EIRP theta [dBm]",
            "EIRP theta at 868,3 MHz [dBm]",
            "EIRP theta, f = 868.3 MHz [dBm]",
            "EIRP theta f868.3MHz [dBm]",
            "EIRP theta ch 12 (868.3 MHz) [dBm]",
            "8.683e8 Hz: EIRP theta [dBm]",
        ] {
            let (meaning, unit) = classify(text);
            let name = ValueName {
                what: What::Eirp,
                polarisation: Some(Polarisation::Theta),
                part: None,
                frequency: mhz("868.3"),
            };
            assert_eq!(meaning, Meaning::Value(name), "{text}");
            assert_eq!(unit, UnitText::Known(Unit::Dbm), "{text}");
        }
    }

    #[test]
    fn names_that_leave_something_open() {
        for (text, what, polarisation, part, unit) in [
            ("868.3 MHz", What::Unsaid, None, None, None),
            ("868.3 MHz [dBm]", What::Unsaid, None, None, Some(Unit::Dbm)),
            ("868.3mhz_dbm", What::Unsaid, None, None, Some(Unit::Dbm)),
            (
                "theta 868.3 MHz [dBm]",
                What::Unsaid,
                Some(Polarisation::Theta),
                None,
                Some(Unit::Dbm),
            ),
            (
                "phi 868.3 MHz",
                What::Unsaid,
                Some(Polarisation::Phi),
                None,
                None,
            ),
            (
                "field_theta_re_868.3mhz",
                What::Field,
                Some(Polarisation::Theta),
                Some(Part::Re),
                None,
            ),
            (
                "EIRP theta [868.3 MHz]",
                What::Eirp,
                Some(Polarisation::Theta),
                None,
                None,
            ),
            (
                "loss 868.3 MHz (dB)",
                What::Loss,
                None,
                None,
                Some(Unit::Db),
            ),
        ] {
            let (meaning, got) = classify(text);
            let name = ValueName {
                what,
                polarisation,
                part,
                frequency: mhz("868.3"),
            };
            assert_eq!(meaning, Meaning::Value(name), "{text}");
            assert_eq!(got.known(), unit, "{text}");
        }
    }

    #[test]
    fn no_frequency_without_its_unit() {
        let guess = Meaning::Guess(Guess::ColumnFrequency);
        for (text, want) in [
            ("EIRP theta 868.3 [dBm]", guess),
            ("eirp_theta_868.3_dbm", guess),
            ("EIRP theta ch 12 [dBm]", guess),
            ("eirp_theta_ch12_dbm", guess),
            ("868.3 [dBm]", guess),
            // A band, thousands or decimals, beyond what is a frequency.
            ("EIRP theta 863-870 MHz [dBm]", guess),
            ("EIRP theta 863 MHz - 870 MHz [dBm]", guess),
            ("EIRP theta 868,300 MHz [dBm]", guess),
            ("EIRP theta 0 MHz [dBm]", guess),
            (
                "EIRP V 868.3 MHz [dBm]",
                Meaning::Guess(Guess::Polarisation),
            ),
            ("868.3", Meaning::Unknown),
            ("1", Meaning::Unknown),
            ("theta_deg 868.3 MHz", Meaning::Unknown),
            ("frequency 868.3 MHz", Meaning::Unknown),
            ("temperature 2", Meaning::Unknown),
            ("EIRP theta 2nd [dBm]", Meaning::Unknown),
        ] {
            assert_eq!(classify(text).0, want, "{text}");
        }
    }
}
