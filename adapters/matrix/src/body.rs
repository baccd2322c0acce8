//! The cells of all blocks, one after the other, into readings.

use crate::blocks::Group;
use crate::imaginary::{imaginary, without_partner};
use crate::labels::Labels;
use crate::read::Known;
use crate::structure::Block;
use crate::walk::{Rows, column_labels};
use spheresum_core::intake::text::{Context, Field, Gather, split};
use spheresum_core::intake::{Intake, Source};
use spheresum_core::{Finding, Result};

/// A warning of the first block that has other rows or columns than the first.
pub(crate) fn unlike(known: &Known<'_>, source: &Source) -> Option<Finding> {
    let size = |(block, turned): (&Block<'_>, &bool)| match turned {
        false => (block.rows, block.labels.count),
        true => (block.labels.count, block.rows),
    };
    let mut blocks = known.structure.blocks.iter().zip(&known.turned);
    let first = blocks.next()?;
    let (other, _) = blocks.find(|b| size(*b) != size(first))?;
    let first = first.0;
    Some(
        Finding::warning(
            "blocks-unlike",
            format!(
                "the block has {} rows and {} columns, and that of line {} has {} and {}",
                other.rows, other.labels.count, first.line.number, first.rows, first.labels.count
            ),
        )
        .at(source.place(other.line, 0, other.line.text.len()))
        .advice("the file may be cut off, or hold more than one measurement"),
    )
}

/// Reads all blocks.
///
/// # Errors
/// Those of labels and cells.
pub(crate) fn read(
    context: &Context<'_>,
    known: &Known<'_>,
    findings: Vec<Finding>,
) -> Result<Intake> {
    let mut gather = Gather::new(context)?;
    let total = known.groups.iter().fold(0_usize, |sum, group| {
        let block = known.structure.blocks.get(group.first);
        let cells = block.map_or(0, |b| b.rows.saturating_mul(b.labels.count));
        sum.saturating_add(cells)
    });
    // No more than there are cells in the text.
    gather
        .readings()
        .reserve(total.min(context.limits.max_readings));
    for group in &known.groups {
        take(context, known, *group, &mut gather)?;
    }
    gather.finish(findings)
}

fn take(
    context: &Context<'_>,
    known: &Known<'_>,
    group: Group,
    gather: &mut Gather<'_, '_>,
) -> Result<()> {
    let (source, structure) = (context.source, &known.structure);
    let Some((block, facts)) = structure
        .blocks
        .get(group.first)
        .zip(known.facts.get(group.first))
    else {
        return Ok(());
    };
    let labels = column_labels(block, structure.separator);
    let mut columns = Labels::default();
    for label in &labels {
        columns.take(*label, known.decimal, "column", source)?;
    }
    let is_turned = known.turned.get(group.first).copied().unwrap_or(false);
    let imaginary = match group.imaginary {
        Some(at) => Some(imaginary(
            context,
            known,
            (at, is_turned),
            (&labels, &columns),
        )?),
        None => None,
    };
    let frequency = facts
        .frequency
        .map(|f| format!("{}e-6", f.value.microhertz()));
    let value = known
        .columns
        .of_block
        .get(group.first)
        .copied()
        .flatten()
        .unwrap_or(0);
    let first_axis = usize::from(known.has_frequency);
    let values = first_axis + 2;
    let mut fields = vec![Field::constant(""); values + known.columns.headings.len()];
    if let (Some(text), Some(stated)) = (&frequency, facts.frequency) {
        fields[0] = Field {
            text,
            spot: stated.field.spot,
        };
    }
    let (row_axis, column_axis) = match is_turned {
        false => (first_axis, first_axis + 1),
        true => (first_axis + 1, first_axis),
    };
    let mut rows = Rows::of(block, structure.separator, source.text());
    let mut row_labels = Labels::default();
    let (mut spans, mut others) = (Vec::new(), Vec::new());
    while let Some(line) = rows.next(&mut spans) {
        let mut cells = spans.iter().map(|s| Field::of(line, s.0, s.1));
        let label = cells.next().unwrap_or(Field::of(line, 0, 0));
        row_labels.take(label, known.decimal, "row", source)?;
        fields[row_axis] = label;
        let other = match &imaginary {
            Some(imaginary) => {
                let Some(line) = imaginary
                    .labels
                    .position(label.text, known.decimal)
                    .and_then(|at| imaginary.rows.get(at))
                else {
                    return Err(without_partner(label, source));
                };
                split(
                    line.text,
                    structure.separator,
                    labels.len() + 1,
                    &mut others,
                );
                Some((*line, imaginary))
            }
            None => None,
        };
        gather.count_line();
        for (at, (cell, label)) in cells.zip(&labels).enumerate() {
            fields[column_axis] = *label;
            fields[values + value] = cell;
            if let Some((line, imaginary)) = other {
                let span = imaginary.columns.get(at).and_then(|at| others.get(at + 1));
                let (start, end) = span.copied().unwrap_or_default();
                fields[values + imaginary.value] = Field::of(line, start, end);
            }
            gather.row(&fields, line.number)?;
        }
    }
    match &imaginary {
        Some(imaginary) if imaginary.labels.len() != row_labels.len() => {
            let line = imaginary.rows.iter().find_map(|line| {
                split(line.text, structure.separator, 1, &mut others);
                let label = others.first().map(|s| Field::of(*line, s.0, s.1))?;
                row_labels
                    .position(label.text, known.decimal)
                    .is_none()
                    .then_some(label)
            });
            Err(without_partner(
                line.unwrap_or(Field::of(block.line, 0, 0)),
                source,
            ))
        }
        _ => Ok(()),
    }
}
