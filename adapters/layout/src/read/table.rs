//! The headings of a file, as the file and the layout together have them.

use crate::layout::{Kind, Layout, Pick, Role};
use crate::read::opening::Opening;
use crate::read::{split, virtuals};
use crate::said::line_of;
use spheresum_core::intake::Source;
use spheresum_core::intake::source::Line;
use spheresum_core::intake::text::{
    Clip, Field, Guess, Heading, Meaning, Spot, Table, UnitText, split_quoted,
};
use spheresum_core::spelling::nearest;
use spheresum_core::{Error, Limits, Result};

/// Names of columns that have no heading in the file.
#[derive(Debug, Default)]
pub(crate) struct Names(Vec<String>);

impl Names {
    /// The names, for a file whose first row (or heading line) is given.
    pub(crate) fn of(layout: &Layout, line: Line<'_>, limits: &Limits) -> Self {
        Self(match layout.kind.value {
            Kind::Matrix => Vec::new(),
            Kind::Fixed => layout
                .columns
                .iter()
                .map(|c| match c.pick {
                    Pick::Range(from, to) => format!("characters {from} to {to}"),
                    _ => String::new(),
                })
                .collect(),
            Kind::Table | Kind::Cuts => {
                let mut spans = Vec::new();
                let rules = &layout.text;
                split_quoted(
                    line.text,
                    rules.separator,
                    rules.quote,
                    limits.max_fields,
                    &mut spans,
                );
                (1..=spans.len()).map(|n| format!("column {n}")).collect()
            }
        })
    }
}

/// The table of a file: its headings and entries.
///
/// # Errors
/// Input: the layout names a heading or a column that is not there, or is there twice. Limit: too many fields.
pub(crate) fn table<'a>(
    layout: &'a Layout,
    source: &'a Source,
    opening: &Opening<'_, 'a>,
    names: &'a Names,
    limits: &Limits,
) -> Result<Table<'a>> {
    let line = opening.line;
    let mut headings: Vec<Heading<'a>> = Vec::new();
    if let Some(matrix) = &layout.matrix {
        for (name, role) in [
            ("row axis", &matrix.row_axis.value),
            ("column axis", &matrix.column_axis.value),
            ("values", &matrix.values.value),
        ] {
            headings.push(given(Field::constant(name), role));
        }
    } else if layout.kind.value == Kind::Fixed {
        for (name, column) in names.0.iter().zip(&layout.columns) {
            headings.push(given(Field::constant(name), &column.role));
        }
    } else {
        let mut spans = Vec::new();
        split::split(layout, source, limits, line, &mut spans)?;
        let has_heading = opening.heading().is_some();
        for (field, name) in split::fields(line, &spans).zip(&names.0) {
            headings.push(if has_heading {
                Heading::of(field)
            } else {
                Heading::new(Field::constant(name), Meaning::Unknown, UnitText::None)
            });
        }
        describe(layout, source, line, &mut headings)?;
    }
    virtuals::headings(layout, &mut headings);
    for heading in &mut headings {
        heading.meaning = by_convention(layout, heading.meaning);
    }
    Ok(Table::new(
        opening.entries.clone(),
        headings,
        Some(Spot::whole(line)),
    ))
}

fn given<'a>(field: Field<'a>, role: &Role) -> Heading<'a> {
    Heading::new(field, role.meaning, role.unit.clone())
}

