//! Marks of what a person still has to fill in: the text `?`.

use crate::parse::section::{Section, place_of};
use spheresum_core::intake::Source;
use spheresum_core::{Error, Result};
use std::ops::Range;
use toml::Spanned;
use toml::de::DeValue;

/// Tables whose texts may be any, a `?` too.
const FREE: [&str; 2] = ["recognise", "tokens"];
/// Keys whose texts may be any.
const FREE_KEYS: [&str; 5] = ["heading", "skip_until", "stop_at", "comments", "quote"];

/// Words of the error.
const UNFILLED: &str = "has to be filled in";

/// True for the error of a layout that has places to be filled in.
pub(crate) fn is_unfilled(error: &Error) -> bool {
    error.message().contains(UNFILLED)
}

/// Refuses a layout that has places to be filled in.
///
/// # Errors
/// Input, at the first place.
pub(crate) fn refuse(source: &Source, root: &Section<'_>) -> Result<()> {
    let mut found: Vec<(String, Range<usize>)> = Vec::new();
    for (key, _, value) in root.entries() {
        if !FREE.contains(&key) {
            collect(key, value, &mut found);
        }
    }
    found.sort_by_key(|(_, span)| span.start);
    let Some((key, first)) = found.first() else {
        return Ok(());
    };
    let lines: Vec<String> = found
        .iter()
        .skip(1)
        .take(16)
        .filter_map(|(_, span)| place_of(source, span.clone()).line)
        .map(|line| line.to_string())
        .collect();
    let more = if lines.is_empty() {
        String::new()
    } else {
        format!(" (and more in line {})", lines.join(", "))
    };
    Err(Error::input(format!("the ? of {key} {UNFILLED}{more}"))
        .hint(possible(key))
        .at(place_of(source, first.clone()).with_field(key)))
}

fn collect(key: &str, value: &Spanned<DeValue<'_>>, found: &mut Vec<(String, Range<usize>)>) {
    match value.get_ref() {
        DeValue::String(text) if is_gap(key, text) => {
            found.push((key.to_string(), value.span()));
        }
        DeValue::Array(items) => {
            for item in items.iter() {
                collect(key, item, found);
            }
        }
        DeValue::Table(table) => {
            for (key, value) in table.iter() {
                collect(key.get_ref(), value, found);
            }
        }
        _ => {}
    }
}

fn is_gap(key: &str, text: &str) -> bool {
    (text.trim() == "?" || text.contains("{?}")) && !FREE_KEYS.contains(&key)
}

fn possible(key: &str) -> String {
    match key {
        "is" | "row_axis" | "column_axis" | "values" => {
            format!("write what it is: {}", super::role::POSSIBLE)
        }
        "title" => format!("write for {{?}} what stands there: {}", super::title::POSSIBLE),
        "separator" => format!("possible: {}", super::text::SEPARATORS),
        "frequency_mhz" => {
            "write the frequency in MHz, or take the line away if the file says it or it is not known"
                .to_string()
        }
        _ => "write what holds for the file; the reference of layouts lists what is possible".to_string(),
    }
}
