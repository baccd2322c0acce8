//! What titles say has to agree: in one title, and between titles where the whole file has one value.

use super::facts::{Facts, Stated};
use super::{Said, Statement};
use crate::intake::source::Source;
use crate::intake::text::clip::Clip;
use crate::intake::text::entries::Entries;
use crate::intake::text::guess::{self, Lacks};
use crate::intake::text::meaning::Meaning;
use crate::intake::text::table::{Field, Heading, Table};
use crate::{Error, Place, Result};

/// States something; refuses another value of it in the same title.
pub(super) fn state<'a, T: Copy + PartialEq>(
    slot: &mut Option<Stated<'a, T>>,
    value: T,
    field: Field<'a>,
    source: &Source,
) -> Result<()> {
    match slot {
        Some(first) if first.value != value => Err(contradiction(first.field, field, source)),
        _ => {
            slot.get_or_insert(Stated { value, field });
            Ok(())
        }
    }
}

/// The error of two statements in one title.
fn contradiction(first: Field<'_>, second: Field<'_>, source: &Source) -> Error {
    Error::input(format!(
        "the title says {:?}, and {:?} in line {}",
        Clip(second.text),
        Clip(first.text),
        first.spot.map_or(0, |s| s.line.number)
    ))
    .hint("one block has one quantity, unit, polarisation and frequency; correct its title, or put what is missing between two titles")
    .at(second.place(source))
}

/// The one value that all titles which say it agree on.
pub(super) fn only<'a, T: Copy + PartialEq>(
    own: &[Facts<'a>],
    source: &Source,
    what: &str,
    word: impl Fn(T) -> &'static str,
    get: impl Fn(&Facts<'a>) -> Option<Stated<'a, T>>,
) -> Result<Option<Stated<'a, T>>> {
    let mut all = own.iter().filter(|f| !f.ignored).filter_map(get);
    let Some(first) = all.next() else {
        return Ok(None);
    };
    match all.find(|s| s.value != first.value) {
        None => Ok(Some(first)),
        Some(other) => Err(Error::ambiguous(format!(
            "the {what} is {} here, and {} in line {}",
            word(other.value),
            word(first.value),
            first.field.spot.map_or(0, |s| s.line.number)
        ))
        .hint(format!(
            "one file gives one {what}: leave the blocks of one out by the option column, such as column={}=ignore",
            Clip(other.field.text)
        ))
        .at(other.field.place(source))),
    }
}

/// Refuses words of titles with several meanings, all at once.
pub(super) fn refuse_guesses(titles: &[Vec<Statement<'_>>], source: &Source) -> Result<()> {
    let mut guesses: Vec<Heading<'_>> = Vec::new();
    for statement in titles.iter().flatten() {
        if let Said::Values(heading) = &statement.said
            && matches!(heading.meaning, Meaning::Guess(_))
            && guesses.len() < 16
            && !guesses.iter().any(|g| g.text() == heading.text())
        {
            guesses.push(heading.clone());
        }
    }
    let lacks = Lacks {
        theta: false,
        phi: false,
        frequency: false,
        values: true,
    };
    let table = Table::new(Entries::default(), guesses, None);
    guess::refuse(&table, source, lacks).map_or(Ok(()), Err)
}

/// Refuses a block that leaves out what others say. `used` gives the blocks, `place` where one starts.
///
/// # Errors
/// Input.
pub fn say_alike<'a, T: Copy, I: Iterator<Item = usize>>(
    facts: &[Facts<'a>],
    used: impl Fn() -> I,
    what: &str,
    place: impl Fn(usize) -> Place,
    get: impl Fn(&Facts<'a>) -> Option<Stated<'a, T>>,
) -> Result<()> {
    let stated = |block: &usize| facts.get(*block).and_then(&get);
    let Some(first) = used().find_map(|b| stated(&b)) else {
        return Ok(());
    };
    match used().find(|b| stated(b).is_none()) {
        None => Ok(()),
        Some(block) => Err(Error::input(format!(
            "the title does not say the {what}, and others do ({} in line {})",
            Clip(first.field.text),
            first.field.spot.map_or(0, |s| s.line.number)
        ))
        .hint(format!("write the {what} into each title"))
        .at(place(block))),
    }
}
