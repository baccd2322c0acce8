//! The head of a proposal: id, shape, and marks to recognise a file by.

use crate::propose::matrix::Axis;
use crate::propose::opening::Around;
use crate::propose::out::{Out, quoted};
use crate::propose::runs::Runs;
use spheresum_core::intake::Source;

/// Fewest letters and most characters of a text by which a file is recognised.
pub(super) const MARK: (usize, usize) = (4, 60);

/// An id from the name of the file.
pub(super) fn id(file: &str) -> String {
    let stem = file
        .split('.')
        .find(|part| !part.is_empty())
        .unwrap_or_default();
    let mut id = String::new();
    for c in stem.chars().take(40) {
        let c = c.to_ascii_lowercase();
        if c.is_ascii_lowercase() || c.is_ascii_digit() {
            id.push(c);
        } else if !id.is_empty() && !id.ends_with('-') {
            id.push('-');
        }
    }
    let id = id.trim_matches('-');
    if id.starts_with(|c: char| c.is_ascii_lowercase()) {
        format!("{id}-layout")
    } else {
        format!("layout-{id}").trim_end_matches('-').to_string()
    }
}

/// The shape of the text.
pub(super) fn kind(found: &Runs<'_>, axis: Option<Axis>, around: &Around) -> &'static str {
    let has_angle = around.titles.iter().any(|t| {
        ["{theta", "{phi", "{elevation", "{clockwise"]
            .iter()
            .any(|p| t.pattern.contains(p))
    });
    match (axis, &found.fixed) {
        (Some(_), _) => "matrix",
        (None, Some(_)) => "fixed",
        (None, None) if has_angle => "cuts",
        (None, None) => "table",
    }
}

/// `[recognise]`: what the first line, the heading and the name have that other files do not.
pub(super) fn recognise(out: &mut Out, source: &Source, file: &str, around: &Around) {
    let first = source
        .lines()
        .map(|l| l.text.trim())
        .find(|t| !t.is_empty());
    let first = first.unwrap_or_default();
    // Serial numbers and dates differ from file to file: the longest part without digits is kept.
    let longest = first
        .split(|c: char| c.is_ascii_digit() || c.is_control())
        .map(|t| t.trim().trim_start_matches([',', ';', ':', '.', ')', ' ']))
        .fold("", |a, b| {
            if b.chars().count() > a.chars().count() {
                b
            } else {
                a
            }
        });
    let clip = |t: &str| t.chars().take(MARK.1).collect::<String>();
    let says = |t: &str| t.chars().filter(|c| c.is_alphabetic()).count() >= MARK.0;
    out.head("recognise");
    out.note("By these marks files of the kind are told from others: a guess. All of them have to be there.");
    if says(longest) {
        out.line(&format!("first_line_contains = {}", quoted(&clip(longest))));
    }
    let heading = around.heading_line.as_deref().unwrap_or_default();
    if says(heading) && heading != first {
        out.line(&format!("contains = {}", quoted(&clip(heading))));
    }
    if let Some((_, ending)) = file.rsplit_once('.')
        && !ending.is_empty()
        && ending.len() <= 16
        && !ending.contains(char::is_whitespace)
    {
        out.line(&format!(
            "name_ends_with = {}",
            quoted(&format!(".{ending}"))
        ));
    }
}
