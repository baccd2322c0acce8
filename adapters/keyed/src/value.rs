//! A value and the unit behind it.

use spheresum_core::intake::text::{Meaning, Unit, UnitText, classify, field};

/// A value's text, and its unit's behind it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Parts<'a> {
    /// The number with its mark, or the word, such as `NaN`.
    pub(crate) number: &'a str,
    /// The unit; empty where there is none.
    pub(crate) unit: &'a str,
    /// It is a number: the unit belongs there, or is lacking.
    pub(crate) is_number: bool,
}

/// Takes a value apart. What is no number with a unit stays whole.
pub(crate) fn parts(text: &str) -> Parts<'_> {
    let (_, body) = field::mark(text);
    let front = text.len() - body.len();
    let whole = |is_number| Parts {
        number: text,
        unit: "",
        is_number,
    };
    if let Some((number, unit)) = field::number_and_unit(body) {
        let is_unit =
            unit.starts_with(|c: char| c.is_alphabetic() || matches!(c, '°' | '√' | '[' | '('));
        return match (unit.is_empty(), is_unit) {
            (true, _) => whole(true),
            (_, true) => Parts {
                number: &text[..front + number.len()],
                unit: inside(unit),
                is_number: true,
            },
            // `12 300`, `12:30`: no unit starts so.
            _ => whole(false),
        };
    }
    // `inf dBm`, `--- dBm`.
    match body.split_once([' ', '\t']) {
        Some((word, unit)) if field::infinity(word).is_some() || field::is_missing(word) => Parts {
            number: &text[..front + word.len()],
            unit: inside(unit.trim()),
            is_number: false,
        },
        _ => whole(false),
    }
}

/// A unit without brackets or parentheses around it.
fn inside(unit: &str) -> &str {
    let strip = |open: char, close: char| unit.strip_prefix(open)?.strip_suffix(close);
    strip('[', ']')
        .or_else(|| strip('(', ')'))
        .unwrap_or(unit)
        .trim()
}

/// What a key means together with the unit behind its values: `theta` is an angle with `deg`, and a polarisation with `dBm`.
pub(crate) fn joint(key: &str, unit: &str) -> (Meaning, UnitText) {
    let own = classify(key);
    if unit.is_empty() || own.1 != UnitText::None {
        return own;
    }
    match classify(&format!("{key} [{unit}]")) {
        // `temperature = 21.5 C` is no heading with a misspelt unit.
        (Meaning::Unknown, _) => {
            let unit = Unit::parse_exact(unit).map_or(UnitText::None, UnitText::Known);
            (own.0, unit)
        }
        joint => joint,
    }
}

/// True for two texts of one unit.
pub(crate) fn is_same_unit(a: &str, b: &str) -> bool {
    match (Unit::parse_exact(a), Unit::parse_exact(b)) {
        (Some(a), Some(b)) => a == b,
        (None, None) => a.eq_ignore_ascii_case(b),
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_words_and_units() {
        for (text, number, unit, is_number) in [
            ("30", "30", "", true),
            ("30 deg", "30", "deg", true),
            ("30°", "30", "°", true),
            ("-12.3 [dBm]", "-12.3", "dBm", true),
            ("< -90 dBm", "< -90", "dBm", true),
            ("1e-3W", "1e-3", "W", true),
            ("30,5 deg", "30,5", "deg", true),
            ("0.1 √W", "0.1", "√W", true),
            ("inf dBm", "inf", "dBm", false),
            (">inf", ">inf", "", false),
            ("--- dBm", "---", "dBm", false),
            ("NaN", "NaN", "", false),
            ("", "", "", false),
            ("theta", "theta", "", false),
            ("12 300", "12 300", "", false),
            ("12:30:05", "12:30:05", "", false),
        ] {
            let want = Parts {
                number,
                unit,
                is_number,
            };
            assert_eq!(parts(text), want, "{text}");
        }
        assert_eq!(joint("theta", "deg").0, Meaning::Theta);
        assert!(matches!(joint("theta", "dBm").0, Meaning::Value(_)));
        assert_eq!(
            joint("theta", "furlong").1,
            UnitText::Unknown("furlong".to_string())
        );
        assert_eq!(
            joint("temperature", "C"),
            (Meaning::Unknown, UnitText::None)
        );
        assert!(is_same_unit("deg", "°") && is_same_unit("furlong", "Furlong"));
        assert!(
            !is_same_unit("deg", "rad") && !is_same_unit("mW", "MW") && !is_same_unit("deg", "")
        );
    }
}
