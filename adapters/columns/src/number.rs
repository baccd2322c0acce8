//! The text of one field as everybody writes it, or why there is no such text.

use crate::layout::{Edit, Slot};
use crate::own::{Implied, Own};
use crate::together;
use spheresum_core::Error;
use spheresum_core::intake::text::clip::Clip;
use spheresum_core::intake::text::fortran::{Number, number};
use spheresum_core::intake::text::{Role, field};
use std::borrow::Cow;

/// What was decided on the way, counted.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) struct Counts {
    /// Values of stars taken as missing.
    pub(crate) stars: u64,
    /// Numbers with blanks between their digits.
    pub(crate) blanks: u64,
    /// Numbers to which what the format implies was applied, or not.
    pub(crate) implied: u64,
}

/// True for a field full of stars: the number did not fit.
pub(crate) fn is_stars(text: &str) -> bool {
    text.len() > 1 && text.bytes().all(|b| b == b'*')
}

/// What a field says, for the shared reader; `slot` where it has a declared place, `blanks` where blanks between digits mean
/// nothing.
///
/// # Errors
/// Input, Ambiguous: without place.
pub(crate) fn meant<'t>(
    text: &'t str,
    role: Role,
    slot: Option<&Slot>,
    blanks: bool,
    own: &Own,
    counts: &mut Counts,
) -> Result<Cow<'t, str>, Error> {
    if !role.is_number() {
        return Ok(Cow::Borrowed(text));
    }
    if is_stars(text) {
        let is_value = matches!(role, Role::Cell(_));
        if is_value && own.stars_are_missing {
            counts.stars += 1;
            return Ok(Cow::Borrowed(""));
        }
        return Err(Error::input("the field is full of stars: its number did not fit").hint(match is_value {
            true => "write the file with a wider format; or take stars as missing readings by the option stars=missing",
            false => "write the file with a wider format: a direction or a frequency is never missing",
        }));
    }
    let (_, body) = field::mark(text);
    let in_front = &text[..text.len() - body.len()];
    let tight = without_blanks(body, blanks, counts)?;
    let Some(found) = number(&tight) else {
        return other(text, slot);
    };
    let shift = implied(&found, slot, own, counts)?;
    if shift == 0 && tight.len() == body.len() && matches!(found.plain(), Cow::Borrowed(_)) {
        return Ok(Cow::Borrowed(text));
    }
    let plain = match shift {
        0 => found.plain().into_owned(),
        _ => format!("{}E{}", found.mantissa, found.exponent_value() - shift),
    };
    Ok(Cow::Owned(format!("{in_front}{plain}")))
}

/// A text that is no number: words such as `NaN` and mistakes, which the shared reader explains.
fn other<'t>(text: &'t str, slot: Option<&Slot>) -> Result<Cow<'t, str>, Error> {
    let tight: String = text.chars().filter(|c| *c != ' ').collect();
    match slot {
        Some(slot) if together::is_open(&tight) => Err(Error::input(format!(
            "{:?} is not one number, in a field of {} characters",
            Clip(text),
            slot.width
        ))
        .hint("the declared widths do not meet this line: count its characters against them")),
        None if text
            .strip_suffix([',', ';'])
            .is_some_and(|t| number(t).is_some()) =>
        {
            let sign = if text.ends_with(',') {
                "a comma"
            } else {
                "a semicolon"
            };
            Err(Error::input(format!("{:?} has {sign} behind it", Clip(text))).hint(
                "commas and semicolons between numbers are read by the adapter delimited, where the names stand above the \
                 numbers without the mark of a comment",
            ))
        }
        _ => Ok(Cow::Borrowed(text)),
    }
}

