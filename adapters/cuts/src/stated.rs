//! What titles and entries say for the whole file.

use crate::heading::Names;
use crate::structure::Structure;
use spheresum_core::intake::Source;
use spheresum_core::intake::text::title::{Facts, Said, Statement, choose};
use spheresum_core::intake::text::{Choices, Clip, Entries, Entry, Heading, Key, Meaning, choices};
use spheresum_core::{Error, Polarisation, Result};
use std::collections::HashMap;

/// Puts the choices of the option `column` in the place of what headings, fixed angles and titles say.
///
/// # Errors
/// Usage: nothing is called that.
pub(crate) fn chosen<'a>(
    structure: &mut Structure<'a>,
    titles: &mut [Vec<Statement<'a>>],
    choices: &Choices,
    source: &Source,
) -> Result<()> {
    let mut distinct: Vec<Heading<'a>> = Vec::new();
    let mut known: HashMap<String, usize> = HashMap::new();
    let fixed = titles.iter().flatten().filter_map(|s| match &s.said {
        Said::Angle(heading) => Some(heading),
        _ => None,
    });
    for heading in structure
        .names
        .iter()
        .flat_map(|n| &n.headings)
        .chain(fixed)
    {
        known
            .entry(heading.text().to_lowercase())
            .or_insert_with(|| {
                distinct.push(heading.clone());
                distinct.len() - 1
            });
    }
    choose(titles, &mut distinct, choices, source)?;
    let put = |heading: &mut Heading<'a>| {
        let at = known.get(&heading.text().to_lowercase());
        if let Some(chosen) = at.and_then(|at| distinct.get(*at)) {
            heading.meaning = chosen.meaning;
            heading.unit = chosen.unit.clone();
        }
    };
    structure
        .names
        .iter_mut()
        .flat_map(|n| &mut n.headings)
        .for_each(put);
    for statement in titles.iter_mut().flatten() {
        if let Said::Angle(heading) = &mut statement.said {
            put(heading);
        }
    }
    Ok(())
}

/// The entries of the file, with quantity and unit of titles among them.
///
/// # Errors
/// Input: entries that contradict each other.
pub(crate) fn entries<'a>(
    structure: &Structure<'a>,
    facts: &[Facts<'a>],
    source: &Source,
) -> Result<Entries<'a>> {
    refuse_contradiction(structure, facts, source)?;
    let mut entries = Entries::default();
    let titles = structure.cuts.iter().flat_map(|c| &c.title);
    for statement in titles.chain(&structure.trailer) {
        if let Said::Entry(entry) = statement.said {
            Entries::keep(&mut entries.all, entry);
        }
    }
    let mut said = Vec::new();
    let has = |key: Key| entries.all.iter().find(|e| e.known() == Some(key));
    if let Some(what) = facts
        .iter()
        .find_map(|f| f.what)
        .filter(|w| !w.value.is_vague())
        && let Some(spot) = what.field.spot
        && has(Key::Quantity).is_none_or(|e| choices::quantity(e.value) != Some(what.value))
    {
        said.push(Entry {
            key: "quantity",
            value: what.value.word(),
            line: spot.line,
        });
    }
    if let Some(unit) = facts.iter().find_map(|f| f.unit)
        && let Some(spot) = unit.field.spot
        && has(Key::Unit).is_none_or(|e| choices::value_unit(e.value) != Some(unit.value))
    {
        said.push(Entry {
            key: "unit",
            value: unit.value.symbol(),
            line: spot.line,
        });
    }
    entries.all.extend(said);
    entries.index(source)?;
    Ok(entries)
}

/// Refuses a title whose quantity or unit is not that of the columns below it.
fn refuse_contradiction(
    structure: &Structure<'_>,
    facts: &[Facts<'_>],
    source: &Source,
) -> Result<()> {
    for (cut, facts) in structure.cuts.iter().zip(facts) {
        let names = structure.names.get(cut.names);
        for heading in names.iter().flat_map(|n| &n.headings) {
            let Meaning::Value(name) = heading.meaning else {
                continue;
            };
            let what = facts
                .what
                .filter(|w| !name.what.is_vague() && !w.value.is_vague() && w.value != name.what);
            let own = heading.unit.known();
            let unit = facts.unit.filter(|u| own.is_some_and(|own| own != u.value));
            let (field, says) = match (what, unit) {
                (Some(what), _) => (what.field, what.value.word()),
                (None, Some(unit)) => (unit.field, unit.value.symbol()),
                (None, None) => continue,
            };
            return Err(Error::input(format!(
                "the title says {says}, and the column {} in line {} does not",
                Clip(heading.text()),
                heading.field.spot.map_or(0, |s| s.line.number)
            ))
            .hint("correct the title or the heading")
            .at(field.place(source)));
        }
    }
    Ok(())
}

/// True where titles say the polarisation of the rows; false where the columns do.
///
/// # Errors
/// Input: both do, and do not agree.
pub(crate) fn titles_say_polarisation(
    structure: &Structure<'_>,
    facts: &[Facts<'_>],
    source: &Source,
) -> Result<bool> {
    let named = structure
        .names
        .iter()
        .any(|n| polarisations(n).next().is_some());
    if !named {
        return Ok(facts.iter().any(|f| f.polarisation.is_some()));
    }
    for (cut, facts) in structure.cuts.iter().zip(facts) {
        let Some((stated, names)) = facts.polarisation.zip(structure.names.get(cut.names)) else {
            continue;
        };
        if let Some((heading, _)) = polarisations(names).find(|(_, p)| *p != stated.value) {
            return Err(Error::input(format!(
                "the title says {}, and a column of line {} is {}",
                stated.value,
                names.line.number,
                Clip(heading.text())
            ))
            .hint("leave the polarisation out of the title: the columns name theirs")
            .at(stated.field.place(source)));
        }
    }
    Ok(false)
}

fn polarisations<'n>(
    names: &'n Names<'_>,
) -> impl Iterator<Item = (&'n Heading<'n>, Polarisation)> {
    names.headings.iter().filter_map(|h| match h.meaning {
        Meaning::Value(name) => name.polarisation.map(|p| (h, p)),
        _ => None,
    })
}
