//! The structure of a file: its cuts, each with title, headings and rows.

use crate::heading::{self, Names};
use crate::own::Own;
use spheresum_core::intake::Source;
use spheresum_core::intake::source::Line;
use spheresum_core::intake::text::title::{Said, Statement, statements};
use spheresum_core::intake::text::{
    Choices, Cursor, Entries, Separator, Span, Spot, Table, clip, field, line_at, ragged,
    refuse_long_lines, split,
};
use spheresum_core::{Error, Limits, Place, Result};

/// A cut.
#[derive(Clone, Debug)]
pub(crate) struct Cut<'a> {
    /// What its title says.
    pub(crate) title: Vec<Statement<'a>>,
    /// The first line of its title, else its first row.
    pub(crate) line: Line<'a>,
    /// Index of its headings.
    pub(crate) names: usize,
    /// The line of its first row.
    pub(crate) start: Cursor,
    /// Number of rows.
    pub(crate) rows: usize,
}

/// The cuts of a file.
#[derive(Clone, Debug)]
pub(crate) struct Structure<'a> {
    /// What stands between fields.
    pub(crate) separator: Separator,
    /// The lines of headings.
    pub(crate) names: Vec<Names<'a>>,
    /// The cuts; at least one, and each has rows.
    pub(crate) cuts: Vec<Cut<'a>>,
    /// What is said below the last cut.
    pub(crate) trailer: Vec<Statement<'a>>,
}

/// The separator, and the first line of headings under it: one that names an angle and has a row below it.
pub(crate) fn sight<'a>(text: &'a str, own: &Own, most: usize) -> Option<(Separator, Names<'a>)> {
    let possible = |separator: &Separator| match own.separator {
        Some(given) => given == *separator,
        None => *separator != Separator::Comma || own.choices.decimal != Some(b','),
    };
    Separator::ALL
        .into_iter()
        .filter(possible)
        .find_map(|separator| {
            let mut cursor = Cursor::START;
            let mut spans = Vec::new();
            while let Some((line, next)) = line_at(text, cursor) {
                cursor = next;
                if let Some(names) = heading::names(line, separator, &own.choices, most)
                    && row_follows(text, next, &names, (separator, &own.choices), &mut spans)
                {
                    return Some((separator, names));
                }
            }
            None
        })
}

/// True where the next line that says something, titles left out, is a row of these headings.
fn row_follows(
    text: &str,
    mut cursor: Cursor,
    names: &Names<'_>,
    (separator, choices): (Separator, &Choices),
    spans: &mut Vec<Span>,
) -> bool {
    while let Some((line, next)) = line_at(text, cursor) {
        cursor = next;
        if field::comment(line.text).is_some() || line.text.trim().is_empty() {
            continue;
        }
        split(line.text, separator, names.headings.len(), spans);
        let first = spans.first().and_then(|s| line.text.get(s.0..s.1));
        let is_alike = spans.len() == names.headings.len() || first.is_some_and(heading::is_number);
        if is_alike && is_row(names, line, spans) {
            return true;
        }
        // Headings that stand once have the title of the first cut below them.
        let is_other = heading::names(line, separator, choices, names.headings.len()).is_some();
        if is_other || !statements(line).iter().any(Statement::is_title) {
            return false;
        }
    }
    false
}

