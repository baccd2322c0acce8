//! The rows, one after the other.

use crate::layout::Layout;
use crate::names::{Names, are_names, behind_mark};
use crate::number::Counts;
use crate::row::Rules;
use crate::table::is_columns_entry;
use spheresum_core::intake::source::Line;
use spheresum_core::intake::text::{
    Context, Cursor, Entry, Field, Gather, Span, Spot, Table, field, fortran, line_at, long_line,
};
use spheresum_core::intake::{Intake, Source};
use spheresum_core::{Error, Finding, Limits, Result};

/// The rows read so far.
pub(crate) struct Body<'c, 'a> {
    rules: Rules<'c>,
    gather: Gather<'c, 'a>,
    spans: Vec<Span>,
    counts: Counts,
}

impl<'c, 'a> Body<'c, 'a> {
    /// Before the first row.
    ///
    /// # Errors
    /// Limit: more frequencies in the headings than the limits allow.
    pub(crate) fn new(context: &'c Context<'a>, rules: Rules<'c>) -> Result<Self> {
        Ok(Self {
            rules,
            gather: Gather::new(context)?,
            spans: Vec::new(),
            counts: Counts::default(),
        })
    }

    /// Reads the rows of a text from a cursor on, and gives the number of the line behind it. `is_piece`: more text follows.
    ///
    /// # Errors
    /// Those of the rows.
    pub(crate) fn piece(
        &mut self,
        context: &Context<'_>,
        mut cursor: Cursor,
        is_piece: bool,
    ) -> Result<u64> {
        let Context {
            source,
            table,
            limits,
            ..
        } = *context;
        let all = source.text();
        while let Some((line, next)) = line_at(all, cursor) {
            let is_last = next.at >= all.len() && !is_piece;
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
                        self.gather.entry_of(source, entry)?;
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
            let ends = (is_last, is_cut);
            let (spans, counts) = (&mut self.spans, &mut self.counts);
            let texts = self.rules.texts(context, line, ends, spans, counts)?;
            let fields: Vec<Field<'_>> = texts
                .iter()
                .zip(&*spans)
                .map(|(text, span)| Field::at(text, Spot::new(line, span.0, span.1)))
                .collect();
            self.gather.count_line();
            self.gather.row_of(context, &fields, line.number)?;
        }
        Ok(cursor.number)
    }

    /// What was read.
    ///
    /// # Errors
    /// Input: no row, or their number is not the claimed one.
    pub(crate) fn finish(self, mut findings: Vec<Finding>) -> Result<Intake> {
        findings.extend(notes(self.rules.layout, self.counts));
        self.gather.finish(findings)
    }
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
