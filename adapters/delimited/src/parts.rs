//! Rows of a long text, read in parts at the same time. What comes of it is what one reader after the other gives, to the last bit: a
//! part ends at the first line that is more than a row, and only parts that follow on what was read before them are taken.

use crate::careful::Fields;
use crate::fast::Fast;
use crate::own::Own;
use crate::record;
use crate::sight::Found;
use spheresum_core::intake::text::{Context, Cursor, Entry, Gather, Role, field, line_at};
use std::collections::VecDeque;
use std::thread;

/// Bytes of a part, at least.
pub(crate) const LEAST: usize = 1 << 20;
/// How far behind its aim a part may begin.
const REACH: usize = 1 << 16;

/// Rows that were read from a cursor on.
pub(crate) struct Part<'c, 'a> {
    /// Where it begins.
    pub(crate) start: Cursor,
    /// What was gathered.
    pub(crate) gather: Gather<'c, 'a>,
    /// Where it ends: the first line that was not read.
    pub(crate) end: Cursor,
}

/// Reads the text behind the cursor in parts, by as many threads; none where it is too short to be worth it.
pub(crate) fn read<'c, 'a>(
    context: &'c Context<'a>,
    found: &Found<'_>,
    own: &Own,
    from: Cursor,
    (threads, least): (usize, usize),
) -> VecDeque<Part<'c, 'a>> {
    let text = context.source.text();
    let starts = starts(text.as_bytes(), from.at, threads, least);
    if starts.len() < 2 {
        return VecDeque::new();
    }
    let end_of = |part: usize| starts.get(part + 1).copied().unwrap_or(text.len());
    let each = |work: &(dyn Fn(usize) -> u64 + Sync)| -> Vec<u64> {
        thread::scope(|scope| {
            let handles: Vec<_> = (0..starts.len())
                .map(|part| scope.spawn(move || work(part)))
                .collect();
            handles
                .into_iter()
                .map(|h| h.join().unwrap_or_default())
                .collect()
        })
    };
    let lines = each(&|part| lines(text.as_bytes(), starts[part], end_of(part)));
    let mut number = from.number;
    let cursors: Vec<Cursor> = starts
        .iter()
        .zip(&lines)
        .map(|(at, lines)| {
            let cursor = Cursor { at: *at, number };
            number += lines;
            cursor
        })
        .collect();
    thread::scope(|scope| {
        let handles: Vec<_> = cursors
            .iter()
            .enumerate()
            .map(|(part, cursor)| {
                let end = end_of(part);
                scope.spawn(move || rows(context, found, own, *cursor, end))
            })
            .collect();
        // A part that failed is read again with all others, and fails there with its error.
        handles
            .into_iter()
            .filter_map(|h| h.join().ok().flatten())
            .collect()
    })
}

/// Where parts begin: at the cursor, and behind line feeds about evenly.
fn starts(text: &[u8], from: usize, threads: usize, least: usize) -> Vec<usize> {
    let length = text.len().saturating_sub(from);
    let parts = threads.min(length / least.max(1));
    let mut starts = vec![from];
    for part in 1..parts {
        let aim = from + length / parts * part;
        let reach = text.get(aim..text.len().min(aim + REACH));
        let Some(behind) = reach.and_then(|r| r.iter().position(|b| *b == b'\n')) else {
            continue;
        };
        starts.push(aim + behind + 1);
    }
    starts
}

/// Line ends in a part that begins and ends behind one.
fn lines(text: &[u8], start: usize, end: usize) -> u64 {
    let part = text.get(start..end).unwrap_or_default();
    let count = |sign: u8| part.iter().filter(|b| **b == sign).count();
    let feeds = count(b'\n');
    if !part.contains(&b'\r') {
        return feeds as u64;
    }
    let pairs = part.windows(2).filter(|pair| *pair == b"\r\n").count();
    (feeds + count(b'\r') - pairs) as u64
}

/// Reads rows from the cursor on, up to the first line that is more than a row, a blank line or a remark.
fn rows<'c, 'a>(
    context: &'c Context<'a>,
    found: &Found<'_>,
    own: &Own,
    start: Cursor,
    end: usize,
) -> Option<Part<'c, 'a>> {
    let Context {
        source,
        plan,
        limits,
        ..
    } = *context;
    let text = source.text().get(..end)?;
    let bytes = text.as_bytes();
    let mut gather = Gather::new(context).ok()?;
    let mut fast = Fast::new(plan, found.separator, gather.own_frequencies(), limits)?;
    let mut fields = Fields::default();
    let mut cursor = start;
    let column = plan
        .roles
        .iter()
        .position(|r| matches!(r, Role::Frequency(_)));
    while cursor.at < end {
        if gather.lines() > 0 {
            let (next, rows) = fast
                .run(bytes, cursor, gather.readings(), limits.max_readings)
                .ok()?;
            gather.count(rows, plan.outputs.len() as u64 * rows);
            cursor = next;
        }
        let Some((line, next)) = line_at(text, cursor) else {
            break;
        };
        let is_remark = field::comment(line.text).is_some() && Entry::of(line, false).is_none();
        if record::is_blank(line.text) || (is_remark && record::fits(line, limits)) {
            cursor = next;
            continue;
        }
        let (record, behind) = record::of(text, line, next, found.separator);
        let is_row = field::comment(line.text).is_none()
            && !record::is_long(record)
            && record::fits(record, limits)
            && fields.split(context, found, own, record, false).is_ok();
        if !is_row {
            break;
        }
        let before = gather.readings().len();
        let Ok(index) = gather.row(&fields.all, line.number) else {
            // Half a row may be there already.
            gather.readings().truncate(before);
            break;
        };
        gather.count_line();
        if gather.lines() == 1 {
            let rows = (end - line.at) / (line.text.len() + 1) + 1;
            gather
                .readings()
                .reserve(plan.outputs.len().saturating_mul(rows));
        }
        if let Some(index) = index {
            match column.and_then(|c| fields.all.get(c)) {
                Some(field) => fast.learn_frequency(field.text, index),
                None => fast.fix_frequency(index),
            }
        }
        cursor = behind;
    }
    Some(Part {
        start,
        gather,
        end: cursor,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn parts_begin_behind_line_feeds() {
        let text = "0123456\n".repeat(3 * LEAST / 8);
        let starts = |from, threads| starts(text.as_bytes(), from, threads, LEAST);
        let found = starts(8, 2);
        assert_eq!(found.len(), 2);
        assert_eq!((found[0], found[1] % 8), (8, 0));
        assert_eq!(starts(8, 1), [8]);
        assert_eq!(starts(8, 100).len(), 2);
        // Without a line feed in reach there is one part.
        let long = "0".repeat(3 * LEAST);
        assert_eq!(super::starts(long.as_bytes(), 0, 2, LEAST), [0]);
    }

    #[test]
    fn lines_of_every_kind() {
        assert_eq!(lines(b"a\nb\r\nc\rd\n", 0, 9), 4);
        assert_eq!(lines(b"a\nb\nc\n", 2, 6), 2);
        assert_eq!(lines(b"a\r\r\n\n", 0, 5), 3);
    }
}
