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
use spheresum_core::intake::text::{
    Context, Cursor, Entry, Gather, Role, field, line_at, long_line,
};
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

/// The rows read so far.
pub(crate) struct Body<'c, 'a> {
    found: &'c Found<'a>,
    own: &'c Own,
    paths: Paths,
    gather: Gather<'c, 'a>,
    fast: Option<Fast<'c>>,
    notes: Notes,
    /// The column of the frequency.
    frequency: Option<usize>,
}

impl<'c, 'a> Body<'c, 'a> {
    /// Before the first row.
    ///
    /// # Errors
    /// Limit: more frequencies in the headings than the limits allow.
    pub(crate) fn new(
        context: &'c Context<'a>,
        found: &'c Found<'a>,
        own: &'c Own,
        paths: Paths,
    ) -> Result<Self> {
        let plan = context.plan;
        let gather = Gather::new(context)?;
        let fast = (paths != Paths::Careful)
            .then(|| {
                Fast::new(
                    plan,
                    found.separator,
                    gather.own_frequencies(),
                    context.limits,
                )
            })
            .flatten();
        Ok(Self {
            found,
            own,
            paths,
            gather,
            fast,
            notes: Notes::default(),
            frequency: plan
                .roles
                .iter()
                .position(|r| matches!(r, Role::Frequency(_))),
        })
    }

    /// Reads the rows of a text from a cursor on, and gives the cursor behind what was read. `follows` are the bytes that follow on
    /// the text, where it is a piece and not the end: what can be read only together with them is left.
    ///
    /// # Errors
    /// Those of the rows.
    pub(crate) fn piece(
        &mut self,
        context: &Context<'_>,
        mut cursor: Cursor,
        follows: Option<u64>,
    ) -> Result<Cursor> {
        let Context {
            source,
            plan,
            limits,
            ..
        } = *context;
        let found = self.found;
        let text = source.text();
        let bytes = text.as_bytes();
        let is_piece = follows.is_some();
        let mut fields = Fields::default();
        let per_row = plan.outputs.len();
        let mut parts = None;
        while cursor.at < bytes.len() {
            if let (Some(_), Paths::Parts { threads, least }, 1..) =
                (&self.fast, self.paths, self.gather.lines())
            {
                let parts = parts.get_or_insert_with(|| {
                    parts::read(context, found, self.own, cursor, (threads, least))
                });
                while parts.front().is_some_and(|part| part.start.at < cursor.at) {
                    parts.pop_front();
                }
                if let Some(part) = parts.pop_front_if(|part| part.start == cursor) {
                    match self.gather.absorb(part.gather) {
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
            if let Some(fast) = &mut self.fast
                && self.gather.lines() > 0
            {
                // A part that follows is not to be read again.
                let next_part = parts.as_ref().and_then(VecDeque::front);
                let until = next_part.map_or(bytes.len(), |part| part.start.at);
                let (next, rows) = fast.run(
                    &bytes[..until],
                    cursor,
                    self.gather.readings(),
                    limits.max_readings,
                )?;
                self.gather.count(rows, per_row as u64 * rows);
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
                    self.gather.entry_of(source, entry)?;
                }
                continue;
            }
            if is_piece && record::runs_out(text, line, next, found.separator) {
                return Ok(cursor);
            }
            let (record, behind) = record::of(text, line, next, found.separator);
            if !record::fits(record, limits) {
                return Err(record::refuse_long(source, record, limits));
            }
            let is_last = behind.at >= bytes.len() && !is_piece;
            let read = fields
                .split(context, found, self.own, record, is_last)
                .and_then(|()| self.gather.row_of(context, &fields.all, line.number));
            let index = match read {
                Ok(index) => index,
                Err(error) if error.group() == Group::Limit => return Err(error),
                Err(error) => {
                    let may_end = self.gather.lines() > 0;
                    match between::look(context, found, cursor, may_end, is_piece) {
                        Between::Heading(entries, heading, rows) => {
                            for entry in entries {
                                self.gather.entry_of(source, entry)?;
                            }
                            self.notes.heading(source, heading);
                            cursor = rows;
                            continue;
                        }
                        Between::End(entries, texts) => {
                            for entry in entries {
                                self.gather.entry_of(source, entry)?;
                            }
                            self.notes.footer(source, &texts);
                            break;
                        }
                        Between::Open => return Ok(cursor),
                        Between::Row => {
                            let other = between::another_heading(context, found, record);
                            return Err(other.unwrap_or(error));
                        }
                    }
                }
            };
            cursor = behind;
            self.gather.count_line();
            if record::is_long(record) {
                self.notes.long(|| source.place(line, 0, line.text.len()));
            }
            if self.gather.lines() == 1 {
                // What the text can hold at most, judged by its first row: no claim of the file is believed.
                let left = bytes.len() - line.at;
                let follows = usize::try_from(follows.unwrap_or(0)).unwrap_or(0);
                let rows = left.saturating_add(follows) / (line.text.len() + 1) + 1;
                self.gather.readings().reserve(per_row.saturating_mul(rows));
            }
            if let (Some(fast), Some(index)) = (&mut self.fast, index) {
                match self.frequency.and_then(|c| fields.all.get(c)) {
                    Some(field) => fast.learn_frequency(field.text, index),
                    None => fast.fix_frequency(index),
                }
            }
        }
        Ok(Cursor {
            at: bytes.len(),
            ..cursor
        })
    }

    /// What was read.
    ///
    /// # Errors
    /// Input: no row, or their number is not the claimed one.
    pub(crate) fn finish(self, mut findings: Vec<Finding>) -> Result<Intake> {
        findings.extend(self.notes.findings());
        self.gather.finish(findings)
    }
}
