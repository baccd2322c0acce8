//! The rows of all cuts, one after the other, into readings.

use crate::read::Known;
use crate::repeats::{Cuts, Running};
use crate::structure::{Cut, Structure};
use spheresum_core::intake::Intake;
use spheresum_core::intake::source::Line;
use spheresum_core::intake::text::{
    Context, Cursor, Field, Gather, Meaning, Separator, Span, Spot, field, line_at, settle, split,
};
use spheresum_core::{Finding, Polarisation, Result};

/// The rows of a cut, one after the other, split.
struct Rows<'a> {
    text: &'a str,
    separator: Separator,
    most: usize,
    cursor: Cursor,
    left: usize,
}

impl<'a> Rows<'a> {
    fn of(cut: &Cut<'a>, structure: &Structure<'a>, text: &'a str) -> Self {
        let names = structure.names.get(cut.names);
        Self {
            text,
            separator: structure.separator,
            most: names.map_or(0, |n| n.headings.len()),
            cursor: cut.start,
            left: cut.rows,
        }
    }

    /// The next row, its fields in `spans`.
    fn next(&mut self, spans: &mut Vec<Span>) -> Option<Line<'a>> {
        while self.left > 0 {
            let (line, next) = line_at(self.text, self.cursor)?;
            self.cursor = next;
            if field::comment(line.text).is_some() {
                continue;
            }
            split(line.text, self.separator, self.most, spans);
            if spans.iter().any(|s| s.0 < s.1) {
                self.left -= 1;
                return Some(line);
            }
        }
        None
    }
}

/// The decimal sign of the first number in the rows that has one.
pub(crate) fn first_sign(structure: &Structure<'_>, text: &str) -> Option<u8> {
    let mut spans = Vec::new();
    for cut in &structure.cuts {
        let Some(names) = structure.names.get(cut.names) else {
            continue;
        };
        let mut rows = Rows::of(cut, structure, text);
        while let Some(line) = rows.next(&mut spans) {
            let numbers = names.headings.iter().zip(&spans).filter(|(h, _)| {
                !matches!(
                    h.meaning,
                    Meaning::Unknown | Meaning::Ignore | Meaning::Polarisation
                )
            });
            let sign = numbers
                .filter_map(|(_, s)| line.text.get(s.0..s.1))
                .find_map(settle::sign_of);
            if sign.is_some() {
                return sign;
            }
        }
    }
    None
}

/// Reads all cuts.
///
/// # Errors
/// Those of the rows; a cut or a running angle that is there twice.
pub(crate) fn read(
    context: &Context<'_>,
    known: &Known<'_>,
    findings: Vec<Finding>,
) -> Result<Intake> {
    let mut gather = Gather::new(context)?;
    let rows = known
        .structure
        .cuts
        .iter()
        .fold(0_usize, |sum, c| sum.saturating_add(c.rows));
    // The rows were counted: no claim of the file is believed.
    let readings = rows.saturating_mul(context.plan.outputs.len());
    gather
        .readings()
        .reserve(readings.min(context.limits.max_readings));
    let mut cuts = Cuts::default();
    for at in 0..known.structure.cuts.len() {
        take(context, known, at, &mut cuts, &mut gather)?;
    }
    gather.finish(findings)
}

fn take(
    context: &Context<'_>,
    known: &Known<'_>,
    at: usize,
    cuts: &mut Cuts,
    gather: &mut Gather<'_, '_>,
) -> Result<()> {
    let (source, structure) = (context.source, &known.structure);
    let (Some(cut), Some(facts), Some(Some(fixed))) = (
        structure.cuts.get(at),
        known.facts.get(at),
        known.fixed.get(at),
    ) else {
        return Ok(());
    };
    let (Some(names), Some(indices), Some(running)) = (
        structure.names.get(cut.names),
        known.columns.of_names.get(cut.names),
        known.columns.running.get(cut.names),
    ) else {
        return Ok(());
    };
    let frequency = facts
        .frequency
        .map(|f| format!("{}e-6", f.value.microhertz()));
    let mut fields = vec![Field::constant(""); known.first() + known.columns.headings.len()];
    if let (Some(text), Some(stated)) = (&frequency, facts.frequency) {
        fields[0] = Field {
            text,
            spot: stated.field.spot,
        };
    }
    if let Some(stated) = facts.polarisation.filter(|_| known.has_polarisation) {
        let text = match known.tokens.of(stated.field.text) {
            Some(polarisation) if polarisation == stated.value => stated.field.text,
            _ => word(stated.value),
        };
        let column = usize::from(known.has_frequency);
        fields[column] = Field {
            text,
            spot: stated.field.spot,
        };
    }
    fields[known.of(fixed.angle)] = fixed.number;
    let column = |is: &dyn Fn(Meaning) -> bool| names.headings.iter().position(|h| is(h.meaning));
    let frequencies = column(&|m| m == Meaning::Frequency);
    let polarisations = column(&|m| m == Meaning::Polarisation);
    // Columns of other cuts: missing, with the row for a place.
    let absent: Vec<usize> = (2..known.columns.headings.len())
        .filter(|c| !indices.contains(c))
        .collect();
    let mut seen = Running::default();
    let mut rows = Rows::of(cut, structure, source.text());
    let mut spans = Vec::new();
    let mut is_first = true;
    while let Some(line) = rows.next(&mut spans) {
        for (span, index) in spans.iter().zip(indices) {
            fields[known.first() + index] = Field::of(line, span.0, span.1);
        }
        let end = Spot::new(line, line.text.len(), line.text.len());
        for index in &absent {
            fields[known.first() + index] = Field::at("", end);
        }
        let of = |column: Option<usize>| {
            let span = column
                .and_then(|c| spans.get(c))
                .copied()
                .unwrap_or_default();
            line.text.get(span.0..span.1).unwrap_or_default()
        };
        let own = (of(frequencies), of(polarisations));
        if std::mem::take(&mut is_first) {
            let own = format!("{} {}", own.0, own.1);
            cuts.take(
                cut,
                fixed,
                facts,
                &known.columns,
                (&own, known.decimal),
                source,
            )?;
        }
        seen.take(
            fields[known.of(*running)],
            own,
            (*running, known.decimal),
            source,
        )?;
        gather.count_line();
        gather.row(&fields, line.number)?;
    }
    Ok(())
}

/// The word of a polarisation.
const fn word(polarisation: Polarisation) -> &'static str {
    match polarisation {
        Polarisation::Theta => "theta",
        Polarisation::Phi => "phi",
        Polarisation::Total => "total",
    }
}
