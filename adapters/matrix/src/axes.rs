//! Which angle runs along the rows of a block and which along its columns. It is never guessed.

use crate::corner::{self, Names};
use crate::own::Own;
use crate::structure::{Block, Structure};
use spheresum_core::intake::Source;
use spheresum_core::intake::text::title::Said;
use spheresum_core::intake::text::{Clip, Field, Guess, Heading, Meaning, UnitText};
use spheresum_core::{Error, Result};

/// The names of both angles for each block, rows first.
///
/// # Errors
/// Ambiguous: nothing names them. Input or Usage: what names them contradicts itself.
pub(crate) fn of_blocks<'a>(
    structure: &Structure<'a>,
    own: &Own,
    source: &Source,
) -> Result<Vec<Names<'a>>> {
    let stated = stated(structure, source)?;
    structure
        .blocks
        .iter()
        .map(|block| of_block(block, stated.as_ref(), own, source))
        .collect()
}

/// The names in entries `row axis` and `column axis`, which hold for all blocks.
fn stated<'a>(structure: &Structure<'a>, source: &Source) -> Result<Option<Names<'a>>> {
    let mut found: [Option<Field<'a>>; 2] = [None, None];
    for statement in structure.blocks.iter().flat_map(|b| &b.title) {
        let Said::Axis { rows } = statement.said else {
            continue;
        };
        let slot = &mut found[usize::from(!rows)];
        let field = statement.field;
        if !corner::is_angle(&Heading::of(field)) {
            return Err(Error::input(format!(
                "{:?} is not the name of an angle",
                Clip(field.text)
            ))
            .hint("write theta_deg or phi_deg")
            .at(field.place(source)));
        }
        match slot {
            Some(first) if first.text != field.text => {
                return Err(Error::input(format!(
                    "the axis is {:?} here, and {:?} in line {}",
                    Clip(field.text),
                    Clip(first.text),
                    first.spot.map_or(0, |s| s.line.number)
                ))
                .hint("all blocks of a file have the same axes")
                .at(field.place(source)));
            }
            _ => *slot = Some(field),
        }
    }
    match found {
        [Some(rows), Some(columns)] => Ok(Some([Heading::of(rows), Heading::of(columns)])),
        [None, None] => Ok(None),
        [Some(one), None] | [None, Some(one)] => Err(Error::input(
            "the file names one of its axes, and not the other",
        )
        .hint("write both, such as `row axis: theta_deg` and `column axis: phi_deg`")
        .at(one.place(source))),
    }
}

fn of_block<'a>(
    block: &Block<'a>,
    stated: Option<&Names<'a>>,
    own: &Own,
    source: &Source,
) -> Result<Names<'a>> {
    let spot = block.corner();
    let (start, end) = block.labels.corner;
    let named = corner::names(block.line, start, end);
    let contradicts = |a: &Names<'_>, b: &Names<'_>| a[0].meaning != b[0].meaning;
    if let (Some(named), Some(stated)) = (&named, stated)
        && contradicts(named, stated)
    {
        return Err(Error::input(format!(
            "the corner says {:?}, and the row axis is {:?} in line {}",
            Clip(named[0].text()),
            Clip(stated[0].text()),
            stated[0].field.spot.map_or(0, |s| s.line.number)
        ))
        .hint("keep one of the two")
        .at(spot.place(source)));
    }
    if let Some(names) = named.or_else(|| stated.cloned()) {
        refuse_twins(&names, source)?;
        let chosen = own
            .rows_are_theta
            .map(|theta| if theta { Meaning::Theta } else { Meaning::Phi });
        let is_clear = matches!(names[0].meaning, Meaning::Theta | Meaning::Phi);
        if let Some(chosen) = chosen.filter(|c| is_clear && *c != names[0].meaning) {
            let word = if chosen == Meaning::Theta {
                "theta"
            } else {
                "phi"
            };
            return Err(Error::usage(format!(
                "the option says rows={word}, and the file names the rows {:?}",
                Clip(names[0].text())
            ))
            .hint("leave the option out: the file names its axes")
            .at(names[0].field.place(source)));
        }
        return Ok(names);
    }
    let Some(rows_are_theta) = own.rows_are_theta else {
        return Err(ambiguous(block, source));
    };
    // The unit of the one name that may stand in the corner is that of both.
    let unit = Heading::of(Field::of(block.line, start, end)).unit;
    let unit = match unit {
        UnitText::Known(_) => unit,
        _ => UnitText::None,
    };
    let name = |text, meaning| Heading::new(Field::at(text, spot), meaning, unit.clone());
    let (theta, phi) = (name("theta", Meaning::Theta), name("phi", Meaning::Phi));
    Ok(if rows_are_theta {
        [theta, phi]
    } else {
        [phi, theta]
    })
}

/// Refuses one angle along both axes.
fn refuse_twins(names: &Names<'_>, source: &Source) -> Result<()> {
    if names[0].meaning != names[1].meaning {
        return Ok(());
    }
    Err(Error::input(format!(
        "{} and {} name the same angle",
        Clip(names[0].text()),
        Clip(names[1].text())
    ))
    .hint("one axis is θ and the other φ, such as `theta_deg\\phi_deg` (rows\\columns)")
    .at(names[1].field.place(source)))
}

fn ambiguous(block: &Block<'_>, source: &Source) -> Error {
    let (start, end) = block.labels.corner;
    let corner = block.line.text.get(start..end).unwrap_or_default();
    let says = match corner {
        "" => "nothing names the angles of rows and columns".to_string(),
        text => format!(
            "the corner {:?} does not name the angles of rows and columns",
            Clip(text)
        ),
    };
    Error::ambiguous(format!(
        "{says}: the {} rows may be θ and the {} columns φ, or the rows φ and the columns θ",
        block.rows, block.labels.count
    ))
    .hint(
        "say which by the option rows=theta or rows=phi (and angles=deg), write `theta_deg\\phi_deg` (rows\\columns) into the \
         corner, or lines `row axis: theta_deg` and `column axis: phi_deg`",
    )
    .at(block.corner().place(source))
}

/// How the axes of a block lie on those of the table: true where they are the other way round.
///
/// # Errors
/// Input: they are others.
pub(crate) fn is_turned(names: &Names<'_>, table: &Names<'_>, source: &Source) -> Result<bool> {
    let same = |a: &Heading<'_>, b: &Heading<'_>| {
        let guess = matches!(a.meaning, Meaning::Guess(Guess::Elevation | Guess::Azimuth));
        let text = a.text().to_lowercase() == b.text().to_lowercase();
        a.meaning == b.meaning && a.unit == b.unit && (!guess || text)
    };
    if same(&names[0], &table[0]) && same(&names[1], &table[1]) {
        return Ok(false);
    }
    if same(&names[0], &table[1]) && same(&names[1], &table[0]) {
        return Ok(true);
    }
    Err(Error::input(format!(
        "the angles are {} and {} here, and {} and {} in line {}",
        Clip(names[0].text()),
        Clip(names[1].text()),
        Clip(table[0].text()),
        Clip(table[1].text()),
        table[0].field.spot.map_or(0, |s| s.line.number)
    ))
    .hint("all blocks of a file write their angles in the same way and unit")
    .at(names[0].field.place(source)))
}
