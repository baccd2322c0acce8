//! The imaginary part of a field, which stands in a block of its own.

use crate::labels::Labels;
use crate::read::Known;
use crate::walk::{Rows, column_labels};
use spheresum_core::intake::Source;
use spheresum_core::intake::source::Line;
use spheresum_core::intake::text::{Clip, Context, Field};
use spheresum_core::{Error, Result};

/// The imaginary part of a field: its rows by label, and the order of its columns.
pub(crate) struct Imaginary<'a> {
    /// The rows.
    pub(crate) rows: Vec<Line<'a>>,
    /// Their labels.
    pub(crate) labels: Labels,
    /// For each column of the real part that of the imaginary one.
    pub(crate) columns: Vec<usize>,
    /// Index of its value column.
    pub(crate) value: usize,
}

/// Opens the block of an imaginary part, whose labels have to be those of the real one in some order.
pub(crate) fn imaginary<'a>(
    context: &Context<'a>,
    known: &Known<'a>,
    (at, is_turned): (usize, bool),
    (real, real_labels): (&[Field<'_>], &Labels),
) -> Result<Imaginary<'a>> {
    let (source, separator) = (context.source, known.structure.separator);
    let Some(block) = known.structure.blocks.get(at) else {
        return Err(Error::usage("a block that is not there"));
    };
    if known.turned.get(at).copied().unwrap_or(false) != is_turned {
        return Err(Error::input(
            "the rows of this part of the field run along the columns of the other part",
        )
        .hint("write both parts with the same angle along the rows")
        .at(block.corner().place(source)));
    }
    let labels = column_labels(block, separator);
    let mut positions = Labels::default();
    for label in &labels {
        positions.take(*label, known.decimal, "column", source)?;
    }
    let mut columns = Vec::with_capacity(real.len());
    for label in real {
        let Some(position) = positions.position(label.text, known.decimal) else {
            return Err(without_partner(*label, source));
        };
        columns.push(position);
    }
    let is_surplus = |l: &&Field<'_>| real_labels.position(l.text, known.decimal).is_none();
    if let Some(surplus) = labels.iter().find(is_surplus) {
        return Err(without_partner(*surplus, source));
    }
    let mut rows = Rows::of(block, separator, source.text());
    let mut found = Imaginary {
        rows: Vec::new(),
        labels: Labels::default(),
        columns,
        value: known
            .columns
            .of_block
            .get(at)
            .copied()
            .flatten()
            .unwrap_or(0),
    };
    let mut spans = Vec::new();
    while let Some(line) = rows.next(&mut spans) {
        let label = spans
            .first()
            .map_or(Field::of(line, 0, 0), |s| Field::of(line, s.0, s.1));
        found.labels.take(label, known.decimal, "row", source)?;
        found.rows.push(line);
    }
    Ok(found)
}

/// The error of a label that only one part has.
pub(crate) fn without_partner(label: Field<'_>, source: &Source) -> Error {
    Error::input(format!(
        "the label {:?} of one part of the field is not there in the other part",
        Clip(label.text)
    ))
    .hint("the blocks of the real and the imaginary part have the same labels")
    .at(label.place(source))
}
