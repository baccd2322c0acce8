//! What is required of a laboratory's data reduction, what of it is built, and by what it is proven.
//!
//! `tests/requirements.csv` is the list; `tests/COVERAGE.md` is made of it, with the rows of the reference tables by figure and kind of source.
//! Every table row and every test that the list names has to exist.
//!
//! `SPHERESUM_BLESS=1 cargo test -p spheresum-tests --test requirements` writes `tests/COVERAGE.md` anew.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod coverage;

use coverage::{quantities, tallies};
use spheresum_core::table::{self, Check, SourceKind, Table};
use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::path::{Path, PathBuf};

const LIST: &str = include_str!("../requirements.csv");
const HEADING: [&str; 7] = [
    "number",
    "requirement",
    "tier",
    "state",
    "by",
    "proof",
    "missing",
];
const TIERS: [&str; 3] = ["must", "should", "beyond"];
const STATES: [&str; 3] = ["built", "part", "not built"];
const NUMBER: usize = 49;

/// A line of the list.
struct Requirement {
    number: usize,
    requirement: String,
    tier: String,
    state: String,
    by: String,
    proof: Vec<String>,
    missing: String,
}

/// Fields of a comma-separated line; quotes hold commas, and two of them are one.
fn fields(line: &str) -> Vec<String> {
    let mut all = vec![String::new()];
    let mut quoted = false;
    let mut characters = line.chars().peekable();
    while let Some(c) = characters.next() {
        match c {
            '"' if quoted && characters.peek() == Some(&'"') => {
                characters.next();
                all.last_mut().unwrap().push('"');
            }
            '"' => quoted = !quoted,
            ',' if !quoted => all.push(String::new()),
            other => all.last_mut().unwrap().push(other),
        }
    }
    assert!(!quoted, "a quote is open: {line}");
    all
}

fn list() -> Vec<Requirement> {
    let mut lines = LIST.lines();
    assert_eq!(fields(lines.next().unwrap()), HEADING);
    lines
        .map(|line| {
            let [number, requirement, tier, state, by, proof, missing] =
                <[String; 7]>::try_from(fields(line)).unwrap_or_else(|f| panic!("{f:?}"));
            Requirement {
                number: number.parse().unwrap(),
                requirement,
                tier,
                state,
                by,
                proof: proof
                    .split(';')
                    .map(|p| p.trim().to_string())
                    .filter(|p| !p.is_empty())
                    .collect(),
                missing,
            }
        })
        .collect()
}

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

/// What is wrong with a proof; `None` where the table row or the test is there.
fn wrong(proof: &str, tables: &BTreeMap<&str, Table>) -> Option<String> {
    if let Some((file, name)) = proof.split_once("::") {
        let Ok(text) = std::fs::read_to_string(root().join(file)) else {
            return Some(format!("there is no file {file}"));
        };
        return (!has_test(&text, name)).then(|| format!("there is no test {name} in {file}"));
    }
    let parts = proof
        .split_once(' ')
        .and_then(|(table, rest)| Some((table, rest.split_once('/')?)));
    let Some((table, (case, row))) = parts else {
        return Some(format!(
            "{proof:?} is neither FILE::TEST nor TABLE CASE/ROW"
        ));
    };
    let Some(table) = tables.get(table) else {
        return Some(format!("there is no table {table}"));
    };
    let Some(case) = table.cases.iter().find(|c| c.name == case) else {
        return Some(format!("there is no case {case} in {}", table.name));
    };
    let found = case.rows.iter().any(|r| match &r.check {
        Check::Gives { of, .. } | Check::Never { of, .. } | Check::Is { of, .. } => {
            of.to_string() == row
        }
        Check::Fails(_) => row == "fails",
        _ => false,
    });
    (!found).then(|| format!("there is no row {row} in {} {}", table.name, case.name))
}

/// True where a source has a test of this name: a function right below `#[test]`, other attributes between them.
fn has_test(text: &str, name: &str) -> bool {
    let head = format!("fn {name}(");
    let lines: Vec<&str> = text.lines().map(str::trim).collect();
    lines.iter().enumerate().any(|(n, line)| {
        line.starts_with(&head)
            && lines[..n]
                .iter()
                .rev()
                .take_while(|above| above.starts_with("#["))
                .any(|above| *above == "#[test]")
    })
}

fn tables() -> BTreeMap<&'static str, Table> {
    table::builtin()
        .map(|(name, text)| (name, table::parse(name, text).unwrap()))
        .collect()
}

#[test]
fn the_list_is_whole_and_says_what_it_must() {
    let list = list();
    let numbers: Vec<usize> = list.iter().map(|r| r.number).collect();
    assert_eq!(numbers, (1..=NUMBER).collect::<Vec<_>>());
    for r in &list {
        let n = r.number;
        assert!(TIERS.contains(&r.tier.as_str()), "{n}: tier {}", r.tier);
        assert!(STATES.contains(&r.state.as_str()), "{n}: state {}", r.state);
        assert!(r.requirement.len() > 20, "{n}: what is required?");
        let built = r.state != "not built";
        assert_eq!(built, !r.proof.is_empty(), "{n}: {} and its proof", r.state);
        assert_eq!(built, !r.by.is_empty(), "{n}: {} and by what", r.state);
        let whole = r.state == "built";
        assert_eq!(whole, r.missing.is_empty(), "{n}: {} and missing", r.state);
    }
}

