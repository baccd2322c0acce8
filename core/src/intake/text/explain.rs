//! Why a text is not the number that should stand there, and what to do about it.

use crate::intake::text::clip::Clip;
use crate::intake::text::number;
use crate::unit::frequency::FrequencyUnit;
use crate::{Error, Frequency};

/// The error of a text that is not a number; `decimal` is the file's decimal sign.
pub fn not_a_number(text: &str, decimal: u8) -> Error {
    let say = |message: String, hint: &str| Error::input(message).hint(hint);
    let shown = Clip(text);
    let decimal_sign = char::from(decimal);
    let numeric = |t: &str| {
        t.chars().any(|c| c.is_ascii_digit())
            && t.chars().all(|c| {
                c.is_ascii_digit()
                    || matches!(
                        c,
                        '+' | '-'
                            | '.'
                            | ','
                            | 'e'
                            | 'E'
                            | ' '
                            | '\''
                            | '_'
                            | '\u{a0}'
                            | '\u{2009}'
                            | '\u{202f}'
                    )
            })
    };
    if text.is_empty() {
        return say(
            "a number is missing".to_string(),
            "only values may be left empty; directions and frequencies may not",
        );
    }
    if text.contains(['\u{2212}', '\u{2013}', '\u{2014}']) {
        return say(
            format!("{shown:?} has a typographic minus or dash"),
            "write the minus of the keyboard (-), which programs read",
        );
    }
    if numeric(text) {
        if text.contains([' ', '\'', '_', '\u{a0}', '\u{2009}', '\u{202f}']) {
            return say(
                format!("{shown:?} has something between its digits"),
                "thousands separators are refused: write 1234.5; if these are two numbers, check the separator",
            );
        }
        let other = if decimal == b'.' { ',' } else { '.' };
        let others = text.matches(other).count();
        let own = text.matches(decimal_sign).count();
        if others > 0 && own > 0 || others > 1 {
            return say(
                format!("{shown:?} has points and commas that cannot all be decimal signs"),
                "thousands separators are refused: write 1234.5",
            );
        }
        if others == 1 {
            let (word, given) = if decimal == b'.' {
                ("comma", "point")
            } else {
                ("point", "comma")
            };
            return say(
                format!("{shown:?} has a {word} where this file's decimal sign is the {given}"),
                "one file has one decimal sign, and thousands separators are refused; choose with the option \
                 decimal=point or decimal=comma",
            );
        }
        if own > 1 {
            return say(
                format!("{shown:?} has {own} decimal signs"),
                "a number has one; thousands separators are refused",
            );
        }
        if text
            .replace(decimal_sign, ".")
            .parse::<f64>()
            .is_ok_and(f64::is_infinite)
        {
            return say(
                format!("{shown:?} is beyond the range of numbers"),
                "the largest number is about 1.8e308; check the exponent",
            );
        }
    }
    if text.starts_with(['<', '>']) {
        return say(
            format!("{shown:?} has a mark where none can stand"),
            "the marks < and > belong to powers, gains and sensitivities",
        );
    }
    if let Some((_, end)) = number::scan(text.as_bytes(), 0, decimal) {
        let behind = text.get(end..).unwrap_or_default();
        return say(
            format!(
                "{shown:?} is not a number: {:?} stands behind it",
                Clip(behind.trim())
            ),
            "a field holds a number alone; its unit belongs into the heading",
        );
    }
    say(
        format!("{shown:?} is not a number"),
        "write a decimal number such as -12.5 or 1.25e-3; leave a missing value empty",
    )
}

/// The frequency a text is.
pub fn frequency(text: &str, decimal: u8, unit: FrequencyUnit) -> Result<Frequency, Error> {
    let Some(value) = number::whole(text, decimal) else {
        return Err(not_a_number(text, decimal));
    };
    let parsed = if decimal == b'.' {
        Frequency::parse(text, unit)
    } else {
        Frequency::parse(&text.replace(char::from(decimal), "."), unit)
    };
    parsed.ok_or_else(|| {
        Error::input(format!(
            "{} {} is not a frequency",
            Clip(text),
            unit.symbol()
        ))
        .hint(if value > 0.0 {
            "a frequency is at least 1 µHz and below 18.4 THz; check the unit of its column"
        } else {
            "a frequency is above zero"
        })
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_case_has_its_own_words() {
        for (text, decimal, part) in [
            ("", b'.', "missing"),
            ("−12.3", b'.', "typographic"),
            ("1 234", b'.', "between its digits"),
            ("1'234.5", b'.', "between its digits"),
            ("1.234,5", b'.', "cannot all be"),
            ("1,234,567", b'.', "cannot all be"),
            ("1,5", b'.', "decimal sign is the point"),
            ("1.5", b',', "decimal sign is the comma"),
            ("1.5.2", b'.', "2 decimal signs"),
            ("1e400", b'.', "beyond the range"),
            ("<3", b'.', "mark"),
            ("-12.3dBm", b'.', "stands behind it"),
            ("abc", b'.', "is not a number"),
        ] {
            let error = not_a_number(text, decimal);
            assert!(error.message().contains(part), "{text}: {error}");
            assert!(error.advice().is_some());
        }
    }

    #[test]
    fn frequencies_are_exact_decimals() {
        let want = Frequency::parse("868.3", FrequencyUnit::Mhz);
        assert_eq!(frequency("868,3", b',', FrequencyUnit::Mhz).ok(), want);
        assert!(frequency("0", b'.', FrequencyUnit::Mhz).is_err());
        assert!(frequency("1e30", b'.', FrequencyUnit::Mhz).is_err());
    }
}