/// Gives columns what the layout says of them.
fn describe<'a>(
    layout: &Layout,
    source: &Source,
    line: Line<'a>,
    headings: &mut [Heading<'a>],
) -> Result<()> {
    let mut described: Vec<(usize, usize)> = Vec::new();
    for (n, column) in layout.columns.iter().enumerate() {
        let at = match &column.pick {
            Pick::Heading(text) => by_heading(layout, source, line, headings, text, n)?,
            Pick::Number(number) if *number <= headings.len() => number - 1,
            Pick::Number(number) => {
                let end = line.text.trim_end().len();
                return Err(Error::input(format!(
                    "the layout names column {number} ({}), and the line has {}",
                    line_of(&column.place),
                    headings.len()
                ))
                .hint("check the separator of the layout, and that skip_lines ends above the first row")
                .at(source.place(line, end, end)));
            }
            Pick::Range(..) => continue,
        };
        if let Some((_, first)) = described.iter().find(|(a, _)| *a == at) {
            let first = layout
                .columns
                .get(*first)
                .map_or_else(String::new, |c| line_of(&c.place));
            let place = headings.get(at).map(|h| h.field.place(source));
            return Err(Error::input("the layout describes this column twice")
                .hint(format!(
                    "once in {first}, and once in {}",
                    line_of(&column.place)
                ))
                .at(place
                    .filter(|p| p.line.is_some())
                    .unwrap_or_else(|| source.place(line, 0, line.text.len()))));
        }
        described.push((at, n));
        if let Some(heading) = headings.get_mut(at) {
            let mut role = column.role.clone();
            // A heading may name the frequency of its values, by whatever way the layout finds it.
            if heading.field.spot.is_some() && !role.take_frequency_of(heading.text()) {
                return Err(Error::input(format!(
                    "the heading {:?} names another frequency than the layout gives it",
                    Clip(heading.text())
                ))
                .hint(format!(
                    "correct frequency_mhz in {}",
                    line_of(&column.place)
                ))
                .at(heading.field.place(source)));
            }
            heading.meaning = role.meaning;
            // A role may leave its unit to the heading.
            if role.unit != UnitText::None || heading.field.spot.is_none() {
                heading.unit = role.unit;
            }
        }
    }
    Ok(())
}

/// The column below a heading.
fn by_heading(
    layout: &Layout,
    source: &Source,
    line: Line<'_>,
    headings: &[Heading<'_>],
    text: &str,
    column: usize,
) -> Result<usize> {
    let place = layout
        .columns
        .get(column)
        .map_or_else(String::new, |c| line_of(&c.place));
    let wanted = text.to_lowercase();
    let is = |h: &Heading<'_>| h.text().to_lowercase() == wanted;
    let Some(at) = headings.iter().position(is) else {
        let all: Vec<&str> = headings.iter().map(Heading::text).collect();
        let meant = nearest(text, all.iter().copied())
            .map_or_else(String::new, |near| format!("did you mean {near:?}? "));
        return Err(Error::input(format!(
            "no heading is called {:?}, which the layout names in {place}",
            Clip(text)
        ))
        .hint(format!(
            "{meant}the headings are: {}; correct the layout, or its separator or skip_lines",
            spheresum_core::intake::text::clip::list(&all, 16, " | ")
        ))
        .at(source.place(line, 0, line.text.len())));
    };
    let second = headings
        .iter()
        .skip(at + 1)
        .position(is)
        .map(|n| at + 1 + n);
    if let Some(second) = second.and_then(|n| headings.get(n)) {
        return Err(Error::ambiguous(format!(
            "the heading {:?} stands there twice, and the layout names it in {place}",
            Clip(text)
        ))
        .hint("give the column's number = … in the layout instead of its heading")
        .at(second.field.place(source)));
    }
    Ok(at)
}

/// The meaning of an angle under the layout's conventions.
fn by_convention(layout: &Layout, meaning: Meaning) -> Meaning {
    let conventions = &layout.conventions;
    let elevation = conventions.elevation.as_ref().map(|said| said.value);
    let clockwise = conventions.clockwise.as_ref().map(|said| said.value);
    match (meaning, elevation, clockwise) {
        (Meaning::Theta | Meaning::Guess(Guess::Elevation), Some(true), _) => Meaning::Elevation,
        (Meaning::Guess(Guess::Elevation), Some(false), _) => Meaning::Theta,
        (Meaning::Phi | Meaning::Guess(Guess::Azimuth), _, Some(true)) => Meaning::Clockwise,
        (Meaning::Guess(Guess::Azimuth), _, Some(false)) => Meaning::Phi,
        _ => meaning,
    }
}
