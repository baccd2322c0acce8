//! The headings that a line of names makes.

use crate::names::{Names, units};
use spheresum_core::intake::Source;
use spheresum_core::intake::source::Line;
use spheresum_core::intake::text::{Field, Heading, Meaning, Unit, UnitText, classify, field};
use spheresum_core::{Error, Limits, Result};

/// The headings of a line of names, with the units of the line below.
///
/// # Errors
/// Input: not as many units as names, or other units than the names say.
pub(crate) fn headings<'a>(
    names: Names<'a>,
    wanted: Option<usize>,
    source: &Source,
    limits: &Limits,
) -> Result<Vec<Heading<'a>>> {
    let spans = names.spans(wanted, limits.max_fields);
    let below = names.units.and_then(|line| Some((line, units_of(line)?)));
    let Some((line, units)) = below else {
        return Ok(spans
            .iter()
            .map(|s| Heading::of(Field::of(names.line, s.0, s.1)))
            .collect());
    };
    if units.len() != spans.len() {
        return Err(
            Error::input(format!("{} units under {} names", units.len(), spans.len()))
                .hint("write one unit below each name, and - where there is none")
                .at(source.place(line, 0, line.text.len())),
        );
    }
    let pairs = spans.iter().zip(units);
    pairs
        .map(|(span, unit)| with_unit(Field::of(names.line, span.0, span.1), unit, line, source))
        .collect()
}

fn units_of(line: Line<'_>) -> Option<Vec<Option<Unit>>> {
    let text = field::comment(line.text).unwrap_or(line.text);
    units(text)
}

/// A heading whose unit stands in the line below.
fn with_unit<'a>(
    name: Field<'a>,
    unit: Option<Unit>,
    line: Line<'a>,
    source: &Source,
) -> Result<Heading<'a>> {
    let own = Heading::of(name);
    match (unit, &own.unit) {
        (None, _) => Ok(own),
        (Some(unit), UnitText::None) => {
            let (meaning, _) = classify(&format!("{} [{}]", name.text, unit.symbol()));
            let known = if meaning == Meaning::Unknown {
                own.meaning
            } else {
                meaning
            };
            Ok(Heading::new(name, known, UnitText::Known(unit)))
        }
        (Some(unit), known) if known.known() == Some(unit) => Ok(own),
        (Some(unit), _) => Err(Error::input(format!(
            "{} stands under {}, which names another unit",
            unit.symbol(),
            name.text
        ))
        .hint("correct the line of units, or take it away")
        .at(source.place(line, 0, line.text.len()))),
    }
}
