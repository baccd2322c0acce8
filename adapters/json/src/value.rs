//! The text of one value of a table.

use crate::json::Json;
use crate::kind::Kind;
use crate::pieces;
use spheresum_core::intake::text::Role;
use spheresum_core::{Error, Result};
use std::borrow::Cow;

/// How strictly values are written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Strict {
    /// As in any table: numbers may stand in quotes.
    No,
    /// As in our document: numbers stand without quotes, marks in quotes, and null is a missing value.
    Yes,
}

/// The text of a value, as the shared reader of cells takes it.
///
/// # Errors
/// Input: a value with parts, or one that is not written as the document wants it. Limit: too long.
pub(crate) fn text<'a>(
    json: &Json<'a>,
    piece: &'a str,
    key: &str,
    role: Role,
    decimal: u8,
    strict: Strict,
) -> Result<Cow<'a, str>> {
    if role == Role::Skip {
        return Ok(Cow::Borrowed(""));
    }
    let named = |e: Error| match e.place().cloned() {
        Some(place) => e.at(place.with_field(key)),
        None => e,
    };
    let text = json.scalar(piece).map_err(named)?;
    if strict == Strict::Yes {
        refuse_loose(json, piece, &text, role).map_err(named)?;
    }
    Ok(with_sign(piece, text, decimal))
}

/// A number without quotes has a point, whatever the texts of the file have: here with the file's sign.
pub(crate) fn with_sign<'a>(piece: &str, text: Cow<'a, str>, decimal: u8) -> Cow<'a, str> {
    if decimal == b'.' || Kind::of(piece) != Kind::Number {
        return text;
    }
    Cow::Owned(text.replace('.', &char::from(decimal).to_string()))
}

fn refuse_loose<'a>(json: &Json<'a>, piece: &'a str, text: &str, role: Role) -> Result<()> {
    let is_value = matches!(role, Role::Cell(_));
    let refuse = |hint: &str| {
        Err(Error::input(format!(
            "{} stands where a number should be",
            Kind::of(piece).words()
        ))
        .hint(hint)
        .at(json.place(piece)))
    };
    match Kind::of(piece) {
        Kind::Number => Ok(()),
        Kind::Null if is_value => Ok(()),
        Kind::Text if is_value && is_mark(text) => Ok(()),
        _ if is_value => refuse(
            "write a number without quotes, null where it is missing, or one of the texts \"<-90\" (at most), \">-20\" (at \
             least), \"inf\" (link never held), \"-inf\" (a power of 0 W)",
        ),
        _ if matches!(role, Role::Time(_)) => {
            refuse("write seconds without quotes, or leave the key out")
        }
        _ => refuse("write a number without quotes; every reading has a direction"),
    }
}

/// True for the texts that the document takes in the place of a number.
fn is_mark(text: &str) -> bool {
    match text.strip_prefix(['<', '>']) {
        Some(level) => pieces::is_number(level.strip_prefix(' ').unwrap_or(level)),
        None => matches!(text, "inf" | "-inf"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn marks() {
        for text in ["<-90", "> 1e-9", "inf", "-inf"] {
            assert!(is_mark(text), "{text}");
        }
        for text in ["-90", "", "NaN", "<", "<inf", "<<1", "< .5", "Inf", "<  1"] {
            assert!(!is_mark(text), "{text}");
        }
    }
}
