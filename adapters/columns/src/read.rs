//! The read: options, what stands above the numbers, plan, rows.

use crate::layout::Layout;
use crate::names::{Names, are_names, behind_mark};
use crate::number::Counts;
use crate::own::Own;
use crate::row::Rules;
use crate::table::{is_columns_entry, layout, table};
use crate::top::{Top, top};
use spheresum_core::intake::source::Line;
use spheresum_core::intake::text::{
    self, Context, Cursor, Entry, Field, Gather, Plan, Spot, Table, field, fortran, line_at,
    long_line, settle,
};
use spheresum_core::intake::{Intake, ReadOptions, Source};
use spheresum_core::{Error, Finding, Limits, Result};

/// Reads a source.
pub(crate) fn read(source: &Source, limits: &Limits, options: &ReadOptions) -> Result<Intake> {
    let own = Own::of(options, limits)?;
    let top = top(source.text(), limits.max_fields);
    if let Some(line) = too_long(&top, limits) {
        return Err(long_line(source, line, limits));
    }
    let (layout, mut findings) = layout(&top, source, &own, limits)?;
    let mut table = table(&top, layout.as_ref(), source, &own, limits)?;
    table.choose(&own.choices, source)?;
    table.refuse_repeats(source)?;
    table.entries.index(source)?;
    let table = table;
    let rules = Rules {
        layout: layout.as_ref(),
        own: &own,
    };
    let (plan, more) = text::plan(&table, source, &own.choices, options, |plan| {
        first_sign(source.text(), top.body, rules, plan)
    })?;
    findings.extend(more);
    let context = Context {
        source,
        table: &table,
        plan: &plan,
        limits,
    };
    rows(&context, rules, top.body, findings)
}

/// A line above the numbers that is too long.
fn too_long<'a>(top: &Top<'a>, limits: &Limits) -> Option<Line<'a>> {
    let names = top.comments.iter().chain(&top.bare).map(|n| n.line);
    let entries = top.entries.iter().map(|e| e.line);
    names
        .chain(entries)
        .chain(top.first)
        .find(|l| l.text.len() > limits.max_line_bytes)
}

/// The decimal sign of the first number in the rows that has one.
fn first_sign(text: &str, mut cursor: Cursor, rules: Rules<'_>, plan: &Plan) -> Option<u8> {
    let mut spans = Vec::new();
    while let Some((line, next)) = line_at(text, cursor) {
        cursor = next;
        if field::comment(line.text).is_some() {
            continue;
        }
        rules.spans(line.text, plan.roles.len(), &mut spans);
        let texts = spans
            .iter()
            .map(|s| line.text.get(s.0..s.1).unwrap_or_default());
        if let Some(sign) = settle::sign_of_row(plan, texts) {
            return Some(sign);
        }
    }
    None
}

/// The rows, one after the other.
fn rows(
    context: &Context<'_>,
    rules: Rules<'_>,
    mut cursor: Cursor,
    mut findings: Vec<Finding>,
) -> Result<Intake> {
    let Context {
        source,
        table,
        limits,
        ..
    } = *context;
    let all = source.text();
    let mut gather = Gather::new(context)?;
    let mut spans = Vec::new();
    let mut counts = Counts::default();
    while let Some((line, next)) = line_at(all, cursor) {
        let is_last = next.at >= all.len();
        // Without a line end.
        let is_cut = is_last && line.at + line.text.len() == all.len();
        cursor = next;
        if line.text.len() > limits.max_line_bytes {
            return Err(long_line(source, line, limits));
        }
        if line.text.trim().is_empty() {
            continue;
        }
        if let Some(body) = field::comment(line.text) {
            match Entry::of(line, false) {
                Some(entry) => {
                    refuse_late(&entry, table, source)?;
                    gather.entry(entry)?;
                }
                None => refuse_other_names(line, body, table, source, limits)?,
            }
            continue;
        }
        if is_heading(line.text, table) {
            return Err(Error::input("the names of the columns stand there again, in the middle of the rows")
                .hint("two files were joined: give them as two files, or take the line away if they belong together")
                .at(source.place(line, 0, line.text.len())));
        }
        let texts = rules.texts(context, line, (is_last, is_cut), &mut spans, &mut counts)?;
        let fields: Vec<Field<'_>> = texts
            .iter()
            .zip(&spans)
            .map(|(text, span)| Field::at(text, Spot::new(line, span.0, span.1)))
            .collect();
        gather.count_line();
        gather.row(&fields, line.number)?;
    }
    findings.extend(notes(rules.layout, counts));
    gather.finish(findings)
}

/// True for a bare line of the very names.
fn is_heading(text: &str, table: &Table<'_>) -> bool {
    let mut words = text.split_whitespace();
    let mut names = table
        .headings
        .iter()
        .flat_map(|h| h.text().split_whitespace());
    loop {
        match (words.next(), names.next()) {
            (None, None) => return true,
            (Some(a), Some(b)) if a.eq_ignore_ascii_case(b) => {}
            _ => return false,
        }
    }
}

/// Refuses a declaration of the layout or the names that comes too late.
fn refuse_late(entry: &Entry<'_>, table: &Table<'_>, source: &Source) -> Result<()> {
    let declares = fortran::declares_widths(entry) || is_columns_entry(entry);
    let mut before = table.entries.all.iter();
    if !declares || before.any(|e| e.value == entry.value && e.key.eq_ignore_ascii_case(entry.key))
    {
        return Ok(());
    }
    Err(Error::input(format!(
        "{}: {} stands below the first numbers",
        entry.key, entry.value
    ))
    .hint("put it above the numbers; where two files were joined, give them as two")
    .at(entry.place(source)))
}

/// Refuses a comment among the rows that names other columns.
fn refuse_other_names(
    line: Line<'_>,
    body: &str,
    table: &Table<'_>,
    source: &Source,
    limits: &Limits,
) -> Result<()> {
    if !are_names(body, limits.max_fields) {
        return Ok(());
    }
    let count = table.headings.len();
    let names = Names::new(line, behind_mark(line.text, body));
    let spans = names.spans(Some(count), limits.max_fields);
    let same = spans
        .iter()
        .zip(&table.headings)
        .all(|(s, h)| line.text[s.0..s.1].eq_ignore_ascii_case(h.text()));
    if spans.len() != count || same {
        return Ok(());
    }
    Err(
        Error::input("a comment among the rows names other columns than those above")
            .hint(
                "where two files were joined, give them as two; a remark is reworded or taken away",
            )
            .at(source.place(line, names.start, line.text.len())),
    )
}

/// What a person should know of what was done.
fn notes(layout: Option<&Layout>, counts: Counts) -> Vec<Finding> {
    let mut found = Vec::new();
    if let Some(scale) = layout.and_then(Layout::scale) {
        found.push(Finding::note(
            "scale-factor",
            format!("the format has the scale factor {scale}P: numbers with an exponent are read as they stand"),
        ));
    }
    if counts.stars > 0 {
        found.push(
            Finding::warning(
                "stars-missing",
                format!(
                    "{} values are full of stars, and taken as missing",
                    counts.stars
                ),
            )
            .advice("the largest values do not fit a field first: export them with a wider format"),
        );
    }
    if counts.blanks > 0 {
        found.push(Finding::note(
            "blanks-inside",
            format!(
                "{} numbers have blanks between their digits, which were left out",
                counts.blanks
            ),
        ));
    }
    if counts.implied > 0 {
        found.push(Finding::note(
            "implied",
            format!("{} numbers stand without the decimal sign or exponent of their format; the option implied says how they are read", counts.implied),
        ));
    }
    found
}
