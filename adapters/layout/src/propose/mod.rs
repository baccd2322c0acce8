//! A layout to start from, for a file that nothing reads: what its text shows, and a `?` where a person has to say what it means.

mod columns;
mod fixed;
mod frequency;
mod guess;
mod head;
mod matrix;
mod numeric;
mod opening;
mod out;
mod pattern;
mod runs;
mod titles;
mod write;

use crate::layout::Layout;
use crate::parse::is_unfilled;
use spheresum_core::intake::{Head, Source};

/// A layout to start from, as a TOML text with comments; `None` where the text has no rows of numbers.
///
/// The text is what [`crate::Layout::parse`] takes, but for the places with a `?`, which a person fills in. What is a guess is
/// said to be one. The first 64 KiB of the source are looked at. The same source gives the same text.
#[must_use]
pub fn propose(source: &Source) -> Option<String> {
    let head = Head::of(source);
    let whole = head.text.len() == source.text().len();
    let runs = runs::runs(source, head.text.len())?;
    let proposal = write::write(source, &runs, whole, false);
    match Layout::parse("proposal", &proposal) {
        // What the headings say contradicts itself: a person has to say all of it.
        Err(error) if !is_unfilled(&error) => Some(write::write(source, &runs, whole, true)),
        _ => Some(proposal),
    }
}
