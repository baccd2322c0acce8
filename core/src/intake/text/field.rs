//! Pieces of a line or a field. They say what a piece of text is; what it means is decided elsewhere.

use crate::Mark;

/// Text of a comment line without its marks (`#`, `!`, `%`, `//`); `None` where the line is no comment.
#[must_use]
pub fn comment(line: &str) -> Option<&str> {
    let mut rest = line.trim_start();
    let mut marked = false;
    while let Some(behind) = ["#", "!", "%", "//"]
        .iter()
        .find_map(|mark| rest.strip_prefix(mark))
    {
        rest = behind;
        marked = true;
    }
    marked.then(|| rest.trim())
}

/// A `key: value`. Keys are letters, digits, blanks, `_`, `-`, and a unit in brackets or parentheses.
#[must_use]
pub fn key_value(text: &str) -> Option<(&str, &str)> {
    let (key, value) = text.trim().split_once(':')?;
    let of_key =
        |c: char| c.is_alphanumeric() || matches!(c, ' ' | '_' | '-' | '[' | ']' | '(' | ')');
    let is_key = key.starts_with(char::is_alphabetic) && key.chars().all(of_key);
    is_key.then(|| (key.trim(), value.trim()))
}

/// A heading taken apart: its name, and the unit in brackets or parentheses behind it.
#[must_use]
pub fn name_and_unit(text: &str) -> Option<(&str, Option<&str>)> {
    let text = text.trim();
    let brackets = ['[', ']', '(', ')'];
    let Some(open) = text.find(brackets) else {
        return (!text.is_empty()).then_some((text, None));
    };
    let name = text.get(..open).filter(|n| !n.is_empty())?;
    let close = if text[open..].starts_with('[') {
        ']'
    } else {
        ')'
    };
    let unit = text
        .get(open..)?
        .strip_prefix(['[', '('])?
        .strip_suffix(close)?;
    // One inner pair of parentheses is part of a unit such as `sqrt(W)`.
    let is_unit = match unit.split_once('(') {
        Some((front, inner)) => {
            !front.contains(brackets)
                && inner
                    .strip_suffix(')')
                    .is_some_and(|i| !i.is_empty() && !i.contains(brackets))
        }
        None => !unit.contains(brackets),
    };
    is_unit.then(|| (name.trim(), Some(unit.trim())))
}

/// A mark in front of a value, and what stands behind it.
#[must_use]
pub fn mark(text: &str) -> (Mark, &str) {
    let behind = |rest: &'_ str| rest.len() - rest.trim_start_matches([' ', '\t']).len();
    if let Some(rest) = text.strip_prefix('<') {
        (Mark::AtMost, &rest[behind(rest)..])
    } else if let Some(rest) = text.strip_prefix('>') {
        (Mark::AtLeast, &rest[behind(rest)..])
    } else {
        (Mark::Exact, text)
    }
}

/// True for a text that stands for "no reading here".
#[must_use]
pub fn is_missing(text: &str) -> bool {
    matches!(text, "" | "-" | "--" | "---")
        || text.eq_ignore_ascii_case("nan")
        || text.eq_ignore_ascii_case("n/a")
}

/// An infinity: true for −∞.
#[must_use]
pub fn infinity(text: &str) -> Option<bool> {
    let word = text.strip_prefix(['-', '+']).unwrap_or(text);
    let is_infinite =
        word.eq_ignore_ascii_case("inf") || word.eq_ignore_ascii_case("infinity") || word == "∞";
    is_infinite.then(|| text.starts_with('-'))
}

/// A number's text and the unit's text behind it, such as `868.3 MHz`.
#[must_use]
pub fn number_and_unit(text: &str) -> Option<(&str, &str)> {
    let text = text.trim();
    let bytes = text.as_bytes();
    let run = |from: usize, is: &dyn Fn(u8) -> bool| {
        from + bytes
            .get(from..)
            .unwrap_or_default()
            .iter()
            .take_while(|b| is(**b))
            .count()
    };
    let sign = usize::from(matches!(bytes.first(), Some(b'+' | b'-')));
    let mut end = run(sign, &|b| b.is_ascii_digit() || matches!(b, b'.' | b','));
    if end == sign {
        return None;
    }
    // An exponent belongs to the number only with a digit or a sign behind its letter.
    if matches!(bytes.get(end), Some(b'e' | b'E')) {
        let digits = end + 1 + usize::from(matches!(bytes.get(end + 1), Some(b'+' | b'-')));
        let behind = run(digits, &|b| b.is_ascii_digit());
        if behind > digits {
            end = behind;
        }
    }
    Some((&text[..end], text[end..].trim()))
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
