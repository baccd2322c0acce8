//! The columns of a file: where they stand, and what they are called.

use crate::format::of_format;
use crate::headings::headings;
use crate::layout::{Fault, Layout, of_widths};
use crate::names::{Names, is_known, spans};
use crate::own::Own;
use crate::top::Top;
use spheresum_core::intake::Source;
use spheresum_core::intake::source::Line;
use spheresum_core::intake::text::{Entries, Entry, Field, Heading, Span, Spot, Table, fortran};
use spheresum_core::{Error, Finding, Limits, Place, Result};

/// True for a key whose value names the columns.
pub(crate) fn is_columns_entry(entry: &Entry<'_>) -> bool {
    let is_key = ["columns", "column names"]
        .iter()
        .any(|k| entry.key.eq_ignore_ascii_case(k));
    // `columns: 5` counts them.
    is_key && entry.value.parse::<u64>().is_err()
}

/// The layout that a file or a person declares, and a note where the person overrides the file.
///
/// # Errors
/// Input: two declarations, or one that is not understood.
pub(crate) fn layout(
    top: &Top<'_>,
    source: &Source,
    own: &Own,
    limits: &Limits,
) -> Result<(Option<Layout>, Vec<Finding>)> {
    let mut declared = top.entries.iter().filter(|e| fortran::declares_widths(e));
    let first = declared.next();
    if let Some(layout) = &own.layout {
        let note = first.map(|entry| {
            Finding::note(
                "layout-overridden",
                format!(
                    "the option says where the fields stand, and not the file's line `{}`",
                    entry.key
                ),
            )
            .at(entry.place(source))
        });
        return Ok((Some(layout.clone()), note.into_iter().collect()));
    }
    let Some(first) = first else {
        return Ok((None, Vec::new()));
    };
    if let Some(second) = declared.find(|e| e.value != first.value) {
        return Err(Error::input(format!(
            "{}: {} is a second declaration of where the fields stand, after line {}",
            second.key, second.value, first.line.number
        ))
        .hint("keep one of the two lines, or give the option format or widths")
        .at(second.place(source)));
    }
    let found = match fortran::is_format_key(first.key) {
        true => of_format(first.value, limits),
        false => of_widths(first.value, limits),
    };
    let layout = found.map_err(|fault| refuse(fault, first, source))?;
    Ok((Some(layout), Vec::new()))
}

fn refuse(fault: Fault, entry: &Entry<'_>, source: &Source) -> Error {
    let start = entry.line.text.rfind(entry.value).unwrap_or(0) + fault.at;
    let end = entry.line.text.trim_end().len().max(start);
    Error::input(fault.message)
        .hint(fault.hint)
        .at(source.place(entry.line, start, end).with_field(entry.key))
}

/// The number of columns: as declared, or as the first line of numbers has texts.
fn wanted(top: &Top<'_>, layout: Option<&Layout>, most: usize) -> Option<usize> {
    match (layout, top.first) {
        (Some(layout), _) => Some(layout.slots.len()),
        (None, Some(first)) => {
            let mut texts = Vec::new();
            between_blanks(first.text, most, &mut texts);
            Some(texts.len())
        }
        (None, None) => None,
    }
}

/// What names the columns.
pub(crate) enum Namer<'a> {
    /// A line, or a part of it.
    Line(Names<'a>),
    /// The option `columns`.
    Option,
}

/// What names the columns of a file; `None` where nothing does.
///
/// # Errors
/// Input, Ambiguous: two lines name them differently.
pub(crate) fn namer<'a>(
    top: &Top<'a>,
    layout: Option<&Layout>,
    source: &Source,
    own: &Own,
    limits: &Limits,
) -> Result<Option<Namer<'a>>> {
    if own.columns.is_some() {
        return Ok(Some(Namer::Option));
    }
    let wanted = wanted(top, layout, limits.max_fields);
    let in_entries = top.entries.iter().filter(|e| is_columns_entry(e)).map(|e| {
        let start = e.line.text.rfind(e.value).unwrap_or(0);
        Names::new(e.line, start)
    });
    let stated: Vec<Names<'a>> = in_entries.chain(top.bare).collect();
    let fits =
        |n: &&Names<'a>| wanted.is_none_or(|w| n.spans(wanted, limits.max_fields).len() == w);
    let fitting: Vec<Names<'a>> = top.comments.iter().filter(fits).copied().collect();
    // A comment counts only where nothing else names the columns.
    let all = match (stated.is_empty(), fitting.is_empty()) {
        (false, _) => stated,
        (true, false) => fitting,
        (true, true) => return Ok(top.comments.last().copied().map(Namer::Line)),
    };
    let texts = |n: &Names<'a>| -> Vec<String> {
        let spans = n.spans(wanted, limits.max_fields);
        spans
            .iter()
            .map(|s| n.line.text[s.0..s.1].to_lowercase())
            .collect()
    };
    let Some(first) = all.first() else {
        return Ok(None);
    };
    let known = texts(first);
    if let Some(other) = all.iter().skip(1).find(|n| texts(n) != known) {
        return Err(Error::ambiguous(format!(
            "the columns may be called as in line {} or as in line {}",
            first.line.number, other.line.number
        ))
        .hint("keep one of the two lines, or name the columns by the option columns=theta_deg,phi_deg,…")
        .at(source.place(other.line, other.start, other.line.text.len())));
    }
    Ok(Some(Namer::Line(*first)))
}

