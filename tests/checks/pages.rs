//! The pages of the figures (`core/src/figure/pages`): every figure has one, every page has all its headings, the README and the index
//! lead to all of them, and their last part lists the rows of the built-in tables that ask for the figure.
//!
//! `SPHERESUM_BLESS=1 cargo test -p spheresum-tests --test pages` writes that part anew.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use spheresum_core::figure::{self, Unit};
use spheresum_core::table::{self, Asked, Case, Check, SourceKind};
use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;
use std::path::{Path, PathBuf};

/// The headings of a page, in their order.
const HEADINGS: [&str; 7] = [
    "Definition",
    "Formula",
    "Source",
    "Assumptions",
    "Limits",
    "How to get it",
    "Rows that prove it",
];

/// Pages of what is no figure by its name, with what rows call it.
const OTHERS: [(&str, &[&str]); 2] = [
    (
        "comparison",
        &[
            "power-change",
            "range-factor-free-space",
            "range-factor",
            "area-factor",
        ],
    ),
    ("noise", &["noise-bias"]),
];

/// Figures over all frequencies, which have no spec of their own.
const SUMMARY: [&str; 4] = ["trp_average", "trp_lowest", "tis_average", "tis_highest"];

const BEGIN: &str = "<!-- rows: written by tests/checks/pages.rs -->";
const END: &str = "<!-- end of rows -->";

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

fn folder() -> PathBuf {
    root().join("core/src/figure/pages")
}

struct Page {
    name: String,
    text: String,
}

impl Page {
    /// The first line, which names the figures of the page in backticks.
    fn title(&self) -> &str {
        self.text.lines().next().unwrap_or("")
    }

    fn figures(&self) -> Vec<&str> {
        self.title().split('`').skip(1).step_by(2).collect()
    }

    /// What rows call what the page is about.
    fn asked(&self) -> Vec<&str> {
        match OTHERS.iter().find(|o| o.0 == self.name) {
            Some((_, names)) => names.to_vec(),
            None => self.figures(),
        }
    }

    /// Headings of the second level with what stands below each.
    fn sections(&self) -> Vec<(&str, String)> {
        let mut sections: Vec<(&str, String)> = Vec::new();
        for line in self.text.lines() {
            match line.strip_prefix("## ") {
                Some(heading) => sections.push((heading, String::new())),
                None => {
                    if let Some((_, text)) = sections.last_mut() {
                        text.push_str(line.trim());
                    }
                }
            }
        }
        sections
    }
}

fn pages() -> Vec<Page> {
    let files = std::fs::read_dir(folder()).unwrap();
    let mut pages: Vec<Page> = files
        .map(|file| file.unwrap().path())
        .filter(|path| path.extension().is_some_and(|e| e == "md"))
        .map(|path| Page {
            name: path.file_stem().unwrap().to_str().unwrap().to_string(),
            text: std::fs::read_to_string(&path).unwrap(),
        })
        .filter(|page| page.name != "README")
        .collect();
    pages.sort_by(|a, b| a.name.cmp(&b.name));
    pages
}

#[test]
fn every_figure_stands_on_one_page() {
    let pages = pages();
    let mut found: BTreeMap<&str, &str> = BTreeMap::new();
    for page in &pages {
        if OTHERS.iter().any(|o| o.0 == page.name) {
            continue;
        }
        assert!(
            !page.figures().is_empty(),
            "{}: {}",
            page.name,
            page.title()
        );
        for name in page.figures() {
            let other = found.insert(name, &page.name);
            assert_eq!(other, None, "{name} stands on {} too", page.name);
        }
    }
    let specs = figure::specs();
    let wanted: BTreeSet<&str> = specs.iter().map(|s| s.name).chain(SUMMARY).collect();
    let named: BTreeSet<&str> = found.keys().copied().collect();
    assert_eq!(named, wanted);
    for name in SUMMARY {
        assert!(figure::summarised_by(name).is_some(), "{name}");
    }
    for (name, _) in OTHERS {
        assert!(pages.iter().any(|p| p.name == name), "{name}");
    }
}

#[test]
fn every_page_has_all_headings() {
    for page in pages() {
        assert!(page.title().starts_with("# "), "{}", page.name);
        let sections = page.sections();
        let found: Vec<&str> = sections.iter().map(|s| s.0).collect();
        assert_eq!(found, HEADINGS, "{}", page.name);
        for (heading, text) in &sections {
            assert!(!text.is_empty(), "{}: {heading}", page.name);
        }
    }
}

#[test]
fn a_page_says_the_unit_of_its_figures() {
    let specs = figure::specs();
    for page in pages() {
        let sections = page.sections();
        let definition = &sections[0].1;
        for name in page.figures() {
            let unit = specs.iter().find(|s| s.name == name);
            let unit = unit.map_or(Unit::Dbm, |s| s.unit);
            if OTHERS.iter().all(|o| o.0 != page.name) {
                let symbol = unit.symbol();
                assert!(definition.contains(symbol), "{name}: no {symbol}");
            }
        }
    }
}

