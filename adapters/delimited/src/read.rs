//! The read: options, heading, plan, rows.

use crate::body::{Body, Paths};
use crate::own::Own;
use crate::pairs;
use crate::record;
use crate::sight::{Found, Texts};
use crate::table;
use spheresum_core::intake::text::{
    self, Context, Cursor, Plan, Separator, field, line_at, settle, split,
};
use spheresum_core::intake::{Intake, Pieces, ReadOptions, Source};
use spheresum_core::{Finding, Limits, Result};

/// Reads a source.
pub(crate) fn read(
    source: &Source,
    limits: &Limits,
    options: &ReadOptions,
    paths: Paths,
) -> Result<Intake> {
    let own = Own::of(options)?;
    let texts = Texts::new();
    let (found, plan, findings) = planned(source, limits, options, &own, &texts)?;
    let context = Context {
        source,
        table: &found.table,
        plan: &plan,
        limits,
    };
    let mut body = Body::new(&context, &found, &own, paths)?;
    body.piece(&context, found.body, None)?;
    body.finish(findings)
}

/// Reads a long source piece by piece. `None` where its first piece does not tell enough: its heading, its decimal sign, and that
/// there is nothing wrong with them.
pub(crate) fn read_pieces(
    first: &Source,
    pieces: &mut Pieces<'_>,
    limits: &Limits,
    options: &ReadOptions,
    paths: Paths,
) -> Result<Option<Intake>> {
    let own = Own::of(options)?;
    let texts = Texts::new();
    let Ok((found, plan, findings)) = planned(first, limits, options, &own, &texts) else {
        return Ok(None);
    };
    if !is_settled(first.text(), &found, &plan, &own) {
        return Ok(None);
    }
    let context = Context {
        source: first,
        table: &found.table,
        plan: &plan,
        limits,
    };
    let mut body = Body::new(&context, &found, &own, paths)?;
    let follows = |pieces: &Pieces<'_>| (!pieces.is_done()).then(|| pieces.left().unwrap_or(0));
    let mut cursor = body.piece(&context, found.body, follows(pieces))?;
    let mut unread = first
        .text()
        .get(cursor.at..)
        .unwrap_or_default()
        .to_string();
    while !pieces.is_done() {
        let Some(piece) = pieces.next(&unread, cursor.number)? else {
            return Ok(None);
        };
        let start = Cursor {
            at: 0,
            number: cursor.number,
        };
        let of_piece = Context {
            source: &piece,
            ..context
        };
        cursor = body.piece(&of_piece, start, follows(pieces))?;
        unread.clear();
        unread.push_str(piece.text().get(cursor.at..).unwrap_or_default());
    }
    body.finish(findings).map(Some)
}

/// Heading, plan and findings of a source.
fn planned<'a>(
    source: &'a Source,
    limits: &Limits,
    options: &ReadOptions,
    own: &Own,
    texts: &'a Texts,
) -> Result<(Found<'a>, Plan, Vec<Finding>)> {
    let mut found = table::table(source, own, limits, texts)?;
    found.table.entries.index(source)?;
    let (plan, findings) = text::plan(&found.table, source, &own.choices, options, |plan| {
        first_sign(source.text(), &found, plan)
    })?;
    Ok((found, plan, findings))
}

