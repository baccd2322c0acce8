//! What the parts of a layout say together: nothing twice, nothing against each other, and nothing missing.

use crate::layout::{Kind, Layout, Pick, StandsFor};
use crate::said::line_of;
use spheresum_core::intake::text::{Meaning, ValueName, What};
use spheresum_core::{Error, Place, Result};

/// Something that the layout gives, what gives it, and where.
struct Giver<'l> {
    meaning: Meaning,
    text: &'l str,
    place: &'l Place,
}

/// Checks a layout as a whole.
///
/// # Errors
/// Input.
pub(crate) fn check(layout: &Layout) -> Result<()> {
    let givers = givers(layout);
    twice(&givers)?;
    polarisations(layout, &givers)?;
    quantities(layout, &givers)?;
    frequencies(&givers)?;
    tokens(layout, &givers)?;
    cuts(layout)?;
    complete(layout, &givers)
}

fn givers(layout: &Layout) -> Vec<Giver<'_>> {
    let mut givers: Vec<Giver<'_>> = Vec::new();
    let mut add = |meaning, text, place| {
        if meaning != Meaning::Ignore {
            givers.push(Giver {
                meaning,
                text,
                place,
            });
        }
    };
    for column in &layout.columns {
        add(column.role.meaning, &column.role.text, &column.place);
    }
    if let Some(matrix) = &layout.matrix {
        for said in [&matrix.row_axis, &matrix.column_axis, &matrix.values] {
            add(said.value.meaning, &said.value.text, &said.place);
        }
    }
    for slot in &layout.text.slots {
        add(slot.role.meaning, &slot.text, &slot.place);
    }
    let constants = &layout.constants;
    if let Some(said) = &constants.theta_deg {
        add(Meaning::Theta, "the constant theta_deg", &said.place);
    }
    if let Some(said) = &constants.phi_deg {
        add(Meaning::Phi, "the constant phi_deg", &said.place);
    }
    if let Some(said) = &constants.frequency {
        add(Meaning::Frequency, "the constant frequency", &said.place);
    }
    if let Some(said) = &constants.polarisation {
        add(
            Meaning::Polarisation,
            "the constant polarisation",
            &said.place,
        );
    }
    givers
}

/// What a meaning gives, for telling two of them apart.
fn gives(meaning: Meaning) -> Meaning {
    match meaning {
        Meaning::Elevation => Meaning::Theta,
        Meaning::Clockwise => Meaning::Phi,
        other => other,
    }
}

fn value(giver: &Giver<'_>) -> Option<ValueName> {
    match giver.meaning {
        Meaning::Value(name) => Some(name),
        _ => None,
    }
}

fn contradiction(message: String, other: &Giver<'_>, giver: &Giver<'_>) -> Error {
    Error::input(message)
        .hint(format!(
            "the other is in {}; keep one of the two",
            line_of(other.place)
        ))
        .at(giver.place.clone())
}