#[test]
fn the_index_the_readme_and_the_module_lead_to_every_page() {
    let index = std::fs::read_to_string(folder().join("README.md")).unwrap();
    let readme = std::fs::read_to_string(root().join("README.md")).unwrap();
    let module = std::fs::read_to_string(folder().join("mod.rs")).unwrap();
    assert!(readme.contains("(core/src/figure/pages/README.md)"));
    for page in pages() {
        let name = &page.name;
        assert!(index.contains(&format!("][{name}]")), "{name}: index");
        assert!(
            index.contains(&format!("\n[{name}]: {name}.md\n")),
            "{name}: index, link"
        );
        assert!(
            readme.contains(&format!("(core/src/figure/pages/{name}.md)")),
            "{name}: README"
        );
        let in_module = |line: String| module.lines().any(|l| l == line);
        assert!(
            in_module(format!("//! [{name}]: {name}")),
            "{name}: mod.rs, link"
        );
        assert!(in_module(format!("    {name},")), "{name}: mod.rs");
    }
    for line in index.lines().chain(readme.lines()) {
        for link in line.split("core/src/figure/pages/").skip(1) {
            let file = link.split(')').next().unwrap();
            assert!(folder().join(file).exists(), "{line}");
        }
    }
}

/// How often each kind of source speaks for the rows of each case of a table that ask for a quantity.
#[derive(Default)]
struct Proof {
    /// Cases in their order, with the number of their rows.
    cases: Vec<(String, usize)>,
    kinds: BTreeSet<SourceKind>,
}

fn asks(check: &Check, name: &str) -> bool {
    let of = match check {
        Check::Gives { of, .. } | Check::Never { of, .. } | Check::Is { of, .. } => of,
        _ => return false,
    };
    match of {
        Asked::One(one) => one == name,
        Asked::Ratio(over, under) => over == name || under == name,
    }
}

fn proof<'a>(cases: impl Iterator<Item = &'a Case>, name: &str) -> Proof {
    let mut proof = Proof::default();
    for case in cases {
        let rows: Vec<_> = case.rows.iter().filter(|r| asks(&r.check, name)).collect();
        if !rows.is_empty() {
            proof.cases.push((case.name.clone(), rows.len()));
        }
        let sources = rows.iter().flat_map(|r| &r.sources);
        proof.kinds.extend(sources.map(|s| s.kind));
    }
    proof
}

/// The last part of a page.
fn rows_of(page: &Page, tables: &[table::Table]) -> String {
    let mut text = String::new();
    for name in page.asked() {
        let proofs: Vec<(&str, Proof)> = tables
            .iter()
            .map(|t| (t.name.as_str(), proof(t.cases.iter(), name)))
            .filter(|(_, p)| !p.cases.is_empty())
            .collect();
        let counts = proofs.iter().flat_map(|(_, p)| &p.cases).map(|c| c.1);
        match counts.sum() {
            0 => {
                writeln!(text, "`{name}`: no row.\n").unwrap();
                continue;
            }
            1 => writeln!(text, "`{name}`: 1 row.\n").unwrap(),
            rows => writeln!(text, "`{name}`: {rows} rows.\n").unwrap(),
        }
        text.push_str("| table | cases, with their rows | sources |\n|---|---|---|\n");
        for (table, proof) in proofs {
            let cases: Vec<String> = proof
                .cases
                .iter()
                .map(|(case, rows)| format!("{case} {rows}"))
                .collect();
            let kinds: Vec<&str> = proof.kinds.iter().map(|k| k.as_str()).collect();
            writeln!(
                text,
                "| `{table}` | {} | {} |",
                cases.join(", "),
                kinds.join(", ")
            )
            .unwrap();
        }
        text.push('\n');
    }
    text.trim_end().to_string()
}

#[test]
fn the_rows_on_each_page_are_those_of_the_tables() {
    let tables: Vec<table::Table> = table::builtin()
        .map(|(name, text)| table::parse(name, text).unwrap())
        .collect();
    let bless = std::env::var_os("SPHERESUM_BLESS").is_some();
    let mut stale = Vec::new();
    for page in pages() {
        let (head, rest) = page.text.split_once(BEGIN).expect(&page.name);
        let (_, tail) = rest.split_once(END).expect(&page.name);
        let rows = rows_of(&page, &tables);
        let fresh = format!("{head}{BEGIN}\n\n{rows}\n\n{END}{tail}");
        if fresh == page.text {
            continue;
        }
        if bless {
            std::fs::write(folder().join(format!("{}.md", page.name)), fresh).unwrap();
        } else {
            stale.push(page.name);
        }
    }
    assert!(
        stale.is_empty(),
        "rows changed: {}; SPHERESUM_BLESS=1 writes them anew",
        stale.join(", ")
    );
}