/// True where more text behind the first piece would change neither heading nor plan.
fn is_settled(text: &str, found: &Found<'_>, plan: &Plan, own: &Own) -> bool {
    let heading = Cursor {
        at: found.record.at,
        number: found.record.number,
    };
    let is_heading_whole = line_at(text, heading)
        .is_some_and(|(line, next)| !record::runs_out(text, line, next, found.separator));
    let rows = text.get(found.body.at..).unwrap_or_default();
    let has_sign = || own.choices.decimal.is_some() || first_sign(text, found, plan).is_some();
    is_heading_whole && !pairs::runs_out(text) && !rows.trim().is_empty() && has_sign()
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
    use crate::DelimitedAdapter;
    use spheresum_core::intake::{Adapter, Description, Encoding, Feed, Head, Look, Registry};
    use std::sync::atomic::{AtomicUsize, Ordering};

    /// Reads by given paths, and counts the texts that were read in pieces.
    struct By<'n>(DelimitedAdapter, Paths, &'n AtomicUsize);

    impl Adapter for By<'static> {
        fn describe(&self) -> &Description {
            self.0.describe()
        }

        fn look(&self, head: &Head<'_>) -> Look {
            self.0.look(head)
        }

        fn read(&self, source: &Source, limits: &Limits, options: &ReadOptions) -> Result<Intake> {
            read(source, limits, options, self.1)
        }

        fn read_pieces(
            &self,
            first: &Source,
            pieces: &mut Pieces<'_>,
            limits: &Limits,
            options: &ReadOptions,
        ) -> Result<Option<Intake>> {
            let read = read_pieces(first, pieces, limits, options, self.1);
            if !matches!(read, Ok(None)) {
                self.2.fetch_add(1, Ordering::Relaxed);
            }
            read
        }
    }

    static IN_PIECES: AtomicUsize = AtomicUsize::new(0);

    /// Reads bytes of which so many are held at a time.
    fn fed(name: &str, bytes: &[u8], paths: Paths, size: usize) -> Result<Intake> {
        let mut registry = Registry::new();
        registry.add(By(DelimitedAdapter::new(), paths, &IN_PIECES))?;
        let limits = Limits::small();
        let mut feed = Feed::open_by(name, None, || Ok(bytes), &limits, size)?;
        let options = ReadOptions::default();
        let (_, mut intake) =
            registry.read_feed(&mut feed, Some("delimited"), &limits, &options)?;
        intake.findings.retain(|f| f.code != "encoding");
        Ok(intake)
    }

    /// By debug text, which tells NaN and −0 apart from what they are equal or unequal to.
    fn same(what: &str, found: &Result<Intake>, careful: &Result<Intake>) {
        match (found, careful) {
            (Ok(found), Ok(careful)) => {
                assert!(
                    format!("{found:?}") == format!("{careful:?}"),
                    "{what} differs"
                );
            }
            (Err(found), Err(careful)) => {
                assert_eq!(format!("{found:?}"), format!("{careful:?}"), "{what}");
            }
            (found, careful) => panic!("{what}: {:?} and {:?}", found.is_ok(), careful.is_ok()),
        }
    }

    fn same_by_both_paths(name: &str, bytes: Vec<u8>, size: usize) {
        let limits = Limits::small();
        let Ok(source) = Source::from_bytes(name, bytes.clone(), &limits) else {
            return;
        };
        let options = ReadOptions::default();
        let careful = read(&source, &limits, &options, Paths::Careful);
        let least = 60;
        for paths in [Paths::Fast, Paths::Parts { threads: 3, least }] {
            let found = read(&source, &limits, &options, paths);
            same(&format!("{name} by {paths:?}"), &found, &careful);
            let found = fed(name, &bytes, paths, size);
            // A byte that is not UTF-8 behind the error of a row is not looked at.
            if source.encoding() == Encoding::Utf8 || found.is_ok() {
                let what = format!("{name} by {paths:?} in pieces of {size}");
                same(&what, &found, &careful);
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
                for size in [30, 100, 300, 1000] {
                    same_by_both_paths(&name, bytes.clone(), size);
                }
                for _ in 0..if bytes.is_empty() { 0 } else { 40 } {
                    let mut changed = bytes.clone();
                    for _ in 0..=below(3) {
                        let at = below(changed.len());
                        changed[at] = spice[below(spice.len())];
                    }
                    let size = 20 + below(bytes.len());
                    same_by_both_paths(&name, changed, size);
                }
            }
        }
        assert!(IN_PIECES.load(Ordering::Relaxed) > 1000);
    }
}
