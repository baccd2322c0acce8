//! Lines among or below the rows that are no rows: the heading line again, entries without the mark of a comment, and text at
//! the end of the file.

use crate::pairs;
use crate::record;
use crate::sight::Found;
use spheresum_core::Error;
use spheresum_core::intake::source::Line;
use spheresum_core::intake::text::{
    Context, Cursor, Entries, Entry, Meaning, Role, Span, UnitText, classify, clip, field, line_at,
    number, split,
};

/// Most lines of text below the rows.
const MOST_TEXTS: usize = 20;

/// What stands at a place where a row should be.
pub(crate) enum Between<'a> {
    /// The heading line again, behind these entries; then the rows go on at the cursor.
    Heading(Vec<Entry<'a>>, Line<'a>, Cursor),
    /// The end of the rows: entries and lines of text up to the end of the file.
    End(Vec<Entry<'a>>, Vec<Line<'a>>),
    /// What follows on the piece has to be seen first.
    Open,
    /// Something that should have been a row.
    Row,
}

/// Sees what stands from a line on that is no row. `may_end`: there were rows above it. `is_piece`: more text follows on the source.
pub(crate) fn look<'a>(
    context: &Context<'a>,
    found: &Found<'_>,
    from: Cursor,
    may_end: bool,
    is_piece: bool,
) -> Between<'a> {
    let text = context.source.text();
    let limits = context.limits;
    let mut entries = Vec::new();
    let mut texts = Vec::new();
    let mut spans = Vec::new();
    let mut cursor = from;
    while let Some((line, next)) = line_at(text, cursor) {
        cursor = next;
        if line.text.trim().is_empty() {
            continue;
        }
        if field::comment(line.text).is_some() {
            if let Some(entry) = Entry::of(line, false) {
                Entries::keep(&mut entries, entry);
            }
            continue;
        }
        if is_piece && record::runs_out(text, line, next, found.separator) {
            return Between::Open;
        }
        let (record, behind) = record::of(text, line, next, found.separator);
        if !record::fits(record, limits) {
            return Between::Row;
        }
        let headings = found.table.headings.len();
        split(record.text, found.separator, headings, &mut spans);
        if is_heading(found, record, &spans) {
            let rows = found.below.behind_again(text, behind);
            return match texts.is_empty() {
                true if is_piece && is_blank_behind(text, rows) => Between::Open,
                true => Between::Heading(entries, line, rows),
                false => Between::Row,
            };
        }
        // A line that the end of the file cuts off is no text of its own.
        let is_whole = behind.at < text.len() || text.ends_with(['\n', '\r']);
        let entry = Entry::of(line, true).or_else(|| pairs::known_pair(line, found.separator));
        if let Some(entry) = entry {
            Entries::keep(&mut entries, entry);
        } else if may_end
            && texts.len() < MOST_TEXTS
            && !record::is_long(record)
            && is_text(context, record, &spans, is_whole)
        {
            texts.push(line);
        } else {
            return Between::Row;
        }
    }
    match may_end {
        _ if is_piece => Between::Open,
        true => Between::End(entries, texts),
        false => Between::Row,
    }
}

/// True where nothing but blanks stands behind a cursor.
fn is_blank_behind(text: &str, cursor: Cursor) -> bool {
    text.get(cursor.at..).is_none_or(|t| t.trim().is_empty())
}

/// True where the fields are the headings once more.
fn is_heading(found: &Found<'_>, record: Line<'_>, spans: &[Span]) -> bool {
    spans.len() == found.raw.len()
        && spans.iter().zip(&found.raw).all(|(s, raw)| {
            record.text[s.0..s.1]
                .trim()
                .eq_ignore_ascii_case(raw.trim())
        })
}

/// True for a line that starts with a word, or a rule, where rows start with a number; and is no row with a damaged start.
fn is_text(context: &Context<'_>, record: Line<'_>, spans: &[Span], is_whole: bool) -> bool {
    let plan = context.plan;
    let texts: Vec<&str> = spans.iter().map(|s| &record.text[s.0..s.1]).collect();
    // In front of it stands only the bar at the edge of a drawn table.
    let first = usize::from(context.table.text(0).is_empty());
    let Some(start) = texts.get(first).copied().filter(|t| !t.is_empty()) else {
        return false;
    };
    let is_rule = start.len() > 3 && start.bytes().all(|b| b == b'-');
    let is_word = start.starts_with(char::is_alphabetic)
        && !field::is_missing(start)
        && field::infinity(start).is_none();
    if !is_rule && !is_word && !start.starts_with(['*', '=', '_', '~', '[', '(', '"']) {
        return false;
    }
    if plan.roles.get(first).is_some_and(|r| !r.is_number()) {
        // Rows start with text as well: only one field is surely no row.
        return is_whole && texts.iter().filter(|t| !t.is_empty()).count() == 1;
    }
    let is_number = |t: &str| number::whole(t, plan.decimal).is_some();
    let others = || plan.roles.iter().zip(&texts).skip(first + 1);
    let direction = |r: &Role| matches!(r, Role::Theta(_) | Role::Phi(_) | Role::Frequency(_));
    let has_direction = others().any(|(r, t)| direction(r) && is_number(t));
    let all_values = others().all(|(r, t)| match r {
        Role::Skip | Role::Polarisation | Role::Time(_) => true,
        Role::Cell(_) => is_number(field::mark(t).1) || field::is_missing(t),
        _ => is_number(t),
    });
    let has_all = spans.len() >= plan.roles.len();
    !(has_direction && all_values && (has_all || !is_whole))
}

/// The error of another heading line among the rows; `None` where a line does not look like one.
pub(crate) fn another_heading(
    context: &Context<'_>,
    found: &Found<'_>,
    record: Line<'_>,
) -> Option<Error> {
    let mut spans = Vec::new();
    split(
        record.text,
        found.separator,
        context.limits.max_fields,
        &mut spans,
    );
    let texts: Vec<&str> = spans.iter().map(|s| &record.text[s.0..s.1]).collect();
    let is_known = |t: &&&str| !matches!(classify(t), (Meaning::Unknown, UnitText::None));
    if texts.iter().any(|t| number::whole(t, b'.').is_some())
        || texts.iter().filter(is_known).count() < 2
    {
        return None;
    }
    Some(
        Error::input(format!(
            "another heading line among the rows: {}; the first one is {}",
            clip::list(&texts, 8, " | "),
            clip::list(&found.raw, 8, " | ")
        ))
        .hint("two files were joined: give them as two files")
        .at(record::spot(record, 0, record.text.len()).place(context.source)),
    )
}