/// Finds the cuts of a source.
///
/// # Errors
/// Input: no headings, rows without headings, a title without rows, a ragged row. Limit.
pub(crate) fn find<'a>(source: &'a Source, own: &Own, limits: &Limits) -> Result<Structure<'a>> {
    let text = source.text();
    refuse_long_lines(source, limits)?;
    let Some((separator, _)) = sight(text, own, limits.max_fields) else {
        return Err(no_headings(source));
    };
    let mut found = Structure {
        separator,
        names: Vec::new(),
        cuts: Vec::new(),
        trailer: Vec::new(),
    };
    let mut pending = Pending::default();
    let mut is_open = false;
    let mut spans = Vec::new();
    let mut cursor = Cursor::START;
    while let Some((line, next)) = line_at(text, cursor) {
        let start = cursor;
        cursor = next;
        let names = found.names.last();
        let most = names.map_or(limits.max_fields, |n| n.headings.len());
        let flaw = split(line.text, separator, most, &mut spans);
        if spans.iter().all(|s| s.0 == s.1) {
            continue;
        }
        if let Some(names) = names.filter(|n| is_row(n, line, &spans)) {
            if let Some(flaw) = flaw {
                return Err(
                    flaw.refuse(line.text, "close it, or take it away", |start, end| {
                        source.place(line, start, end)
                    }),
                );
            }
            if spans.len() != names.headings.len() {
                let is_last = text.get(next.at..).unwrap_or_default().trim().is_empty();
                let table = Table::new(
                    Entries::default(),
                    names.headings.clone(),
                    Some(Spot::whole(names.line)),
                );
                let how = (separator, own.is_open());
                return Err(ragged(
                    line.text,
                    &table,
                    how,
                    limits,
                    is_last,
                    |start, end| source.place(line, start, end),
                ));
            }
            pending.headings = None;
            match found.cuts.last_mut().filter(|_| is_open) {
                Some(cut) => cut.rows += 1,
                None => {
                    is_open = true;
                    found.cuts.push(Cut {
                        title: std::mem::take(&mut pending.said),
                        line: pending.first.take().unwrap_or(line),
                        names: found.names.len() - 1,
                        start,
                        rows: 1,
                    });
                }
            }
            continue;
        }
        if names.is_some_and(|n| n.line.text == line.text) {
            is_open = false;
            pending.headings = Some(line);
            continue;
        }
        if let Some(names) = heading::names(line, separator, &own.choices, limits.max_fields)
            && row_follows(text, next, &names, (separator, &own.choices), &mut spans)
        {
            is_open = false;
            found.names.push(names);
            continue;
        }
        let said = statements(line);
        if field::comment(line.text).is_none() || said.iter().any(Statement::is_title) {
            is_open = false;
            pending.first.get_or_insert(line);
        }
        let is_kept =
            |s: &Statement<'_>| !own.choices.columns.is_empty() || !matches!(s.said, Said::Remark);
        pending.said.extend(said.into_iter().filter(is_kept));
    }
    finish(source, found, pending)
}

/// What was said since the last cut.
#[derive(Debug, Default)]
struct Pending<'a> {
    said: Vec<Statement<'a>>,
    first: Option<Line<'a>>,
    /// Headings that stand there again.
    headings: Option<Line<'a>>,
}

fn finish<'a>(
    source: &Source,
    mut found: Structure<'a>,
    pending: Pending<'a>,
) -> Result<Structure<'a>> {
    if found.cuts.is_empty() {
        return Err(no_headings(source));
    }
    let fact = pending.said.iter().find(|s| s.said.is_fact());
    let again = pending.headings.map(|l| source.place(l, 0, l.text.len()));
    if let Some(place) = fact.map(|s| s.field.place(source)).or(again) {
        return Err(
            Error::input("a cut is announced, and there are no rows below it")
                .hint("the file may be cut off; export it again")
                .at(place),
        );
    }
    found.trailer = pending.said;
    Ok(found)
}

/// True for a row below headings. Much is a row that would be something else elsewhere: its errors are then those of the cell, and
/// no row is taken for a remark.
fn is_row(names: &Names<'_>, line: Line<'_>, spans: &[Span]) -> bool {
    if field::comment(line.text).is_some() {
        return false;
    }
    if names.fit(line, spans) {
        return true;
    }
    let text = |span: &Span| line.text.get(span.0..span.1).unwrap_or_default();
    let cells = spans.iter().filter(|s| heading::is_cell(text(s))).count();
    let running = names.running().and_then(|(at, _)| spans.get(at));
    let starts = spans.first().is_some_and(|s| heading::is_number(text(s)))
        || running.is_some_and(|s| heading::is_number(text(s)));
    let mostly = spans.len() == names.headings.len() && 2 * cells >= spans.len();
    (starts || mostly) && !statements(line).iter().any(Statement::is_title)
}

/// The error of a file without headings that name an angle.
fn no_headings(source: &Source) -> Error {
    let mut lines = source.lines().filter(|l| !l.text.trim().is_empty());
    let first = lines.next();
    let place = first.map_or_else(
        || Place::in_source(source.name()),
        |l| source.place(l, 0, l.text.len()),
    );
    let shown = first.map_or(clip::Clip(""), |l| clip::Clip(l.text));
    Error::input(format!(
        "no line names the running angle and the values, above a row of them; the file starts with {shown:?}"
    ))
    .hint(
        "above its rows a cut has a line such as `phi: 30 deg` and a line of headings such as `theta_deg,eirp_theta_dbm,eirp_phi_dbm`",
    )
    .at(place)
}
