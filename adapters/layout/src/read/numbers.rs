//! Numbers with an exponent as Fortran writes it.

use spheresum_core::intake::text::Field;
use std::borrow::Cow;

/// The text with an `e` for the `D` of an exponent; every other text as it is.
pub(crate) fn plain(text: &str) -> Cow<'_, str> {
    match exponent(text) {
        Some(at) => {
            let mut written = text.to_string();
            written.replace_range(at..=at, "e");
            Cow::Owned(written)
        }
        None => Cow::Borrowed(text),
    }
}

/// Offset of a `D` between the digits of a number and those of its exponent.
fn exponent(text: &str) -> Option<usize> {
    let at = text.find(['D', 'd'])?;
    let (front, behind) = (text.get(..at)?, text.get(at + 1..)?);
    let digits = behind.strip_prefix(['+', '-']).unwrap_or(behind);
    let number = |c: u8| c.is_ascii_digit() || matches!(c, b'.' | b',');
    let front = front.trim_start_matches(['<', '>', ' ']);
    let front = front.strip_prefix(['+', '-']).unwrap_or(front);
    let is_number = front.bytes().any(|c| c.is_ascii_digit()) && front.bytes().all(number);
    (is_number && !digits.is_empty() && digits.bytes().all(|c| c.is_ascii_digit())).then_some(at)
}

/// Puts plain numbers in the place of fields; `texts` holds those that were written anew.
pub(crate) fn rewrite<'t>(fields: &mut [Field<'t>], texts: &'t [(usize, String)]) {
    for (column, text) in texts {
        if let Some(field) = fields.get_mut(*column) {
            field.text = text;
        }
    }
}

/// The fields that have to be written anew.
pub(crate) fn anew(fields: &[Field<'_>]) -> Vec<(usize, String)> {
    let mut texts = Vec::new();
    for (column, field) in fields.iter().enumerate() {
        if let Cow::Owned(text) = plain(field.text) {
            texts.push((column, text));
        }
    }
    texts
}

#[cfg(test)]
mod tests {
    use super::plain;

    #[test]
    fn only_exponents_change() {
        assert_eq!(plain("-1.25D+01"), "-1.25e+01");
        assert_eq!(plain("<1d-3"), "<1e-3");
        assert_eq!(plain("1,5D0"), "1,5e0");
        for text in [
            "1.5", "D3", "1D", "1D+", "UND", "12DD3", "+D1", "1.5e3", "3D model",
        ] {
            assert_eq!(plain(text), text);
        }
    }
}