#[test]
fn every_proof_is_there() {
    let tables = tables();
    let wrong: Vec<String> = list()
        .iter()
        .flat_map(|r| r.proof.iter().map(|p| (r.number, p)))
        .filter_map(|(n, proof)| Some(format!("{n}: {}", wrong(proof, &tables)?)))
        .collect();
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[test]
fn a_proof_that_is_not_there_is_told() {
    let tables = tables();
    let text = "#[test]\n#[ignore]\nfn a() {}\n\nfn b() {}\n";
    assert!(has_test(text, "a") && !has_test(text, "b") && !has_test(text, "c"));
    for bad in [
        "tests/checks/nowhere.rs::a",
        "tests/checks/requirements.rs::has_test",
        "rules/sine.tbl isotropic-15-deg/tis",
        "rules/sine.tbl nowhere/trp",
        "rules/nowhere.tbl isotropic-15-deg/trp",
        "rules/sine.tbl isotropic-15-deg",
        "rules/sine.tbl",
        "",
    ] {
        assert!(wrong(bad, &tables).is_some(), "{bad}");
    }
    assert_eq!(wrong("rules/sine.tbl isotropic-15-deg/trp", &tables), None);
    assert_eq!(fields("a,\"b, \"\"c\"\"\",,d"), ["a", "b, \"c\"", "", "d"]);
}

/// The page, as it has to be.
fn page() -> String {
    let list = list();
    let count = |state: &str, tier: &str| {
        list.iter()
            .filter(|r| r.state == state && r.tier == tier)
            .count()
    };
    let mut page = String::from(
        "# Coverage\n\nMade by the test `requirements` from `requirements.csv` and from the reference tables; do not edit it. \
         `SPHERESUM_BLESS=1 cargo test -p spheresum-tests --test requirements` writes it anew.\n\n\
         ## Requirements\n\nWhat public standards and textbooks ask of the data reduction of a laboratory for over-the-air measurements, in our own words. \
         *must*: every job, *should*: most laboratories, *beyond*: some. A proof is a row of a reference table (`TABLE CASE/ROW`) or a test \
         (`FILE::TEST`).\n\n| state | must | should | beyond | all |\n|---|---|---|---|---|\n",
    );
    for state in STATES {
        let counts = TIERS.map(|tier| count(state, tier));
        let all: usize = counts.iter().sum();
        let [must, should, beyond] = counts;
        writeln!(page, "| {state} | {must} | {should} | {beyond} | {all} |").unwrap();
    }
    page += "\n| no. | requirement | tier | state | by | proof | missing |\n|---|---|---|---|---|---|---|\n";
    for r in &list {
        let proof: Vec<String> = r.proof.iter().map(|p| format!("`{p}`")).collect();
        writeln!(
            page,
            "| {} | {} | {} | {} | {} | {} | {} |",
            r.number,
            r.requirement,
            r.tier,
            r.state,
            r.by,
            proof.join(", "),
            r.missing
        )
        .unwrap();
    }
    page += "\n## Rows by figure\n\nFigures over all frequencies have no rows: a table has one frequency. `tests/checks/spheres/channels.rs` holds them to closed forms.\n\nRows `gives`, `never` and `is` of the built-in tables, by the kinds of their sources; a row may have several. A ratio \
             counts for what stands above the line (the pages of the figures list it below the line too, and a record counts `gives` alone). Earlier output of this library is not counted.\n\n| quantity | rows |";
    let kinds = || {
        SourceKind::ALL
            .into_iter()
            .filter(|k| *k != SourceKind::Snapshot)
    };
    for kind in kinds() {
        write!(page, " {} |", kind.as_str()).unwrap();
    }
    writeln!(page, "\n|---|---|{}", "---|".repeat(kinds().count())).unwrap();
    let tallies = tallies();
    for quantity in quantities() {
        let tally = tallies.get(&quantity).cloned().unwrap_or_default();
        write!(page, "| `{quantity}` | {} |", tally.rows).unwrap();
        for kind in kinds() {
            match tally.by_kind.get(&kind) {
                Some(n) => write!(page, " {n} |").unwrap(),
                None => page.push_str("  |"),
            }
        }
        page.push('\n');
    }
    page
}

#[test]
fn the_page_is_fresh() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("COVERAGE.md");
    let page = page();
    if std::env::var_os("SPHERESUM_BLESS").is_some() {
        std::fs::write(&path, &page).unwrap();
    }
    let kept = std::fs::read_to_string(&path).unwrap_or_default();
    // A checkout may have turned the line ends.
    let kept = kept.replace("\r\n", "\n");
    assert!(
        kept == page,
        "tests/COVERAGE.md is stale: SPHERESUM_BLESS=1 cargo test -p spheresum-tests --test requirements"
    );
}
