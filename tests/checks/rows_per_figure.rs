//! Every figure, and every other quantity of the tables, has enough outside evidence: at least three rows, of at least two kinds of
//! source, earlier output of this library not counted.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod coverage;

use coverage::{OTHERS, Tally, quantities, tallies};
use spheresum_core::figure::{self, FigureState};
use spheresum_core::table::{self, Check};
use std::collections::BTreeSet;

const ROWS: usize = 3;
const KINDS: usize = 2;

/// What a tally lacks; `None` where it has enough.
fn lack(tally: Option<&Tally>) -> Option<String> {
    let none = Tally::default();
    let tally = tally.unwrap_or(&none);
    let enough = tally.rows >= ROWS && tally.by_kind.len() >= KINDS;
    (!enough).then(|| {
        format!(
            "{} rows, {} kinds of source",
            tally.rows,
            tally.by_kind.len()
        )
    })
}

#[test]
fn every_figure_has_rows_of_several_kinds() {
    let all = tallies();
    let poor: Vec<String> = quantities()
        .iter()
        .filter_map(|q| Some(format!("{q}: {}", lack(all.get(q))?)))
        .collect();
    assert!(poor.is_empty(), "{poor:#?}");
}

/// States alone are no evidence: each quantity has rows with numbers, and enough of them.
#[test]
fn every_figure_has_numbers() {
    let all = tallies();
    let without: Vec<String> = quantities()
        .into_iter()
        .filter(|q| all.get(q).is_none_or(|t| t.rows - t.states < ROWS))
        .collect();
    assert!(without.is_empty(), "{without:#?}");
}

/// No input of a table leaves this one without a value: it is refused where no direction was read in both polarisations, and zero or a
/// value otherwise.
const NEVER_REFUSED: [&str; 1] = ["worst_eis"];

/// Each figure is refused in some row.
#[test]
fn every_figure_is_refused_somewhere() {
    let mut refused = BTreeSet::new();
    for (name, text) in table::builtin() {
        for row in table::parse(name, text)
            .unwrap()
            .cases
            .iter()
            .flat_map(|c| &c.rows)
        {
            if let Check::Is {
                of,
                state: FigureState::Refused,
            } = &row.check
            {
                refused.insert(of.to_string());
            }
        }
    }
    let never: Vec<&str> = figure::specs()
        .iter()
        .map(|s| s.name)
        .filter(|name| !refused.contains(*name))
        .collect();
    assert_eq!(never, NEVER_REFUSED);
}

/// A quantity that the tables have and this test does not know would go unseen.
#[test]
fn nothing_in_the_tables_is_unknown_here() {
    let known: BTreeSet<String> = quantities().into_iter().collect();
    let unknown: Vec<String> = tallies()
        .into_keys()
        .filter(|q| !known.contains(q))
        .collect();
    assert!(unknown.is_empty(), "{unknown:?}");
    assert_eq!(known.len(), quantities().len(), "a name stands twice");
    assert!(OTHERS.iter().all(|o| known.contains(*o)));
}

#[test]
fn what_lacks_is_told() {
    assert_eq!(lack(None).as_deref(), Some("0 rows, 0 kinds of source"));
    let mut tally = Tally {
        rows: 3,
        ..Tally::default()
    };
    let kinds = spheresum_core::table::SourceKind::ALL;
    tally.by_kind.insert(kinds[0], 3);
    assert!(lack(Some(&tally)).is_some());
    tally.by_kind.insert(kinds[1], 1);
    assert!(lack(Some(&tally)).is_none());
    tally.rows = 2;
    assert!(lack(Some(&tally)).is_some());
}
