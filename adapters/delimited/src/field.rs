//! Parsers inside a line or a field. They say what a piece of text is; what it means is decided elsewhere.

use nom::branch::alt;
use nom::bytes::complete::{is_not, tag, take_while, take_while1};
use nom::character::complete::{char, multispace0, satisfy, space0};
use nom::combinator::{all_consuming, map, opt, recognize, rest, value, verify};
use nom::error::Error as NomError;
use nom::multi::many1_count;
use nom::sequence::{delimited, preceded, terminated};
use nom::{IResult, Parser};
use spheresum_core::Mark;

type Out<'a, T> = IResult<&'a str, T, NomError<&'a str>>;

/// Text of a comment line without its marks (`#`, `!`, `%`, `//`); `None` where the line is no comment.
pub(crate) fn comment(line: &str) -> Option<&str> {
    let marks = many1_count(alt((tag("#"), tag("!"), tag("%"), tag("//"))));
    let parsed: Out<'_, &str> = preceded((multispace0, marks), rest).parse(line);
    parsed.ok().map(|(_, body)| body.trim())
}

/// A `key: value`. Keys are letters, digits, blanks, `_`, `-`, and a unit in brackets or parentheses.
pub(crate) fn key_value(text: &str) -> Option<(&str, &str)> {
    let key_char =
        |c: char| c.is_alphanumeric() || matches!(c, ' ' | '_' | '-' | '[' | ']' | '(' | ')');
    let key = recognize((satisfy(char::is_alphabetic), take_while(key_char)));
    let parsed: Out<'_, (&str, &str)> = (terminated(key, char(':')), rest).parse(text.trim());
    let (_, (key, value)) = parsed.ok()?;
    Some((key.trim(), value.trim()))
}

/// A heading taken apart: its name, and the unit in brackets or parentheses behind it.
pub(crate) fn name_and_unit(text: &str) -> Option<(&str, Option<&str>)> {
    // One inner pair of parentheses is part of a unit such as `sqrt(W)`.
    let inner = recognize((
        opt(is_not("[]()")),
        opt((char('('), is_not("[]()"), char(')'))),
    ));
    let inner2 = recognize((
        opt(is_not("[]()")),
        opt((char('('), is_not("[]()"), char(')'))),
    ));
    let unit = alt((
        delimited(char('['), inner, char(']')),
        delimited(char('('), inner2, char(')')),
    ));
    let parsed: Out<'_, (&str, Option<&str>)> =
        all_consuming((is_not("[]()"), opt(terminated(unit, multispace0)))).parse(text.trim());
    let (_, (name, unit)) = parsed.ok()?;
    Some((name.trim(), unit.map(str::trim)))
}

/// A mark in front of a value, and what stands behind it.
pub(crate) fn mark(text: &str) -> (Mark, &str) {
    let marks = alt((
        value(Mark::AtMost, char('<')),
        value(Mark::AtLeast, char('>')),
    ));
    let parsed: Out<'_, Mark> = terminated(marks, space0).parse(text);
    match parsed {
        Ok((behind, mark)) => (mark, behind),
        Err(_) => (Mark::Exact, text),
    }
}

/// True for a text that stands for "no reading here".
pub(crate) fn is_missing(text: &str) -> bool {
    let dashes = map(take_while1(|c| c == '-'), |d: &str| d.len() <= 3);
    let parsed: Out<'_, bool> = all_consuming(verify(dashes, |short| *short)).parse(text);
    text.is_empty()
        || parsed.is_ok()
        || text.eq_ignore_ascii_case("nan")
        || text.eq_ignore_ascii_case("n/a")
}

/// An infinity: true for −∞.
pub(crate) fn infinity(text: &str) -> Option<bool> {
    let word = verify(rest, |w: &str| {
        w.eq_ignore_ascii_case("inf") || w.eq_ignore_ascii_case("infinity") || w == "∞"
    });
    let sign = map(opt(alt((char('-'), char('+')))), |s| s == Some('-'));
    let parsed: Out<'_, bool> = terminated(sign, word).parse(text);
    parsed.ok().map(|(_, negative)| negative)
}

/// A number's text and the unit's text behind it, such as `868.3 MHz`.
pub(crate) fn number_and_unit(text: &str) -> Option<(&str, &str)> {
    // An exponent belongs to the number only with a digit or a sign behind its letter.
    let exponent = recognize((
        alt((char('e'), char('E'))),
        opt(alt((char('+'), char('-')))),
        take_while1(|c: char| c.is_ascii_digit()),
    ));
    let number = recognize((
        opt(alt((char('+'), char('-')))),
        take_while1(|c: char| c.is_ascii_digit() || c == '.' || c == ','),
        opt(exponent),
    ));
    let parsed: Out<'_, (&str, &str)> = (number, rest).parse(text.trim());
    parsed.ok().map(|(_, (number, unit))| (number, unit.trim()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn comments_and_keys() {
        assert_eq!(comment("# a: b"), Some("a: b"));
        assert_eq!(comment("  // x"), Some("x"));
        assert_eq!(comment("%% x "), Some("x"));
        assert_eq!(comment("1;2"), None);
        assert_eq!(
            key_value("Frequency [MHz]: 868,3"),
            Some(("Frequency [MHz]", "868,3"))
        );
        assert_eq!(key_value("time: exp(-jwt)"), Some(("time", "exp(-jwt)")));
        assert_eq!(key_value("0:1"), None);
        assert_eq!(key_value("theta,phi"), None);
    }

    #[test]
    fn names_with_units() {
        assert_eq!(
            name_and_unit("EIRP theta [dBm]"),
            Some(("EIRP theta", Some("dBm")))
        );
        assert_eq!(
            name_and_unit(" E re (sqrt(W)) "),
            Some(("E re", Some("sqrt(W)")))
        );
        assert_eq!(name_and_unit("theta_deg"), Some(("theta_deg", None)));
        assert_eq!(name_and_unit("theta [deg] phi [deg]"), None);
        assert_eq!(name_and_unit("[deg]"), None);
        assert_eq!(name_and_unit("theta [deg"), None);
    }

    #[test]
    fn values() {
        assert_eq!(mark("< -90"), (Mark::AtMost, "-90"));
        assert_eq!(mark(">1"), (Mark::AtLeast, "1"));
        assert_eq!(mark("-1"), (Mark::Exact, "-1"));
        for text in ["", "-", "--", "---", "NaN", "n/a", "N/A"] {
            assert!(is_missing(text), "{text}");
        }
        assert!(!is_missing("----") && !is_missing("-1"));
        assert_eq!(infinity("-inf"), Some(true));
        assert_eq!(infinity("∞"), Some(false));
        assert_eq!(infinity("+Inf"), Some(false));
        assert_eq!(infinity("info"), None);
        assert_eq!(number_and_unit("868.3MHz"), Some(("868.3", "MHz")));
        assert_eq!(number_and_unit("8.683e8 Hz"), Some(("8.683e8", "Hz")));
        assert_eq!(number_and_unit("MHz"), None);
    }
}
