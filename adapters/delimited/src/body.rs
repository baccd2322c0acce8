//! The rows of a table, one after the other, into readings or a curve.

use crate::careful::Fields;
use crate::fast::Fast;
use crate::own::Own;
use crate::table::Found;
use spheresum_core::intake::Intake;
use spheresum_core::intake::text::{Context, Entry, Gather, Role, field, line_at, long_line};
use spheresum_core::{Finding, Result};

/// Reads all rows. `with_fast_path: false` reads every row by the careful path; the result is the same.
///
/// # Errors
/// Those of the rows; Input where there is none, or their number is not the claimed one.
pub(crate) fn read(
    context: &Context<'_>,
    found: &Found<'_>,
    own: &Own,
    findings: Vec<Finding>,
    with_fast_path: bool,
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
    let mut fast = with_fast_path
        .then(|| Fast::new(plan, found.separator, gather.own_frequencies(), limits))
        .flatten();
    let mut fields = Fields::default();
    let mut cursor = found.body;
    let per_row = plan.outputs.len();
    while cursor.at < bytes.len() {
        if let Some(fast) = &mut fast
            && gather.lines() > 0
        {
            let (next, rows) = fast.run(bytes, cursor, gather.readings(), limits.max_readings)?;
            gather.count(rows, per_row as u64 * rows);
            cursor = next;
        }
        let Some((line, next)) = line_at(text, cursor) else {
            break;
        };
        let is_last = next.at >= bytes.len();
        cursor = next;
        if line.text.len() > limits.max_line_bytes {
            return Err(long_line(source, line, limits));
        }
        if line.text.trim().is_empty() {
            continue;
        }
        if field::comment(line.text).is_some() {
            if let Some(entry) = Entry::of(line, false) {
                gather.entry(entry)?;
            }
            continue;
        }
        fields.split(context, found, own, line, is_last)?;
        gather.count_line();
        let index = gather.row(&fields.all, line.number)?;
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
    gather.finish(findings)
}
