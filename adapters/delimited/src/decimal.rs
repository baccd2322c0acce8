//! The decimal sign of a file: given, or that of the first number that has one.

use crate::field;
use crate::lines::line_at;
use crate::plan::{Plan, Role};
use crate::preamble::Key;
use crate::split::{Separator, split};
use crate::table::Table;

/// The decimal sign of a table: that of the first number in its rows that has one; else that of the preamble's frequency; else
/// the point.
pub(crate) fn find(text: &str, table: &Table<'_>, plan: &Plan) -> u8 {
    if table.separator == Separator::Comma {
        return b'.';
    }
    let mut spans = Vec::new();
    let mut cursor = table.body;
    while let Some((line, next)) = line_at(text, cursor) {
        cursor = next;
        if field::comment(line.text).is_some() {
            continue;
        }
        split(line.text, table.separator, plan.roles.len(), &mut spans);
        for ((start, end), role) in spans.iter().zip(&plan.roles) {
            let is_numeric = !matches!(role, Role::Skip | Role::Polarisation);
            if is_numeric && let Some(sign) = sign_of(&line.text[*start..*end]) {
                return sign;
            }
        }
    }
    let entry = table.preamble.get(Key::Frequency);
    entry
        .and_then(|e| field::number_and_unit(e.value))
        .and_then(|(number, _)| sign_of(number))
        .unwrap_or(b'.')
}

fn sign_of(field: &str) -> Option<u8> {
    // Where there are both, one separates thousands, which the number's parser refuses under either sign.
    if field.contains(',') {
        Some(b',')
    } else {
        field.contains('.').then_some(b'.')
    }
}
