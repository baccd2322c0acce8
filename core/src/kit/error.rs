//! What every error of an adapter has: a message, a hint, and a place that lies in the file.

use super::bench::Fault;
use crate::error::{Error, Group};
use crate::intake::Source;
use crate::place::{Excerpt, Place};

/// Longest message, hint or reason, in characters: a line of a hostile file must not be quoted whole.
pub(super) const MAX_CHARS: usize = 2000;

const GROUP: &str =
    "a read gives Input, Ambiguous, Unsupported and Limit for the file, and Usage for its options";
const MESSAGE: &str =
    "say in one sentence what is wrong, and quote no more of the file than a reader needs";
const HINT: &str = "give the error a hint that says what to do: `.hint(\"…\")`";
const PLACE: &str = "give the error its place: `.at(source.place(line, start, end))`; errors of `Readings` and `Curve` need it too";
const INSIDE: &str =
    "take places from `Source::place`: lines and columns from 1, in the file, and of one spot";
const EXCERPT: &str =
    "take places from `Source::place`, which cuts the excerpt out of the line it names";

/// What an error lacks. `bytes` is the file as on disk.
pub(super) fn faults(error: &Error, source: &Source, bytes: &[u8]) -> Vec<Fault> {
    let mut found = Vec::new();
    let shown = || format!("{}: {error}", error.group().as_str());
    if matches!(error.group(), Group::Domain | Group::Io) {
        found.push(Fault::new(shown(), GROUP));
    }
    let long = |text: &str| text.chars().count() > MAX_CHARS;
    if error.message().trim().is_empty() || long(error.message()) {
        let seen = format!("a message of {} bytes", error.message().len());
        found.push(Fault::new(seen, MESSAGE));
    }
    if error
        .advice()
        .is_none_or(|a| a.trim().is_empty() || long(a))
    {
        found.push(Fault::new(
            format!("no hint, or one too long: {}", shown()),
            HINT,
        ));
    }
    match error.place() {
        Some(place) => {
            if needs_place(error) && (place.line.is_none() || place.column.is_none()) {
                found.push(Fault::new(
                    format!("no line or no column: {}", shown()),
                    PLACE,
                ));
            }
            found.extend(place_faults(place, source, bytes, &shown()));
        }
        None if needs_place(error) => {
            found.push(Fault::new(format!("no place: {}", shown()), PLACE));
        }
        None => {}
    }
    found
}

fn needs_place(error: &Error) -> bool {
    !matches!(error.group(), Group::Usage | Group::Domain | Group::Io)
}

/// What is wrong with a place, of an error or of a finding.
pub(super) fn place_faults(
    place: &Place,
    source: &Source,
    bytes: &[u8],
    shown: &str,
) -> Vec<Fault> {
    let mut found = Vec::new();
    if place.source.as_deref() != Some(source.name()) {
        let seen = format!("the place names the source {:?}: {shown}", place.source);
        found.push(Fault::new(seen, PLACE));
    }
    if let Some(byte) = place.byte.filter(|b| *b > bytes.len() as u64) {
        let seen = format!("byte {byte} of a file of {}: {shown}", bytes.len());
        found.push(Fault::new(seen, INSIDE));
    }
    let Some(number) = place.line else {
        return found;
    };
    let Some(line) = source.lines().find(|l| l.number == number) else {
        let seen = format!("line {number} of {}: {shown}", source.lines().count());
        found.push(Fault::new(seen, INSIDE));
        return found;
    };
    let length = line.text.chars().count() as u64;
    let start = match place.column {
        Some(column) if (1..=length + 1).contains(&column) => {
            let before = usize::try_from(column - 1).unwrap_or(usize::MAX);
            let at = line.text.char_indices().nth(before);
            Some(at.map_or(line.text.len(), |(at, _)| at))
        }
        Some(column) => {
            let seen = format!("column {column} of a line of {length}: {shown}");
            found.push(Fault::new(seen, INSIDE));
            None
        }
        None => None,
    };
    // Where the text stands in the file byte for byte, a byte can be held against line and column.
    let offset = bytes
        .ends_with(source.text().as_bytes())
        .then(|| bytes.len() - source.text().len());
    if let (Some(byte), Some(start), Some(offset)) = (place.byte, start, offset) {
        let want = (offset + line.at + start) as u64;
        if byte != want {
            let seen = format!("byte {byte}, where line and column are at byte {want}: {shown}");
            found.push(Fault::new(seen, INSIDE));
        }
    }
    if let Some(excerpt) = &place.excerpt
        && !agrees(excerpt, line.text, start)
    {
        let seen = format!(
            "the excerpt {:?} is not in line {number}: {shown}",
            excerpt.text
        );
        found.push(Fault::new(seen, EXCERPT));
    }
    found
}

/// True where an excerpt is cut out of the line, with its part beginning at byte `start`.
fn agrees(excerpt: &Excerpt, line: &str, start: Option<usize>) -> bool {
    let parts = excerpt
        .text
        .get(..excerpt.start)
        .zip(excerpt.text.get(excerpt.start..))
        .filter(|_| excerpt.text.get(excerpt.start..excerpt.end).is_some());
    match (parts, start) {
        (None, _) => false,
        (Some(_), None) => line.contains(&excerpt.text),
        (Some((before, after)), Some(start)) => {
            line[..start].ends_with(before) && line[start..].starts_with(after)
        }
    }
}