/// A number without the blanks in it.
fn without_blanks<'t>(
    text: &'t str,
    mean_nothing: bool,
    counts: &mut Counts,
) -> Result<Cow<'t, str>, Error> {
    if !text.contains(' ') {
        return Ok(Cow::Borrowed(text));
    }
    let tight: String = text.chars().filter(|c| *c != ' ').collect();
    // An exponent may be written `E 03`: the blank is its sign.
    if number(&tight).is_none() {
        return Ok(Cow::Borrowed(text));
    }
    if between_digits(text) {
        if !mean_nothing {
            return Err(Error::ambiguous(format!(
                "{:?} has blanks between its digits: one number ({tight}), or several cut by a wrong width",
                Clip(text)
            ))
            .hint("count the characters of this line against the declared widths; if blanks mean nothing, give the option blanks=nothing"));
        }
        counts.blanks += 1;
    }
    Ok(Cow::Owned(tight))
}

/// True where a blank has a digit or a decimal sign on either side, in front of an exponent or inside it.
fn between_digits(text: &str) -> bool {
    let of_number = |c: char| c.is_ascii_digit() || matches!(c, '.' | ',');
    let mut before = None;
    let mut gap = false;
    for c in text.chars() {
        if c == ' ' {
            gap = true;
            continue;
        }
        // A sign that parts two numbers makes a letterless exponent of them: as doubtful.
        let parted = before.is_some_and(of_number) && (of_number(c) || matches!(c, '+' | '-'));
        if gap && parted {
            return true;
        }
        before = Some(c);
        gap = false;
    }
    false
}

/// The power of ten that the format takes off a number: implied decimals and scale factors.
fn implied(
    found: &Number<'_>,
    slot: Option<&Slot>,
    own: &Own,
    counts: &mut Counts,
) -> Result<i64, Error> {
    let Some(slot) = slot else { return Ok(0) };
    let (decimals, scale) = match slot.edit {
        Edit::Real { decimals, scale } => (decimals, scale),
        Edit::Integer if found.has_decimal_sign() || found.exponent.is_some() => {
            return Err(Error::input(format!(
                "{:?} is no whole number, and the format says {}",
                Clip(found.text),
                slot.descriptor()
            ))
            .hint("correct the format: the widths may be off, or the field is an F"));
        }
        _ => return Ok(0),
    };
    let decimals = if found.has_decimal_sign() {
        0
    } else {
        decimals
    };
    // On input a scale factor has no effect on a number with an exponent.
    let scale = if found.exponent.is_some() { 0 } else { scale };
    let shift = i64::try_from(decimals)
        .unwrap_or(i64::MAX)
        .saturating_add(i64::from(scale));
    if (decimals, scale) == (0, 0) || found.is_zero() {
        return Ok(0);
    }
    counts.implied += 1;
    match own.implied {
        Some(Implied::Apply) => Ok(shift.clamp(-1_000_000, 1_000_000)),
        Some(Implied::AsWritten) => Ok(0),
        None => Err(Error::ambiguous(reason(found, slot, decimals, scale)).hint(
            "say which by the option implied=apply (as Fortran reads it) or implied=as-written; or write decimal signs, \
             and 0P behind the numbers with exponents",
        )),
    }
}

fn reason(found: &Number<'_>, slot: &Slot, decimals: usize, scale: i32) -> String {
    let text = Clip(found.text);
    let what = match (decimals, scale) {
        (_, 0) => format!(
            "{text} has no decimal sign in a field {}",
            slot.descriptor()
        ),
        (0, _) => format!("{text} stands under the scale factor {scale}P and has no exponent"),
        _ => format!(
            "{text} has no decimal sign in a field {} under the scale factor {scale}P",
            slot.descriptor()
        ),
    };
    let shift = i64::try_from(decimals)
        .unwrap_or(i64::MAX)
        .saturating_add(i64::from(scale));
    format!(
        "{what}: {text} as written, or {}",
        shifted(found, shift).unwrap_or_else(|| format!("{text} times a power of ten"))
    )
}

