//! What is wrong with a text that is not JSON, and what to do.

use crate::locate::{Locator, offset};
use spheresum_core::Error;
use spheresum_core::intake::Source;
use spheresum_core::intake::text::Clip;

/// Byte offset in `piece` at which `serde_json` stopped. Its lines end with LF only, and its columns count bytes.
pub(crate) fn stopped_at(piece: &str, error: &serde_json::Error) -> usize {
    let end = piece.trim_end().len();
    if error.is_eof() {
        return end;
    }
    let line_start = piece
        .split_inclusive('\n')
        .take(error.line().saturating_sub(1))
        .map(str::len)
        .sum::<usize>();
    let at = line_start.saturating_add(error.column().saturating_sub(1));
    let at = piece.floor_char_boundary(at.min(piece.len()));
    if error.to_string().starts_with("control character") {
        let behind = piece[at..].find(|c: char| c.is_control());
        return behind.map_or(at, |more| at + more);
    }
    // To the start of the word or number that the error is in.
    let in_word = |c: char| c.is_ascii_alphanumeric() || matches!(c, '+' | '-' | '.' | '_');
    let behind_number = error.to_string().starts_with("invalid number");
    if behind_number
        && piece
            .get(at..end)
            .is_none_or(|rest| rest.chars().all(in_word))
    {
        return end;
    }
    if behind_number {
        // It may have been taken for ended by a line end.
        return piece[..at].trim_end().trim_end_matches(in_word).len();
    }
    match piece[at..].starts_with(in_word) || piece.len() == at {
        true => piece[..at].trim_end_matches(in_word).len(),
        false => at,
    }
}

/// The error of a piece of a source that is not JSON.
pub(crate) fn explain(source: &Source, piece: &str, error: &serde_json::Error) -> Error {
    let at = stopped_at(piece, error);
    let rest = &piece[at..];
    let (message, hint) = if rest.trim_end().is_empty() {
        (
            "the text ends in the middle of a value".to_string(),
            "the file may be cut off; export it again",
        )
    } else {
        words(piece[..at].trim_end(), rest, error)
    };
    let word = rest
        .find(|c: char| !(c.is_alphanumeric() || matches!(c, '+' | '-' | '.' | '_')))
        .unwrap_or(rest.len())
        .max(rest.chars().next().map_or(0, char::len_utf8));
    let spot = Locator::new(source).at(offset(source.text(), piece) + at, word);
    Error::input(message).hint(hint).at(spot.place(source))
}

