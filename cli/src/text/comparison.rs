//! A comparison as text: the sentence first, then the figures side by side.

use super::figure::{at, between, value};
use super::findings::findings;
use super::number::{Toward, two};
use super::reduction::{files, quantity, rule, short_grid};
use super::table::{Align, Table, heading};
use super::wrap::together;
use super::{count, frequency, paragraph};
use spheresum_core::compare::{ComparedChannel, ComparedFigure, TestResult};
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
    for channel in &test.channels {
        let (a, b) = (
            of_channel(reference, channel.frequency_hz),
            of_channel(run, channel.frequency_hz),
        );
        out.push_str(&heading(&frequency(channel.frequency_hz), 2));
        out.push_str(&table(
            &channel.figures,
            (&reference.name, a),
            (&test.name, b),
        ));
        out.push_str(&directions(channel));
    }
    if test.channels.len() > 1 && !test.summary.is_empty() {
        let (a, b) = (&reference.reduction.summary, &run.reduction.summary);
        out.push_str(&heading(
            &format!("Over {} frequencies", test.channels.len()),
            2,
        ));
        out.push_str(&table(&test.summary, (&reference.name, a), (&test.name, b)));
    }
    out
}

/// A run's own figures at a frequency, or at the only one it has.
fn of_channel(run: &Run, frequency: Option<Frequency>) -> &[Figure] {
    let channels = &run.reduction.channels;
    let same = channels.iter().find(|c| c.frequency_hz == frequency);
    same.or(channels.first())
        .map_or(&[], |c| c.figures.as_slice())
}

fn table(
    figures: &[ComparedFigure],
    reference: (&str, &[Figure]),
    test: (&str, &[Figure]),
) -> String {
    let exponent = figures.iter().find_map(|f| f.path_loss_exponent);
    let with_exponent = exponent.map_or_else(String::new, |n| format!("range, n = {n}"));
    let mut table = Table::new(&[
        ("figure", Align::Left),
        (reference.0, Align::Right),
        (test.0, Align::Right),
        ("difference", Align::Right),
        ("bounds", Align::Left),
        ("power lost", Align::Right),
        ("range", Align::Right),
        (&with_exponent, Align::Right),
        ("verdict", Align::Left),
    ]);
    for f in figures {
        // A figure without value says why in its own words.
        let told = |of: &[Figure]| {
            of.iter()
                .find(|own| own.name == f.name)
                .map_or_else(String::new, value)
        };
        let factor = |value: Option<f64>| value.map_or_else(String::new, |v| format!("× {v:.2}"));
        table.row(vec![
            f.name.clone(),
            told(reference.1),
            told(test.1),
            f.difference_db.map_or_else(|| "–".to_string(), signed),
            between(
                f.difference_lower_db,
                f.difference_db,
                f.difference_upper_db,
            ),
            f.share_lost_percent
                .map_or_else(String::new, |p| format!("{p:.1} %")),
            factor(f.range_factor_free_space),
            factor(f.range_factor),
            f.verdict.as_str().to_string(),
        ]);
    }
    table.render(4)
}

fn signed(value: f64) -> String {
    let text = two(value, Toward::Nearest);
    let sign = if text.starts_with('-') || text == "0.00" {
        ""
    } else {
        "+"
    };
    format!("{sign}{text} dB")
}

fn directions(channel: &ComparedChannel) -> String {
    let Some(d) = &channel.directions else {
        return String::new();
    };
    let left_out = match d.left_out {
        0 => String::new(),
        n => format!(" ({n} left out: filled, missing, marked or without power)"),
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
