//! A comparison as text: the sentence first, then the figures side by side.

use super::compared::{Row, signed, table};
use super::differences::by_frequency;
use super::figure::at;
use super::findings::findings;
use super::panels::BLOCKS;
use super::reduction::{files, quantity, rule, short_grid};
use super::table::{Align, Table, heading};
use super::wrap::together;
use super::{count, frequency, paragraph};
use spheresum_core::compare::{ComparedChannel, TestResult};
use spheresum_core::document::Run;
use spheresum_core::figure::Figure;
use spheresum_core::{Finding, Frequency};

/// Differences below this do not show in two decimals, dB.
const SAME_DB: f64 = 0.005;

/// Tests against the first run; `runs` holds the reference, then the tests.
pub fn comparison(runs: &[Run], tests: &[TestResult]) -> String {
    let Some((reference, others)) = runs.split_first() else {
        return String::new();
    };
    let mut out = String::new();
    for test in tests {
        out.push_str(&paragraph(&test.sentence, 0));
        out.push('\n');
    }
    for (test, run) in tests.iter().zip(others) {
        out.push_str(&one(reference, run, test));
        out.push('\n');
    }
    out.push_str(&heading("Runs", 0));
    out.push_str(&paragraph(
        &format!("all with {}", rule(&reference.reduction)),
        2,
    ));
    let mut table = Table::new(&[("", Align::Left); 4]);
    for run in runs {
        let sphere = &run.reduction.sphere;
        table.row(vec![
            run.name.clone(),
            quantity(run.reduction.quantity).to_string(),
            short_grid(sphere.grid()),
            files(run),
        ]);
    }
    out.push_str(&table.render(2));
    let mut remarks: Vec<(&str, &[Finding])> = tests
        .iter()
        .map(|t| (t.name.as_str(), t.findings.as_slice()))
        .collect();
    remarks.extend(
        runs.iter()
            .map(|r| (r.name.as_str(), r.reduction.findings.as_slice())),
    );
    let remarks = findings(&remarks, 0);
    if !remarks.is_empty() {
        out.push('\n');
        out.push_str(&remarks);
    }
    out
}

fn one(reference: &Run, run: &Run, test: &TestResult) -> String {
    let mut out = heading(&format!("{} against {}", test.name, reference.name), 0);
    let names = (reference.name.as_str(), test.name.as_str());
    if test.channels.len() > BLOCKS {
        out.push_str(&by_frequency(reference, run, test));
    } else {
        for channel in &test.channels {
            let (a, b) = (
                of_channel(reference, channel.frequency_hz),
                of_channel(run, channel.frequency_hz),
            );
            out.push_str(&heading(&frequency(channel.frequency_hz), 2));
            let rows: Vec<Row> = channel.figures.iter().map(|f| Row::new(f, a, b)).collect();
            out.push_str(&table("figure", names, &rows));
            out.push_str(&directions(channel));
        }
    }
    if test.channels.len() > 1 && !test.summary.is_empty() {
        let (a, b) = (&reference.reduction.summary, &run.reduction.summary);
        out.push_str(&heading(
            &format!("Over {} frequencies", test.channels.len()),
            2,
        ));
        let rows: Vec<Row> = test.summary.iter().map(|f| Row::new(f, a, b)).collect();
        out.push_str(&table("figure", names, &rows));
    }
    out
}

/// A run's own figures at a frequency, or at the only one it has.
pub fn of_channel(run: &Run, frequency: Option<Frequency>) -> &[Figure] {
    let channels = &run.reduction.channels;
    let same = channels.iter().find(|c| c.frequency_hz == frequency);
    same.or(channels.first())
        .map_or(&[], |c| c.figures.as_slice())
}

fn directions(channel: &ComparedChannel) -> String {
    let Some(d) = &channel.directions else {
        return String::new();
    };
    let left_out = match d.left_out {
        0 => String::new(),
        n => format!(" ({n} left out: filled, missing, marked, without power or within the noise)"),
    };
    let over = format!(
        "Over {}{left_out} the total power differs by",
        count(d.compared, "direction")
    );
    let extreme = |db, to: spheresum_core::Direction| {
        let place = together(&at(to.theta_deg, to.phi_deg));
        format!("{} at {place}", together(&signed(db)))
    };
    let text = if d.largest_db - d.smallest_db < SAME_DB {
        format!(
            "{over} {}, everywhere alike.",
            together(&signed(d.smallest_db))
        )
    } else {
        format!(
            "{over} {} to {}.",
            extreme(d.smallest_db, d.smallest_at),
            extreme(d.largest_db, d.largest_at)
        )
    };
    paragraph(&text, 4)
}