/// Message and hint, by what stands where `serde_json` stopped.
fn words(before: &str, rest: &str, error: &serde_json::Error) -> (String, &'static str) {
    let word = rest.trim_start_matches(['-', '+']);
    let starts = |words: &[&str]| {
        words.iter().any(|w| {
            word.get(..w.len())
                .is_some_and(|start| start.eq_ignore_ascii_case(w))
        })
    };
    let shown = Clip(
        rest.split(|c: char| c.is_whitespace() || matches!(c, ',' | ']' | '}'))
            .next()
            .unwrap_or_default(),
    );
    let say = |message: &str, hint: &'static str| (message.to_string(), hint);
    match rest.chars().next() {
        _ if starts(&["nan", "inf"]) => (
            format!("{shown} is not JSON"),
            "write null where there is no reading, and \"inf\" in quotes where a link was never held",
        ),
        _ if starts(&["true", "false", "none", "null"]) => (
            format!("{shown} is not JSON"),
            "JSON writes true, false and null, in small letters",
        ),
        Some('\'') => say(
            "a text in single quotes",
            "JSON puts texts and keys in double quotes",
        ),
        Some('/' | '#') => say("a comment, and JSON has none", "take the comment away"),
        Some('{' | '[')
            if before.ends_with(['}', ']'])
                && !before.ends_with(',')
                && error.to_string().contains("trailing") =>
        {
            say(
                "a second value behind the end of the first",
                "put the values into one list: [ … , … ]",
            )
        }
        Some(']' | '}') if before.ends_with(',') => say(
            "a comma, and no value behind it",
            "take the last comma away; or the file may be cut off and closed by hand",
        ),
        Some(c) if c.is_control() => say(
            "a line end or another control character inside of a text",
            "close the text with a double quote; inside of it, write \\n for a line end",
        ),
        Some('0'..='9' | '-') if error.to_string().starts_with("key must be") => say(
            "a number stands where a key should be: the decimal sign may be a comma",
            "the decimal sign of JSON is the point: -3.1, not -3,1; keys stand in double quotes",
        ),
        Some(c) if c.is_ascii_digit() || matches!(c, '+' | '-' | '.') => (
            format!("{shown:?} is not a number of JSON"),
            "JSON numbers have a decimal point with digits on both sides, no plus sign and no leading zeros, such as -12.5 or 0.5",
        ),
        _ => {
            let said = error.to_string();
            let said = said.split(" at line ").next().unwrap_or_default();
            (
                format!("this is not JSON: {said}"),
                "check the file by any JSON checker; a bracket, a comma or a quote is missing or too much",
            )
        }
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::pieces::{Stop, items, members};
    use spheresum_core::Limits;

    fn error(text: &str) -> (String, u64, u64) {
        let source = Source::from_text("t", text, &Limits::small()).unwrap();
        let stop = match text.starts_with('[') {
            true => items(source.text(), true, |_| Ok(())),
            false => members(source.text(), true, |_, _| Ok(())),
        };
        let Err(Stop::Syntax(syntax)) = stop else {
            return (String::new(), 0, 0);
        };
        let error = explain(&source, source.text(), &syntax);
        assert!(error.advice().is_some_and(|a| !a.is_empty()));
        let place = error.place().unwrap();
        (
            error.message().to_string(),
            place.line.unwrap(),
            place.column.unwrap(),
        )
    }

    #[test]
    fn each_case_has_its_words_and_place() {
        for (text, words, line, column) in [
            ("[1,\n2", "ends in the middle", 2, 2),
            ("[1,\n", "ends in the middle", 1, 4),
            ("{\"a\": \"x", "ends in the middle", 1, 9),
            ("[1,\r\"θθ\", NaN]", "NaN is not JSON", 2, 7),
            ("{\"θ\": -Infinity}", "-Infinity is not JSON", 1, 7),
            ("[true, None]", "None is not JSON", 1, 8),
            ("[True]", "True is not JSON", 1, 2),
            ("{'a': 1}", "single quotes", 1, 2),
            ("[1, // x\n2]", "comment", 1, 5),
            ("[1,\n]", "a comma, and no value", 2, 1),
            ("{\"a\":1,}", "a comma, and no value", 1, 8),
            ("{\"a\":1}\n{\"a\":2}", "a second value", 2, 1),
            ("[\"a\nb\"]", "control character", 1, 4),
            ("[1, .5]", "\".5\" is not a number", 1, 5),
            ("[1, +5]", "\"+5\" is not a number", 1, 5),
            ("[1, 05]", "\"05\" is not a number", 1, 5),
            ("[1, 5.]", "\"5.\" is not a number", 1, 5),
            ("[1, 1.2.3]", "\"1.2.3\" is not a number", 1, 5),
            ("[1, -\n2]", "\"-\" is not a number", 1, 5),
            ("[1, -\n", "ends in the middle", 1, 6),
            ("[1, -3,\n{\"a\": -", "ends in the middle", 2, 8),
            ("{\"a\": 3,1}", "the decimal sign", 1, 9),
            ("[1 2]", "is not", 1, 4),
            ("{\"a\" 2}", "is not", 1, 6),
            ("{a: 2}", "this is not JSON", 1, 2),
            ("[\"\\x\"]", "this is not JSON", 1, 4),
        ] {
            let (message, l, c) = error(text);
            assert!(message.contains(words), "{text:?}: {message}");
            assert_eq!((l, c), (line, column), "{text:?}: {message}");
        }
    }
}
