//! The frequency, where titles, columns and entries do not have it.

use crate::propose::columns;
use crate::propose::matrix::Axis;
use crate::propose::numeric::value;
use crate::propose::opening::Around;
use crate::propose::out::{Out, quoted};
use crate::propose::runs::Runs;
use spheresum_core::intake::text::{Clip, Entry, Key, Separator, Unit, field};

/// The frequency, where a line that is skipped seems to say it.
pub(super) fn frequency(out: &mut Out, found: &Runs<'_>, around: &Around, axis: Option<Axis>) {
    let in_titles = around
        .titles
        .iter()
        .any(|t| t.pattern.contains("{frequency"));
    let in_columns = axis.is_none()
        && (0..found.fields()).any(|at| {
            let heading = around.headings.as_ref().and_then(|h| h.get(at));
            columns::column(found, at, heading.map(String::as_str))
                .is
                .starts_with("frequency_")
        });
    let in_entries = found.lines.iter().any(|l| {
        let entry = Entry::of(*l, l.number > around.skip_lines);
        entry.is_some_and(|e| e.known() == Some(Key::Frequency))
    });
    if in_titles || in_columns || in_entries {
        return;
    }
    let said = around.skipped.iter().find_map(|line| {
        let words: Vec<&str> = line.split_whitespace().collect();
        (0..words.len()).find_map(|at| {
            let (number, unit) =
                field::number_and_unit(words.get(at)?.trim_end_matches([',', ';']))?;
            let unit = if unit.is_empty() {
                *words.get(at + 1)?
            } else {
                unit
            };
            match Unit::parse(unit.trim_end_matches([',', ';', '.', ')']))? {
                Unit::Frequency(unit)
                    if value(number, Separator::Blank).is_some_and(|v| v > 0.0) =>
                {
                    let key = format!("frequency_{}", unit.symbol().to_lowercase());
                    Some((key, number.replace(',', "."), line.clone()))
                }
                _ => None,
            }
        })
    });
    match said {
        Some((key, number, line)) => {
            out.head("constants");
            out.said(
                &format!("{key} = {}", quoted(&number)),
                &format!("guess: from the line {:?}", Clip(&line)),
            );
        }
        None => {
            out.line("");
            out.note("If the files leave the frequency out:");
            out.note("[constants]");
            out.note("frequency_mhz = \"868.3\"");
        }
    }
}
