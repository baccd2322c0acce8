//! Numbers as Fortran programs write them: exponents after `D`, and exponents of three digits without a letter.

use crate::intake::text::entries::Entry;
use std::borrow::Cow;

/// A number, taken apart.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Number<'a> {
    /// The whole text.
    pub text: &'a str,
    /// Sign, digits and decimal sign.
    pub mantissa: &'a str,
    /// The exponent with its sign, without its letter.
    pub exponent: Option<&'a str>,
    /// How the exponent is written.
    pub style: Style,
}

/// How an exponent is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Style {
    /// After `E`, or none: everybody reads it.
    Plain,
    /// After `D` or `Q`.
    Letter,
    /// `1.0-103`: a sign and three digits, where the letter had no room.
    Letterless,
}

impl<'a> Number<'a> {
    /// True where the mantissa has a decimal sign.
    #[must_use]
    pub fn has_decimal_sign(&self) -> bool {
        self.mantissa.contains(['.', ','])
    }

    /// True for a number that is zero whatever its exponent is.
    #[must_use]
    pub fn is_zero(&self) -> bool {
        !self.mantissa.bytes().any(|b| matches!(b, b'1'..=b'9'))
    }

    /// The exponent as a number, 0 where there is none; far beyond any double it stands still.
    #[must_use]
    pub fn exponent_value(&self) -> i64 {
        let Some(text) = self.exponent else { return 0 };
        let digits = text.trim_start_matches(['+', '-']);
        let size = digits.bytes().fold(0_i64, |size, b| {
            (size * 10 + i64::from(b.wrapping_sub(b'0'))).min(1_000_000)
        });
        if text.starts_with('-') { -size } else { size }
    }

    /// The number in the way everybody writes it, digit for digit.
    #[must_use]
    pub fn plain(&self) -> Cow<'a, str> {
        match (self.style, self.exponent) {
            (Style::Plain, _) | (_, None) => Cow::Borrowed(self.text),
            (_, Some(exponent)) => Cow::Owned(format!("{}E{exponent}", self.mantissa)),
        }
    }
}

/// The number a whole text is.
#[must_use]
pub fn number(text: &str) -> Option<Number<'_>> {
    let bytes = text.as_bytes();
    let digits = |from: usize| {
        let rest = bytes.get(from..).unwrap_or_default();
        rest.iter().take_while(|b| b.is_ascii_digit()).count()
    };
    let sign = |at: usize| usize::from(matches!(bytes.get(at), Some(b'+' | b'-')));
    let mut at = sign(0);
    let mut count = digits(at);
    at += count;
    if matches!(bytes.get(at), Some(b'.' | b',')) {
        let fraction = digits(at + 1);
        // `5.` is a number; behind `5,` comes another.
        if fraction == 0 && bytes.get(at) == Some(&b',') {
            return None;
        }
        count += fraction;
        at += 1 + fraction;
    }
    if count == 0 {
        return None;
    }
    let style = match bytes.get(at) {
        None | Some(b'e' | b'E') => Style::Plain,
        Some(b'd' | b'D' | b'q' | b'Q') => Style::Letter,
        Some(b'+' | b'-') => Style::Letterless,
        Some(_) => return None,
    };
    let start = at + usize::from(at < bytes.len() && style != Style::Letterless);
    let size = digits(start + sign(start));
    let end = start + sign(start) + size;
    let fits = match style {
        _ if at == bytes.len() => true,
        Style::Letterless => size == 3,
        _ => size > 0,
    };
    (fits && end == bytes.len()).then(|| Number {
        text,
        mantissa: &text[..at],
        exponent: (at < bytes.len()).then(|| &text[start..]),
        style,
    })
}

/// True for a line of numbers between blanks, at least one of which only Fortran writes so.
#[must_use]
pub fn is_row(line: &str) -> bool {
    let mut any = false;
    let all = line.split_whitespace().all(|t| match number(t) {
        Some(number) => {
            any |= number.style != Style::Plain;
            true
        }
        None => false,
    });
    all && any
}

/// True for a key whose value declares a Fortran format.
#[must_use]
pub fn is_format_key(key: &str) -> bool {
    ["format", "fortran format"]
        .iter()
        .any(|k| key.eq_ignore_ascii_case(k))
}

/// True for a key whose value declares the widths of columns.
#[must_use]
pub fn is_widths_key(key: &str) -> bool {
    ["widths", "column widths"]
        .iter()
        .any(|k| key.eq_ignore_ascii_case(k))
}

/// True for an entry that declares the widths of columns: `format: (2F8.3)`, `widths: 8 8 14`.
#[must_use]
pub fn declares_widths(entry: &Entry<'_>) -> bool {
    let value = entry.value;
    is_format_key(entry.key) && value.starts_with('(')
        || is_widths_key(entry.key) && value.starts_with(|c: char| c.is_ascii_digit())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Forms of exponents: ISO/IEC 1539-1 (Fortran), 13.7.2.3.2 and 13.7.2.3.3, from memory.
    #[test]
    fn forms_of_numbers() {
        for (text, plain, style) in [
            ("1.0D-03", "1.0E-03", Style::Letter),
            ("-1.0d+02", "-1.0E+02", Style::Letter),
            ("1.5E+00", "1.5E+00", Style::Plain),
            ("1.0Q5", "1.0E5", Style::Letter),
            ("1.0-103", "1.0E-103", Style::Letterless),
            ("+.5+100", "+.5E+100", Style::Letterless),
            ("-12", "-12", Style::Plain),
            ("1,5D1", "1,5E1", Style::Letter),
            ("5.", "5.", Style::Plain),
        ] {
            let found = number(text);
            assert_eq!(
                found.map(|n| n.plain().into_owned()).as_deref(),
                Some(plain)
            );
            assert_eq!(found.map(|n| n.style), Some(style), "{text}");
        }
        for text in [
            "", "-", ".", "1.0D", "1.0-10", "1.0-1000", "1.0D-", "1.2.3", "D+01", "-1.5-2.5",
            "1 2", "*", "5,",
        ] {
            assert_eq!(number(text), None, "{text}");
        }
    }

    #[test]
    fn exponents_and_zeros() {
        let exponent = |t: &str| number(t).map(|n| n.exponent_value());
        assert_eq!(exponent("1.0D-03"), Some(-3));
        assert_eq!(exponent("1.0"), Some(0));
        assert_eq!(exponent("1E99999999999999999999"), Some(1_000_000));
        assert!(number("-0.00D+05").is_some_and(|n| n.is_zero()));
        assert!(number("0.01").is_some_and(|n| !n.is_zero() && n.has_decimal_sign()));
    }

    #[test]
    fn rows_that_only_fortran_writes() {
        assert!(is_row(" 30.0 1.0D-03 "));
        assert!(!is_row("30.0 1.0E-03"));
        assert!(!is_row("30.0,1.0D-03 2"));
        assert!(!is_row(""));
    }
}
