//! Columns that no line holds: what titles say, and angles that the layout gives.

use crate::layout::Layout;
use crate::read::body::Body;
use crate::said::line_of;
use spheresum_core::intake::Source;
use spheresum_core::intake::source::Line;
use spheresum_core::intake::text::{Field, Heading, Meaning, Unit, UnitText};
use spheresum_core::{Error, Result};

/// Angles of the layout, with the decimal sign of the file.
#[derive(Debug, Default)]
pub(crate) struct Constants(Vec<String>);

impl Constants {
    /// The angles, written with a decimal sign.
    pub(crate) fn of(layout: &Layout, decimal: u8) -> Self {
        let all = [&layout.constants.theta_deg, &layout.constants.phi_deg];
        let sign = char::from(decimal).to_string();
        Self(
            all.into_iter()
                .flatten()
                .map(|said| said.value.replace('.', &sign))
                .collect(),
        )
    }
}

/// Number of these columns.
pub(crate) fn count(layout: &Layout) -> usize {
    layout.text.slots.len()
        + usize::from(layout.constants.theta_deg.is_some())
        + usize::from(layout.constants.phi_deg.is_some())
}

/// The headings of these columns.
pub(crate) fn headings<'a>(layout: &'a Layout, headings: &mut Vec<Heading<'a>>) {
    for slot in &layout.text.slots {
        headings.push(Heading::new(
            Field::constant(&slot.text),
            slot.role.meaning,
            slot.role.unit.clone(),
        ));
    }
    let deg = || UnitText::Known(Unit::Deg);
    if layout.constants.theta_deg.is_some() {
        headings.push(Heading::new(
            Field::constant("theta_deg"),
            Meaning::Theta,
            deg(),
        ));
    }
    if layout.constants.phi_deg.is_some() {
        headings.push(Heading::new(
            Field::constant("phi_deg"),
            Meaning::Phi,
            deg(),
        ));
    }
}

/// The fields of these columns for a row.
///
/// # Errors
/// Input: no title above the row says what the layout takes from one.
pub(crate) fn fields<'t, 'a: 't>(
    layout: &Layout,
    source: &Source,
    body: &Body<'_, 'a>,
    constants: &'t Constants,
    line: Line<'_>,
    fields: &mut Vec<Field<'t>>,
) -> Result<()> {
    for (slot, taken) in layout.text.slots.iter().zip(&body.taken) {
        let Some(field) = taken else {
            return Err(Error::input(format!(
                "no title above this line says {}",
                slot.text
            ))
            .hint(format!(
                "the layout takes it from a title ({}); check that the title is written as in the file",
                line_of(&slot.place)
            ))
            .at(source.place(line, 0, line.text.len())));
        };
        fields.push(*field);
    }
    fields.extend(constants.0.iter().map(|text| Field::constant(text)));
    Ok(())
}
