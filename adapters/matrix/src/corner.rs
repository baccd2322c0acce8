//! The corner of a matrix: the cell that names the angle of the rows and that of the columns.

use nom::branch::alt;
use nom::bytes::complete::{tag, take_till1};
use nom::combinator::all_consuming;
use nom::sequence::separated_pair;
use nom::{IResult, Parser};
use spheresum_core::intake::source::Line;
use spheresum_core::intake::text::{Field, Guess, Heading, Meaning, UnitText};

/// The two names, rows first.
pub(crate) type Names<'a> = [Heading<'a>; 2];

/// The names in `start..end` of a line; `None` where there are not two names of angles.
///
/// ```text
/// corner = name ( `\` | `/` | `|` ) name
/// ```
///
/// A unit behind the second name is that of both, where the first has none.
pub(crate) fn names(line: Line<'_>, start: usize, end: usize) -> Option<Names<'_>> {
    let text = line.text.get(start..end)?;
    let (_, (rows, columns)) = two_names(text).ok()?;
    let field = |name: &str, offset: usize| {
        let from = start + offset + (name.len() - name.trim_start().len());
        Heading::of(Field::of(line, from, from + name.trim().len()))
    };
    let mut rows = field(rows, 0);
    let columns = field(columns, text.len() - columns.len());
    if rows.unit == UnitText::None && columns.unit != UnitText::None {
        rows.unit = columns.unit.clone();
    }
    (is_angle(&rows) && is_angle(&columns)).then_some([rows, columns])
}

fn two_names(text: &str) -> IResult<&str, (&str, &str)> {
    let is_slash = |c: char| matches!(c, '\\' | '/' | '|');
    let slash = alt((tag("\\"), tag("/"), tag("|")));
    all_consuming(separated_pair(
        take_till1(is_slash),
        slash,
        take_till1(is_slash),
    ))
    .parse(text)
}

/// True for a name of an angle, clear or not.
pub(crate) fn is_angle(heading: &Heading<'_>) -> bool {
    matches!(
        heading.meaning,
        Meaning::Theta | Meaning::Phi | Meaning::Guess(Guess::Elevation | Guess::Azimuth)
    )
}
