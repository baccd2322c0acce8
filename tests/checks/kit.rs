//! Every adapter of the registry that has sample files goes through the adapter kit, beside all the others and with their good
//! files as foreign ones.
//!
//! `SPHERESUM_KIT_READS=200000 SPHERESUM_KIT_SEED=7 cargo test -p spheresum-tests --test kit` looks longer and elsewhere.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use spheresum_core::intake::Adapter;
use spheresum_core::kit::{Expect, Failures, Kit, Report, Sample};
use spheresum_tests::samples;

/// Reads of one adapter: the good files cut at every length and changed in many places.
const READS: usize = 10_000;

/// Faults that are known and not mended yet: family, check, sample. A mended one is struck off: the test fails until it is.
const OPEN: &[(&str, &str, &str)] = &[];

/// What the good files of a family do not say of themselves: rows that may stand in any order, fields of the longest row, line ends.
fn stated(family: &str, sample: Sample) -> Sample {
    match family {
        "delimited" | "columns" => numbers_below(sample),
        "json" => sample.without_lines(),
        _ => sample,
    }
}

/// Data rows are the lines at the end of the file that begin like a number; a file that ends with something else states none.
fn numbers_below(sample: Sample) -> Sample {
    let text = String::from_utf8_lossy(&sample.bytes).into_owned();
    let is_row = |l: &&str| {
        l.trim_start()
            .starts_with(|c: char| c.is_ascii_digit() || c == '-')
    };
    let (last, rows) = (
        text.lines().count(),
        text.lines().rev().take_while(is_row).count(),
    );
    if rows < 3 {
        return sample;
    }
    sample.with_rows((last - rows + 1) as u64..=last as u64)
}

/// A number from the environment.
fn number<N: std::str::FromStr<Err: std::fmt::Debug>>(name: &str) -> Option<N> {
    std::env::var(name).ok().map(|text| text.parse().unwrap())
}

fn checked(adapter: &dyn Adapter, all: &[&dyn Adapter]) -> Result<Report, Failures> {
    let family = adapter.describe().id.as_str();
    let own = samples::of(&samples::folder(family)).unwrap();
    let own = own.into_iter().map(|s| match s.expect {
        Expect::Good => stated(family, s),
        _ => s,
    });
    let others = all.iter().map(|a| samples::folder(&a.describe().id));
    let others = others.filter(|f| f.is_dir() && *f != samples::folder(family));
    Kit::new(adapter)
        .reads(number("SPHERESUM_KIT_READS").unwrap_or(READS))
        .seed(number("SPHERESUM_KIT_SEED").unwrap_or(Kit::DEFAULT_SEED))
        .samples(own)
        .others(others.flat_map(|f| samples::good(&f).unwrap()))
        .beside(all.iter().copied())
        .check()
}

#[test]
fn every_adapter_with_samples_keeps_its_promises() {
    let registry = spheresum_adapters::registry();
    let all: Vec<&dyn Adapter> = registry.iter().collect();
    let has_samples = |a: &&&dyn Adapter| samples::folder(&a.describe().id).is_dir();
    let (mut checks, mut text, mut open) = (0, String::new(), Vec::new());
    for adapter in all.iter().filter(has_samples) {
        checks += 1;
        match checked(*adapter, &all) {
            Ok(report) => println!("{report}"),
            Err(failures) => {
                let id = failures.report.adapter.clone();
                open.extend(
                    failures
                        .list
                        .iter()
                        .map(|f| (id.clone(), f.check, f.sample.clone())),
                );
                text.push_str(&failures.to_string());
            }
        }
    }
    assert!(checks > 0);
    let known: Vec<_> = OPEN
        .iter()
        .map(|(id, check, sample)| (id.to_string(), *check, sample.to_string()))
        .collect();
    assert!(open == known, "found {open:#?}, known {known:#?}\n{text}");
}