/// The table of a file, with the names of its columns.
///
/// # Errors
/// Input: no names, or not as many as declared fields. Usage: the same of the option `columns`.
pub(crate) fn table<'a>(
    top: &Top<'a>,
    layout: Option<&Layout>,
    source: &Source,
    own: &'a Own,
    limits: &Limits,
) -> Result<Table<'a>> {
    let mut entries = Entries::default();
    entries.all.clone_from(&top.entries);
    let whole = top.first.or(top.last).map(Spot::whole);
    let table = match namer(top, layout, source, own, limits)? {
        None => return Err(no_names(top, source)),
        Some(Namer::Option) => {
            let text = own.columns.as_deref().unwrap_or_default();
            let spans = spans(
                text,
                wanted(top, layout, limits.max_fields),
                limits.max_fields,
            );
            let names = spans.iter().map(|s| Field::constant(&text[s.0..s.1]));
            Table::new(entries, names.map(Heading::of).collect(), whole)
        }
        Some(Namer::Line(names)) => {
            if let (Some(odd), Some(_)) = (top.odd, top.first) {
                return Err(odd_line(odd, source));
            }
            let wanted = wanted(top, layout, limits.max_fields);
            let headings = headings(names, wanted, source, limits)?;
            let spot = Spot::new(names.line, names.start, names.line.text.len());
            Table::new(entries, headings, Some(spot))
        }
    };
    let place = table.whole(source);
    let count = table.headings.len();
    if count > limits.max_fields {
        return Err(
            Error::limit(format!("more than {} names in one line", limits.max_fields))
                .hint("raise the limit on fields, or check that this line names columns")
                .at(place),
        );
    }
    match layout {
        Some(layout) if layout.slots.len() != count => {
            let message = format!(
                "{count} columns are named, and {} fields are declared",
                layout.slots.len()
            );
            let error = match own.columns {
                Some(_) => Error::usage(message),
                None => Error::input(message),
            };
            Err(error
                .hint("name every declared field, in its order; leave characters out by nX in the format, or 2x in the widths")
                .at(place))
        }
        _ => Ok(table),
    }
}

fn no_names(top: &Top<'_>, source: &Source) -> Error {
    let example = "write `# theta_deg phi_deg eirp_theta_dbm` above the numbers, a line `# columns: …`, or the option \
                   columns=theta_deg,phi_deg,…";
    if let Some(odd) = top.odd {
        return odd_line(odd, source);
    }
    let (line, message) = match (top.first, top.last) {
        (Some(first), _) => (Some(first), "nothing names the columns of these numbers"),
        (None, last) => (last, "there are neither names of columns nor numbers"),
    };
    let place = line.map_or_else(
        || Place::in_source(source.name()),
        |l| source.place(l, 0, l.text.len()),
    );
    Error::input(message).hint(example).at(place)
}

fn odd_line(line: Line<'_>, source: &Source) -> Error {
    let words = line.text.split_whitespace();
    let known = words.clone().any(is_known);
    Error::input("this line is neither a list of known names nor of numbers")
        .hint(match known {
            true => "a title starts with #; names of columns are such as theta_deg, phi_deg, eirp_theta_dbm, or given by the option columns=…",
            false => "a title starts with #; name the columns by the option columns=theta_deg,phi_deg,…, which takes the place of this line",
        })
        .at(source.place(line, 0, line.text.len()))
}

/// Byte ranges of a line's texts between blanks and tabulators, at most `most` and one more.
pub(crate) fn between_blanks(text: &str, most: usize, spans: &mut Vec<Span>) {
    spans.clear();
    let mut at = 0;
    for part in text.split([' ', '\t']) {
        if !part.is_empty() && spans.len() <= most {
            spans.push((at, at + part.len()));
        }
        at += part.len() + 1;
    }
}
