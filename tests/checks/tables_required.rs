//! Rows that the built-in tables must have.
//!
//! `tables_required.csv` was written from the collection of outside values, not from the tables: a second entry of the same numbers,
//! so that a digit mistyped in a table, a tolerance widened or a row dropped is told. The first column is the value's number in the
//! collection: A antennas, B integration rules, C noise, D decibels, ds whole spheres; or one of its tables: bias of the sine rule by step,
//! ring weights, powers of cos θ, bias by the signal to noise ratio.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use spheresum_core::table::{self, Amount, Check, Row, Symbol, Table, Tolerance, state_word};
use std::collections::{BTreeMap, BTreeSet};

const REQUIRED: &str = include_str!("tables_required.csv");

/// Every value that has to be there, by its number.
fn wanted() -> BTreeSet<String> {
    let run =
        |letter: char, from: u32, to: u32| (from..=to).map(move |n| format!("{letter}{n:02}"));
    let antennas = [
        (1, 4),
        (6, 9),
        (11, 12),
        (16, 16),
        (18, 18),
        (20, 20),
        (22, 22),
        (24, 30),
        (32, 52),
        (55, 56),
        (64, 65),
    ];
    let rules = [(1, 48), (60, 63), (81, 85)];
    let decibels = [(1, 25), (29, 30)];
    let noise = [(1, 13), (15, 15)];
    let of = |letter, runs: &[(u32, u32)]| -> Vec<String> {
        runs.iter()
            .flat_map(|(from, to)| run(letter, *from, *to))
            .collect()
    };
    let mut all: BTreeSet<String> = of('A', &antennas).into_iter().collect();
    all.extend(of('B', &rules));
    all.extend(of('C', &noise));
    all.extend(of('D', &decibels));
    all.extend((1..=8).map(|n| format!("ds{n}")));
    all.extend(["bias", "monomials", "snr", "weights"].map(str::to_string));
    all
}

/// A line of the list.
struct Required<'a> {
    of: &'a str,
    table: &'a str,
    case: &'a str,
    row: &'a str,
    quantity: &'a str,
    expected: &'a str,
    unit: &'a str,
    within: &'a str,
}

fn required() -> Vec<Required<'static>> {
    let mut lines = REQUIRED.lines();
    assert_eq!(
        lines.next(),
        Some("of,table,case,row,quantity,expected,unit,within")
    );
    lines
        .map(|line| match line.split(',').collect::<Vec<_>>()[..] {
            [of, table, case, row, quantity, expected, unit, within] => Required {
                of,
                table,
                case,
                row,
                quantity,
                expected,
                unit,
                within,
            },
            _ => panic!("{line}"),
        })
        .collect()
}

fn tables() -> BTreeMap<&'static str, Table> {
    table::builtin()
        .map(|(name, text)| (name, table::parse(name, text).unwrap()))
        .collect()
}

impl Required<'_> {
    fn amount(&self) -> Amount {
        Amount::new(
            self.expected.parse().unwrap(),
            Symbol::of(self.unit).unwrap(),
        )
    }

    /// True where the row asks for this, at least as tightly.
    fn is_in(&self, row: &Row) -> bool {
        match (&row.check, self.row) {
            (Check::Gives { of, amount, within }, "gives") => {
                of.to_string() == self.quantity
                    && *amount == self.amount()
                    && self.is_as_tight(*within)
            }
            (Check::Never { of, amount, .. }, "never") => {
                of.to_string() == self.quantity && *amount == self.amount()
            }
            (Check::Is { of, state }, "is") => {
                of.to_string() == self.quantity && state_word(*state) == self.expected
            }
            _ => false,
        }
    }

    fn is_as_tight(&self, within: Tolerance) -> bool {
        let (number, unit) = self.within.split_once(' ').unwrap();
        let most: f64 = number.parse().unwrap();
        match within {
            Tolerance::Relative(share) => unit == "relative" && share <= most,
            Tolerance::Absolute(amount) => amount.unit.as_str() == unit && amount.value <= most,
        }
    }
}

#[test]
fn every_required_row_is_in_its_table() {
    let tables = tables();
    let missing: Vec<String> = required()
        .iter()
        .filter(|r| {
            !tables.get(r.table).is_some_and(|t| {
                t.cases
                    .iter()
                    .any(|c| c.name == r.case && c.rows.iter().any(|row| r.is_in(row)))
            })
        })
        .map(|r| {
            format!(
                "{}: {} {}: {} {} {} {} within {}",
                r.of, r.table, r.case, r.row, r.quantity, r.expected, r.unit, r.within
            )
        })
        .collect();
    assert!(missing.is_empty(), "{missing:#?}");
}

#[test]
fn the_list_is_complete() {
    let listed: BTreeSet<String> = required()
        .iter()
        .map(|r| r.of.split('_').next().unwrap().to_string())
        .collect();
    assert_eq!(listed, wanted());
}

/// Each sphere has the sums by both rules, the peak, and its windows in both forms.
#[test]
fn every_eirp_sphere_has_all_its_figures() {
    let rows = required();
    for table in [
        "spheres/ds1_isotropic_15deg.tbl",
        "spheres/ds2_xdipole_15deg.tbl",
        "spheres/ds3_halfwave_30deg.tbl",
        "spheres/ds4_beam_15deg.tbl",
        "spheres/ds4_beam_5deg.tbl",
        "spheres/ds5_interferometer_10deg.tbl",
        "spheres/ds7_xdipole_noise_15deg.tbl",
    ] {
        let of = |case: &str| -> Vec<&str> {
            let mut names: Vec<&str> = rows
                .iter()
                .filter(|r| r.table == table && r.case == case)
                .map(|r| r.quantity)
                .collect();
            names.sort_unstable();
            names
        };
        assert_eq!(
            of("sine-rule"),
            [
                "nhprp_30",
                "nhprp_45",
                "peak_eirp",
                "trp",
                "trp_phi",
                "trp_theta",
                "uhrp"
            ],
            "{table}"
        );
        assert_eq!(of("clenshaw-curtis"), ["trp"], "{table}");
        assert_eq!(
            of("exact-windows"),
            ["nhprp_30", "nhprp_45", "trp", "uhrp"],
            "{table}"
        );
    }
}
