//! A text of JSON that was cut off, made whole: what is incomplete at its end is dropped, and open brackets are closed.

/// A whole text from the start of one. Only for looking: what is read has to be whole by itself.
pub(crate) fn complete(text: &str) -> String {
    let mut open: Vec<char> = Vec::new();
    // Behind the last complete piece, and how many brackets were open there.
    let mut safe = (0, 0);
    let mut in_text = false;
    let mut escaped = false;
    for (at, c) in text.char_indices() {
        if in_text {
            in_text = escaped || c != '"';
            escaped = !escaped && c == '\\';
            continue;
        }
        match c {
            '"' => in_text = true,
            '{' | '[' => {
                open.push(if c == '{' { '}' } else { ']' });
                safe = (at + 1, open.len());
            }
            '}' | ']' => {
                open.pop();
                safe = (at + 1, open.len());
            }
            ',' => safe = (at, open.len()),
            _ => {}
        }
    }
    open.truncate(safe.1);
    let mut whole = text[..safe.0].to_string();
    whole.extend(open.iter().rev());
    whole
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_cut_of_a_text_becomes_whole() {
        let text = r#"{"a": [1, {"b,]}": "\"[{", "c": -1.5e3}, []], "θ": {"d": [true, null]}}"#;
        for cut in text.char_indices().map(|(at, _)| at).skip(1) {
            let whole = complete(&text[..cut]);
            assert!(
                serde_json::from_str::<serde::de::IgnoredAny>(&whole).is_ok(),
                "{whole}"
            );
        }
        assert_eq!(complete(text), text);
        assert_eq!(
            complete(r#"{"theta_deg": [0, 15, 3"#),
            r#"{"theta_deg": [0, 15]}"#
        );
        assert_eq!(
            complete(r#"[{"a": 1}, {"b": 2, "c"#),
            r#"[{"a": 1}, {"b": 2}]"#
        );
        assert_eq!(complete("no JSON"), "");
    }
}