/// A short number with its decimal sign moved to the left, for a message.
fn shifted(found: &Number<'_>, shift: i64) -> Option<String> {
    let shift = usize::try_from(shift).ok().filter(|s| *s <= 20)?;
    let digits = found.mantissa.trim_start_matches(['+', '-']);
    let sign = if found.mantissa.starts_with('-') {
        "-"
    } else {
        ""
    };
    let (whole, fraction) = digits.split_once(['.', ',']).unwrap_or((digits, ""));
    if whole.len() > 20 || fraction.len() > 20 {
        return None;
    }
    let padded = format!(
        "{}{whole}",
        "0".repeat((shift + 1).saturating_sub(whole.len()))
    );
    let (front, behind) = padded.split_at(padded.len() - shift);
    let exponent = found.exponent.map_or_else(String::new, |e| format!("E{e}"));
    Some(format!("{sign}{front}.{behind}{fraction}{exponent}"))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str, edit: Option<Edit>, own: &Own) -> Result<String, String> {
        let slot = edit.map(|edit| Slot {
            start: 0,
            width: 8,
            edit,
        });
        let blanks = own.blanks_mean_nothing;
        meant(
            text,
            Role::Cell(0),
            slot.as_ref(),
            blanks,
            own,
            &mut Counts::default(),
        )
        .map(Cow::into_owned)
        .map_err(|e| e.message().to_string())
    }

    const F3: Option<Edit> = Some(Edit::Real {
        decimals: 3,
        scale: 0,
    });
    const SCALED: Option<Edit> = Some(Edit::Real {
        decimals: 3,
        scale: 1,
    });

    #[test]
    fn fortran_numbers_become_plain_ones() {
        let own = Own::default();
        for (text, want) in [
            ("1.0D-03", "1.0E-03"),
            ("1.0-103", "1.0E-103"),
            ("< 1.0D-03", "< 1.0E-03"),
            ("- 1.5", "-1.5"),
            ("1.0E 03", "1.0E03"),
            ("-12.5", "-12.5"),
            ("NaN", "NaN"),
            ("", ""),
            ("abc", "abc"),
        ] {
            assert_eq!(read(text, F3, &own).as_deref(), Ok(want), "{text}");
        }
    }

    /// Implied decimal signs and scale factors on input: ISO/IEC 1539-1 (Fortran), 13.7.2.3.2 and 13.8.5, from memory.
    #[test]
    fn what_a_format_implies() {
        let mut own = Own::default();
        let refused =
            |text: &str, edit| read(text, edit, &Own::default()).err().unwrap_or_default();
        assert!(refused("123456", F3).contains("123456 as written, or 123.456"));
        assert!(refused("-12", F3).contains("or -0.012"));
        assert!(refused("12345E+01", F3).contains("or 12.345E+01"));
        assert!(refused("12.345", SCALED).contains("scale factor 1P"));
        assert!(refused("12.345", SCALED).contains("or 1.2345"));
        assert_eq!(read("000", F3, &own).as_deref(), Ok("000"));
        assert_eq!(read("1.5E+01", SCALED, &own).as_deref(), Ok("1.5E+01"));
        own.implied = Some(Implied::Apply);
        assert_eq!(read("123456", F3, &own).as_deref(), Ok("123456E-3"));
        assert_eq!(read("12345D+01", F3, &own).as_deref(), Ok("12345E-2"));
        assert_eq!(read("12.345", SCALED, &own).as_deref(), Ok("12.345E-1"));
        own.implied = Some(Implied::AsWritten);
        assert_eq!(read("123456", F3, &own).as_deref(), Ok("123456"));
    }

    #[test]
    fn refusals() {
        let own = Own::default();
        for (text, edit, part) in [
            ("********", F3, "full of stars"),
            ("1 2.5", F3, "blanks between its digits"),
            ("1.0 -103", F3, "blanks between its digits"),
            ("-1.5-2.5", F3, "not one number"),
            ("1.5", Some(Edit::Integer), "no whole number"),
        ] {
            let message = read(text, edit, &own).err().unwrap_or_default();
            assert!(message.contains(part), "{text}: {message}");
        }
        let own = Own {
            stars_are_missing: true,
            blanks_mean_nothing: true,
            ..Own::default()
        };
        assert_eq!(read("********", F3, &own).as_deref(), Ok(""));
        assert_eq!(read("1 2.5", F3, &own).as_deref(), Ok("12.5"));
    }
}
