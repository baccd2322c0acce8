//! The rows of a table, one after the other, into readings or a curve.

use crate::between::{self, Between};
use crate::careful::Fields;
use crate::fast::Fast;
use crate::notes::Notes;
use crate::own::Own;
use crate::parts;
use crate::record;
use crate::sight::Found;
use spheresum_core::intake::Intake;
use spheresum_core::intake::text::{Context, Entry, Gather, Role, field, line_at, long_line};
use spheresum_core::{Finding, Group, Result};
use std::collections::VecDeque;

/// How rows are read. The result is the same.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Paths {
    /// Every row by the careful path.
    Careful,
    /// Most rows by the fast path.
    Fast,
    /// Likewise, in parts of at least so many bytes by so many threads, if the text is long.
    Parts {
        /// Threads.
        threads: usize,
        /// Bytes of a part.
        least: usize,
    },
}

/// Reads all rows.
///
/// # Errors
/// Those of the rows; Input where there is none, or their number is not the claimed one.
pub(crate) fn read(
    context: &Context<'_>,
    found: &Found<'_>,
    own: &Own,
    mut findings: Vec<Finding>,
    paths: Paths,
) -> Result<Intake> {
    let Context {
        source,
        plan,
        limits,
        ..
    } = *context;
    let text = source.text();
    let bytes = text.as_bytes();
    let mut gather = Gather::new(context)?;
    let mut fast = (paths != Paths::Careful)
        .then(|| Fast::new(plan, found.separator, gather.own_frequencies(), limits))
        .flatten();
    let mut fields = Fields::default();
    let mut notes = Notes::default();
    let mut cursor = found.body;
    let per_row = plan.outputs.len();
    let mut parts = None;
    while cursor.at < bytes.len() {
        if let (Some(_), Paths::Parts { threads, least }, 1..) = (&fast, paths, gather.lines()) {
            let parts = parts
                .get_or_insert_with(|| parts::read(context, found, own, cursor, (threads, least)));
            while parts.front().is_some_and(|part| part.start.at < cursor.at) {
                parts.pop_front();
            }
            if let Some(part) = parts.pop_front_if(|part| part.start == cursor) {
                match gather.absorb(part.gather) {
                    true if part.end.at > cursor.at => {
                        cursor = part.end;
                        continue;
                    }
                    true => {}
                    // Beyond a limit: the rows are read one after the other up to it.
                    false => parts.clear(),
                }
            }
        }
        if let Some(fast) = &mut fast
            && gather.lines() > 0
        {
            // A part that follows is not to be read again.
            let next_part = parts.as_ref().and_then(VecDeque::front);
            let until = next_part.map_or(bytes.len(), |part| part.start.at);
            let (next, rows) = fast.run(
                &bytes[..until],
                cursor,
                gather.readings(),
                limits.max_readings,
            )?;
            gather.count(rows, per_row as u64 * rows);
            cursor = next;
            if cursor.at == until {
                continue;
            }
        }
        let Some((line, next)) = line_at(text, cursor) else {
            break;
        };
        if record::is_blank(line.text) {
            cursor = next;
            continue;
        }
        if field::comment(line.text).is_some() {
            cursor = next;
            if !record::fits(line, limits) {
                return Err(long_line(source, line, limits));
            }
            if let Some(entry) = Entry::of(line, false) {
                gather.entry(entry)?;
            }
            continue;
        }
        let (record, behind) = record::of(text, line, next, found.separator);
        if !record::fits(record, limits) {
            return Err(record::refuse_long(source, record, limits));
        }
        let is_last = behind.at >= bytes.len();
        let read = fields
            .split(context, found, own, record, is_last)
            .and_then(|()| gather.row(&fields.all, line.number));
        let index = match read {
            Ok(index) => index,
            Err(error) if error.group() == Group::Limit => return Err(error),
            Err(error) => match between::look(context, found, cursor, gather.lines() > 0) {
                Between::Heading(entries, heading, rows) => {
                    for entry in entries {
                        gather.entry(entry)?;
                    }
                    notes.heading(source, heading);
                    cursor = rows;
                    continue;
                }
                Between::End(entries, texts) => {
                    for entry in entries {
                        gather.entry(entry)?;
                    }
                    notes.footer(source, &texts);
                    break;
                }
                Between::Row => {
                    return Err(between::another_heading(context, found, record).unwrap_or(error));
                }
            },
        };
        cursor = behind;
        gather.count_line();
        if record::is_long(record) {
            notes.long(|| source.place(line, 0, line.text.len()));
        }
        if gather.lines() == 1 {
            // What the text can hold at most, judged by its first row: no claim of the file is believed.
            let left = bytes.len() - line.at;
            let rows = left / (line.text.len() + 1) + 1;
            gather.readings().reserve(per_row.saturating_mul(rows));
        }
        if let (Some(fast), Some(index)) = (&mut fast, index) {
            let column = plan
                .roles
                .iter()
                .position(|r| matches!(r, Role::Frequency(_)));
            match column.and_then(|c| fields.all.get(c)) {
                Some(field) => fast.learn_frequency(field.text, index),
                None => fast.fix_frequency(index),
            }
        }
    }
    findings.extend(notes.findings());
    gather.finish(findings)
}
