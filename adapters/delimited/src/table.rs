//! The table of a file: its heading line, with all that may be wrong with it.

use crate::below::almost_units;
use crate::own::Own;
use crate::preamble;
use crate::record;
use crate::sight::{Found, Sight, Texts, sight};
use spheresum_core::intake::Source;
use spheresum_core::intake::text::{Separator, line_at, long_line};
use spheresum_core::{Error, Limits, Place, Result};

/// Finds the heading of a source.
///
/// # Errors
/// Input: no heading line, or numbers where it should be. Limit: too long or too many fields. Usage: `column` names a heading
/// that is not there.
pub(crate) fn table<'a>(
    source: &'a Source,
    own: &Own,
    limits: &Limits,
    texts: &'a Texts,
) -> Result<Found<'a>> {
    let example = "the first line below the comments names the columns, such as \
                   `frequency_mhz,theta_deg,phi_deg,eirp_theta_dbm,eirp_phi_dbm`";
    // Before it is taken apart in several ways.
    if let (_, Some(line), _) = preamble::above_heading(source.text())
        && line.text.len() > limits.max_line_bytes
    {
        return Err(long_line(source, line, limits));
    }
    let mut found = match sight(source.text(), own, limits, texts) {
        Sight::Nothing(preamble) => {
            let place = preamble
                .entries
                .all
                .last()
                .map(|e| e.line)
                .or(preamble.last_comment)
                .or_else(|| source.lines().find(|l| !l.text.trim().is_empty()))
                .map_or_else(
                    || Place::in_source(source.name()),
                    |l| source.place(l, 0, l.text.len()),
                );
            return Err(
                Error::input("there is no heading line, and nothing below the comments")
                    .hint(example)
                    .at(place),
            );
        }
        Sight::Numbers(preamble, line) => {
            let commented = preamble
                .last_comment
                .filter(|l| l.number + 1 == line.number);
            let hint = match commented {
                Some(l) => format!(
                    "{example}; if line {} is the heading, take away the mark of a comment in front of it",
                    l.number
                ),
                None => example.to_string(),
            };
            return Err(
                Error::input("there are numbers where the heading line should be")
                    .hint(hint)
                    .at(source.place(line, 0, line.text.len())),
            );
        }
        Sight::Table(found) => found,
    };
    let mut above = source.lines().take_while(|l| l.at < found.record.at);
    if let Some(line) = above.find(|l| l.text.len() > limits.max_line_bytes) {
        return Err(long_line(source, line, limits));
    }
    if !record::fits(found.record, limits) {
        return Err(record::refuse_long(source, found.record, limits));
    }
    if let Some(flaw) = found.flaw {
        return Err(record::refuse(source, found.record, flaw));
    }
    let table = &mut found.table;
    if table.headings.len() > limits.max_fields {
        return Err(Error::limit(format!(
            "more than {} headings in one line",
            limits.max_fields
        ))
        .hint("raise the limit on fields, or check that this is a table of readings")
        .at(table.whole(source)));
    }
    found.below.refuse_contradictions(table, source)?;
    if let Some((line, _)) = line_at(source.text(), found.body)
        && let Some(error) = almost_units(source, line, found.separator, &table.headings)
    {
        return Err(error);
    }
    table.choose(&own.choices, source)?;
    // The bar that starts each line of a drawn table.
    let edge = usize::from(found.separator == Separator::Pipe && table.text(0).is_empty());
    table.refuse_repeats_from(source, edge)?;
    Ok(found)
}
