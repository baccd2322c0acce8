//! The read: options, heading, plan, rows.

use crate::body::{self, Paths};
use crate::own::Own;
use crate::record;
use crate::sight::{Found, Texts};
use crate::table;
use spheresum_core::intake::text::{self, Context, Plan, Separator, field, line_at, settle, split};
use spheresum_core::intake::{Intake, ReadOptions, Source};
use spheresum_core::{Limits, Result};

/// Reads a source.
pub(crate) fn read(
    source: &Source,
    limits: &Limits,
    options: &ReadOptions,
    paths: Paths,
) -> Result<Intake> {
    let own = Own::of(options)?;
    let texts = Texts::new();
    let mut found = table::table(source, &own, limits, &texts)?;
    found.table.entries.index(source)?;
    let found = found;
    let (plan, findings) = text::plan(&found.table, source, &own.choices, options, |plan| {
        first_sign(source.text(), &found, plan)
    })?;
    let context = Context {
        source,
        table: &found.table,
        plan: &plan,
        limits,
    };
    body::read(&context, &found, &own, findings, paths)
}

/// The decimal sign of the first number in the rows that has one.
fn first_sign(text: &str, found: &Found<'_>, plan: &Plan) -> Option<u8> {
    if found.separator == Separator::Comma {
        return Some(b'.');
    }
    let mut spans = Vec::new();
    let mut cursor = found.body;
    while let Some((line, next)) = line_at(text, cursor) {
        cursor = next;
        if field::comment(line.text).is_some() {
            continue;
        }
        let (record, behind) = record::of(text, line, next, found.separator);
        cursor = behind;
        split(record.text, found.separator, plan.roles.len(), &mut spans);
        let texts = spans.iter().map(|s| &record.text[s.0..s.1]);
        if let Some(sign) = settle::sign_of_row(plan, texts) {
            return Some(sign);
        }
    }
    None
}

#[cfg(test)]
#[allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]
mod tests {
    use super::*;

    fn same_by_both_paths(name: &str, bytes: Vec<u8>) {
        let limits = Limits::small();
        let Ok(source) = Source::from_bytes(name, bytes, &limits) else {
            return;
        };
        let options = ReadOptions::default();
        let careful = read(&source, &limits, &options, Paths::Careful);
        let least = 60;
        for paths in [Paths::Fast, Paths::Parts { threads: 3, least }] {
            match (&read(&source, &limits, &options, paths), &careful) {
                // By debug text, which tells NaN and −0 apart from what they are equal or unequal to.
                (Ok(fast), Ok(careful)) => assert!(
                    format!("{fast:?}") == format!("{careful:?}"),
                    "{name} differs by {paths:?}"
                ),
                (Err(fast), Err(careful)) => {
                    assert_eq!(format!("{fast:?}"), format!("{careful:?}"), "{name}")
                }
                (fast, careful) => panic!(
                    "{name}, {paths:?}: {:?} and {:?}",
                    fast.is_ok(),
                    careful.is_ok()
                ),
            }
        }
    }

    #[test]
    fn all_paths_give_the_same() {
        let folder =
            std::path::PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../tests/data/delimited");
        let mut state = 17_u64;
        let mut below = |n: usize| {
            state = state
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1_442_695_040_888_963_407);
            (state >> 33) as usize % n
        };
        let spice = b",;\t \"(#/.-+e<0123456789\n\r\n";
        for part in ["good", "bad"] {
            for entry in std::fs::read_dir(folder.join(part)).unwrap() {
                let path = entry.unwrap().path();
                let name = path.display().to_string();
                let bytes = std::fs::read(&path).unwrap();
                same_by_both_paths(&name, bytes.clone());
                for _ in 0..if bytes.is_empty() { 0 } else { 60 } {
                    let mut changed = bytes.clone();
                    for _ in 0..=below(3) {
                        let at = below(changed.len());
                        changed[at] = spice[below(spice.len())];
                    }
                    same_by_both_paths(&name, changed);
                }
            }
        }
    }
}