fn twice(givers: &[Giver<'_>]) -> Result<()> {
    for (at, giver) in givers.iter().enumerate() {
        let same = |g: &&Giver<'_>| gives(g.meaning) == gives(giver.meaning);
        if let Some(first) = givers.iter().take(at).find(same) {
            return Err(contradiction(
                format!("{} and {} are the same thing twice", first.text, giver.text),
                first,
                giver,
            ));
        }
    }
    // Columns of their own frequencies, beside a frequency for all.
    let own = givers
        .iter()
        .find(|g| value(g).is_some_and(|v| v.frequency.is_some()));
    let all = givers.iter().find(|g| g.meaning == Meaning::Frequency);
    match (own, all) {
        (Some(own), Some(all)) => Err(contradiction(
            format!(
                "{} gives the frequency, and so does the column {}",
                all.text, own.text
            ),
            own,
            all,
        )),
        _ => Ok(()),
    }
}

/// Values that name their polarisation, beside something else that says it.
fn polarisations(layout: &Layout, givers: &[Giver<'_>]) -> Result<()> {
    let named = givers
        .iter()
        .find(|g| value(g).is_some_and(|v| v.polarisation.is_some()));
    let unnamed = givers
        .iter()
        .find(|g| value(g).is_some_and(|v| v.polarisation.is_none()));
    let said = givers.iter().find(|g| g.meaning == Meaning::Polarisation);
    if let (Some(named), Some(other)) = (named, said.or(unnamed)) {
        let what = if other.meaning == Meaning::Polarisation {
            format!(
                "{} says the polarisation, and {} names its own",
                other.text, named.text
            )
        } else {
            format!(
                "{} names no polarisation, and {} does",
                other.text, named.text
            )
        };
        return Err(contradiction(what, named, other));
    }
    match (&layout.matrix, unnamed, said) {
        (Some(matrix), Some(_), None) => Err(Error::input(format!(
            "nothing says the polarisation of {}",
            matrix.values.value.text
        ))
        .hint("name it in values (eirp_theta_dbm), in a title ({polarisation}), or in [constants]")
        .at(matrix.values.place.clone())),
        _ => Ok(()),
    }
}

fn quantities(layout: &Layout, givers: &[Giver<'_>]) -> Result<()> {
    let mut values = givers.iter().filter_map(|g| value(g).map(|v| (v.what, g)));
    let Some((what, first)) = values.next() else {
        return Ok(());
    };
    if let Some((other, giver)) = values.find(|(w, _)| *w != what) {
        return Err(contradiction(
            format!("two quantities, {} and {}", what.word(), other.word()),
            first,
            giver,
        ));
    }
    match &layout.constants.quantity {
        Some(said) if said.value.quantity() != what.quantity() => Err(Error::input(format!(
            "the quantity is {}, and the column {} holds {}",
            said.value.word(),
            first.text,
            what.word()
        ))
        .hint(format!(
            "the column is in {}; correct one of the two",
            line_of(first.place)
        ))
        .at(said.place.clone())),
        _ => Ok(()),
    }
}

/// Some columns with a frequency of their own, and some without.
fn frequencies(givers: &[Giver<'_>]) -> Result<()> {
    let with = givers
        .iter()
        .find(|g| value(g).is_some_and(|v| v.frequency.is_some()));
    let without = givers
        .iter()
        .find(|g| value(g).is_some_and(|v| v.frequency.is_none()));
    match (with, without) {
        (Some(with), Some(without)) => Err(Error::input(format!(
            "{} has no frequency of its own",
            without.text
        ))
        .hint(format!(
            "another column has, in {}: give frequency_mhz for all columns of values, or for none",
            line_of(with.place)
        ))
        .at(without.place.clone())),
        _ => Ok(()),
    }
}

fn tokens(layout: &Layout, givers: &[Giver<'_>]) -> Result<()> {
    let what = givers
        .iter()
        .find_map(|g| value(g).map(|v| v.what))
        .or(layout.constants.quantity.as_ref().map(|q| q.value));
    let Some(what) = what else {
        return Ok(());
    };
    let sensitivity = matches!(what, What::Eis | What::Level);
    let marks = !matches!(what, What::Field | What::Loss);
    let wrong = layout.tokens.iter().find(|t| match t.stands_for {
        StandsFor::Missing => false,
        StandsFor::Lost => !sensitivity,
        StandsFor::AtMost(_) | StandsFor::AtLeast(_) => !marks,
    });
    match wrong {
        Some(token) => Err(Error::input(format!(
            "{:?} cannot stand in values that are {}",
            token.text,
            what.word()
        ))
        .hint("lost belongs to sensitivities (eis, level), below_floor and above to powers, gains and sensitivities")
        .at(token.place.clone())),
        None => Ok(()),
    }
}

fn cuts(layout: &Layout) -> Result<()> {
    let titled = layout.text.slots.iter().any(crate::title::Slot::is_angle);
    if layout.kind.value == Kind::Cuts && !titled {
        return Err(Error::input("cuts need a title with the angle that is fixed")
            .hint("write in [text] title = \"Phi = {phi_deg}\", as the files have it; without titles choose kind = \"table\"")
            .at(layout.kind.place.clone()));
    }
    Ok(())
}

/// Where the file has no headings, the layout has to say everything.
fn complete(layout: &Layout, givers: &[Giver<'_>]) -> Result<()> {
    let from_headings = layout.text.heading_line
        && layout
            .columns
            .iter()
            .all(|c| !matches!(c.pick, Pick::Range(..)));
    if from_headings {
        return Ok(());
    }
    let has = |wanted: Meaning| givers.iter().any(|g| gives(g.meaning) == wanted);
    let loss = givers
        .iter()
        .find(|g| value(g).is_some_and(|v| v.what == What::Loss));
    let frequency = has(Meaning::Frequency)
        || givers
            .iter()
            .any(|g| value(g).is_some_and(|v| v.frequency.is_some()));
    let missing = match loss {
        _ if !givers.iter().any(|g| value(g).is_some()) => ("a value", "eirp_theta_dbm"),
        Some(_) if !frequency => ("the frequency", "frequency_mhz"),
        Some(loss) if has(Meaning::Theta) || has(Meaning::Phi) => {
            return Err(Error::input("a range loss against directions")
                .hint("a range loss belongs to a frequency and a polarisation; ignore the angles")
                .at(loss.place.clone()));
        }
        Some(_) => return Ok(()),
        None if !has(Meaning::Theta) => ("θ", "theta_deg"),
        None if !has(Meaning::Phi) => ("φ", "phi_deg"),
        None => return Ok(()),
    };
    Err(Error::input(format!("nothing gives {}", missing.0))
        .hint(format!(
            "say which column, axis or part of a title is {}, or give it in [constants]",
            missing.1
        ))
        .at(layout.kind.place.clone()))
}
