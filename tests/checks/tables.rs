//! Every row of every built-in table on every face: a named test `TABLE:LINE CASE/ROW [FACE]`.
//!
//! - `[rust]` straight through the library;
//! - `[command]` the readings as a file through `spheresum reduce --json`;
//! - `[c]` the readings as arrays through a C program and the shared library, where the C interface gives the figure.
//!
//! `cargo test -p spheresum-tests --test tables -- rules/sine` runs the rows of one table.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod faces;

use faces::Face;
use libtest_mimic::{Arguments, Failed, Trial};
use spheresum_core::table::{self, Check, Outcome, Row};
use std::collections::{BTreeMap, BTreeSet};
use std::process::ExitCode;
use std::sync::{Arc, OnceLock};

/// What a row asks, in a word or two.
fn asked(row: &Row) -> String {
    match &row.check {
        Check::Gives { of, amount, .. } => format!("{of} in {}", amount.unit),
        Check::Never { of, amount, .. } => format!("{of} is not {amount}"),
        Check::Is { of, state } => format!("{of} is {}", table::state_word(*state)),
        Check::Fails(group) => format!("fails by {}", group.as_str()),
        other => format!("{other:?}"),
    }
}

fn listed(counts: &BTreeMap<&str, usize>) -> String {
    let counts: Vec<String> = counts.iter().map(|(of, n)| format!("{of} {n}")).collect();
    counts.join(", ")
}

fn main() -> ExitCode {
    let arguments = Arguments::from_args();
    let mut trials = Vec::new();
    let (mut rows, mut snapshots) = (0, 0);
    let mut by_source: BTreeMap<&str, usize> = BTreeMap::new();
    let mut by_face: BTreeMap<&str, usize> = BTreeMap::new();
    for (name, text) in table::builtin() {
        let table = match table::parse(name, text) {
            Ok(table) => table,
            Err(error) => {
                let message = error.to_string();
                trials.push(Trial::test(format!("{name} reads"), move || {
                    Err(Failed::from(message))
                }));
                continue;
            }
        };
        for case in table.cases {
            let case = Arc::new(case);
            for row in &case.rows {
                for kind in row.sources.iter().map(|s| s.kind).collect::<BTreeSet<_>>() {
                    *by_source.entry(kind.as_str()).or_default() += 1;
                }
                rows += 1;
                snapshots += usize::from(row.is_snapshot());
            }
            for face in Face::ALL {
                // One run serves all rows of a case.
                let outcome: Arc<OnceLock<Outcome>> = Arc::default();
                for row in case.rows.iter().filter(|r| face.has(&case, r)) {
                    *by_face.entry(face.as_str()).or_default() += 1;
                    let title =
                        format!("{name}:{} {}/{} [{face}]", row.line, case.name, asked(row));
                    let (case, row, outcome) =
                        (Arc::clone(&case), row.clone(), Arc::clone(&outcome));
                    trials.push(Trial::test(title, move || {
                        let judgement = table::judge(&row, outcome.get_or_init(|| face.run(&case)));
                        if judgement.passed {
                            Ok(())
                        } else {
                            Err(judgement.message.into())
                        }
                    }));
                }
            }
        }
    }
    if !arguments.list {
        println!(
            "{rows} rows, {snapshots} of them on snapshots alone; by kind of source (a row may have several): {}; tests by face: {}",
            listed(&by_source),
            listed(&by_face)
        );
    }
    libtest_mimic::run(&arguments, trials).exit_code()
}
