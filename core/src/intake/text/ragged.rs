//! Rows with too many or too few fields.

use crate::intake::text::clip;
use crate::intake::text::split::{Separator, Span, split};
use crate::intake::text::table::Table;
use crate::{Error, Limits, Place};

/// The error of a row whose number of fields is not that of the headings. `is_open`: nobody chose separator or decimal sign;
/// `place` tells where a part of the row's text stands.
#[must_use]
pub fn ragged(
    text: &str,
    table: &Table<'_>,
    (separator, is_open): (Separator, bool),
    limits: &Limits,
    is_last: bool,
    place: impl Fn(usize, usize) -> Place,
) -> Error {
    let mut spans = Vec::new();
    split(text, separator, limits.max_fields, &mut spans);
    let (fields, headings) = (spans.len(), table.headings.len());
    if fields > limits.max_fields {
        return Error::limit(format!(
            "more than {} fields in one line",
            limits.max_fields
        ))
        .hint("raise the limit on fields, or check that this is a table of readings")
        .at(place(0, text.len()));
    }
    let count = format!(
        "{fields} {} under {headings} headings",
        if fields == 1 { "field" } else { "fields" }
    );
    if fields < headings {
        let end = text.trim_end().len();
        let missing = table.text(fields);
        let hint = if is_last {
            "this is the last line: the file may be cut off; export it again"
        } else {
            "leave a missing value empty and keep its separator; check that all rows use the heading's separator"
        };
        return Error::input(count)
            .hint(hint)
            .at(place(end, end).with_field(missing));
    }
    // Behind the last heading that has a name.
    let (start, end) = spans.get(headings).copied().unwrap_or_default();
    let place = place(start, end).with_field(&format!("field {}", headings + 1));
    if separator == Separator::Comma && is_open {
        let texts: Vec<&str> = spans.iter().map(|s: &Span| &text[s.0..s.1]).collect();
        if let Some(merged) = with_decimal_commas(&texts, headings) {
            return Error::ambiguous(format!(
                "{count}: the commas may all separate ({}), or some may be decimal signs ({})",
                clip::list(&texts, 8, " | "),
                clip::list(&merged, 8, " | ")
            ))
            .hint(
                "export the file with semicolons or tabs between the fields (separator=semicolon, decimal=comma), or with \
                 decimal points (separator=comma, decimal=point says that the commas separate)",
            )
            .at(place);
        }
    }
    Error::input(count)
        .hint("a row has one field for each heading; a text with the separator in it is put in double quotes")
        .at(place)
}

/// The fields joined in pairs, from the right, until there are as few as the headings; `None` where that is not possible.
fn with_decimal_commas(texts: &[&str], headings: usize) -> Option<Vec<String>> {
    // A decimal point beside them rules decimal commas out.
    if texts.iter().any(|t| t.contains('.')) {
        return None;
    }
    let mut surplus = texts.len().checked_sub(headings)?;
    let digits = |t: &str| !t.is_empty() && t.bytes().all(|b| b.is_ascii_digit());
    let mut merged: Vec<String> = Vec::new();
    let mut at = texts.len();
    while at > 0 {
        let right = texts[at - 1];
        let left = at.checked_sub(2).map(|l| texts[l]);
        match left {
            Some(left)
                if surplus > 0 && digits(right) && digits(left.trim_start_matches(['-', '+'])) =>
            {
                merged.push(format!("{left},{right}"));
                surplus -= 1;
                at -= 2;
            }
            _ => {
                merged.push(right.to_string());
                at -= 1;
            }
        }
    }
    merged.reverse();
    (surplus == 0).then_some(merged)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn joins_from_the_right() {
        let merged = with_decimal_commas(&["0", "15", "-12", "345"], 3);
        assert_eq!(
            merged.map(|m| m.join(" ")),
            Some("0 15 -12,345".to_string())
        );
        let merged = with_decimal_commas(&["0", "0", "15", "0", "-12", "345"], 3);
        assert_eq!(
            merged.map(|m| m.join(" ")),
            Some("0,0 15,0 -12,345".to_string())
        );
        assert_eq!(with_decimal_commas(&["0", "15", "-12.3", "x"], 3), None);
        assert_eq!(with_decimal_commas(&["0"], 3), None);
    }
}
