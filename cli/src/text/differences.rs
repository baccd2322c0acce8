//! Differences at many frequencies, a row for each.

use super::compared::{Row, bounds, difference, signed, table};
use super::comparison::of_channel;
use super::figure::at;
use super::frequency;
use super::panels::panels;
use super::table::{Align, Table, heading};
use spheresum_core::compare::{ComparedChannel, Directions, TestResult};
use spheresum_core::document::Run;

/// The headline figure in full, then the differences of all others, then where the directions differ most.
pub fn by_frequency(reference: &Run, run: &Run, test: &TestResult) -> String {
    let channels = test.channels.as_slice();
    let figures = channels.first().map_or(&[][..], |c| c.figures.as_slice());
    let (first, others): (Vec<&str>, Vec<&str>) = figures
        .iter()
        .map(|f| f.name.as_str())
        .partition(|name| *name == test.headline);
    let mut out = String::new();
    for name in first {
        let rows: Vec<Row> = channels
            .iter()
            .filter_map(|c| Some((c.frequency_hz, c.figure(name)?)))
            .map(|(at, figure)| {
                Row::new(figure, of_channel(reference, at), of_channel(run, at))
                    .called(frequency(at))
            })
            .collect();
        out.push_str(&heading(name, 2));
        let names = (reference.name.as_str(), test.name.as_str());
        out.push_str(&table("frequency", names, &rows));
    }
    if !others.is_empty() {
        out.push_str(&heading("Differences of the figures", 2));
        out.push_str(&of_figures(channels, &others));
    }
    out.push_str(&of_directions(channels));
    out
}

fn of_figures(channels: &[ComparedChannel], names: &[&str]) -> String {
    let frequencies: Vec<_> = channels.iter().map(|c| c.frequency_hz).collect();
    let out = panels(&frequencies, names, 4, |row, name| {
        let figure = channels.get(row).and_then(|c| c.figure(name));
        figure.map_or_else(String::new, |f| match bounds(f) {
            none if none.is_empty() => difference(f),
            bounds => format!("{} ({bounds})", difference(f)),
        })
    });
    out.trim_start_matches('\n').to_string()
}

fn of_directions(channels: &[ComparedChannel]) -> String {
    let known: Vec<(&ComparedChannel, &Directions)> = channels
        .iter()
        .filter_map(|c| Some((c, c.directions.as_ref()?)))
        .collect();
    if known.is_empty() {
        return String::new();
    }
    let mut table = Table::new(&[
        ("frequency", Align::Right),
        ("smallest", Align::Right),
        ("at", Align::Left),
        ("largest", Align::Right),
        ("at", Align::Left),
        ("compared", Align::Right),
        ("left out", Align::Right),
    ]);
    for (channel, d) in known {
        table.row(vec![
            frequency(channel.frequency_hz),
            signed(d.smallest_db),
            at(d.smallest_at.theta_deg, d.smallest_at.phi_deg),
            signed(d.largest_db),
            at(d.largest_at.theta_deg, d.largest_at.phi_deg),
            d.compared.to_string(),
            d.left_out.to_string(),
        ]);
    }
    let mut out = heading("Differences of the total power over the directions", 2);
    out.push_str(&table.render(4));
    out
}
