//! A reduction as text.

use super::figure::{bounds, direction, meaning, value};
use super::findings::findings;
use super::noise;
use super::number::short;
use super::panels::{BLOCKS, panels};
use super::style::severity;
use super::table::{Align, Table, facts, heading};
use super::{count, frequency};
use spheresum_core::document::Run;
use spheresum_core::figure::{Figure, FigureState};
use spheresum_core::model::Grid;
use spheresum_core::reduce::{ChannelResult, Reduction};
use spheresum_core::{Quantity, Severity};

/// Runs, one after the other.
pub fn reduction(runs: &[Run]) -> String {
    let blocks: Vec<String> = runs.iter().map(one).collect();
    blocks.join("\n")
}

fn one(run: &Run) -> String {
    let reduction = &run.reduction;
    let mut out = head(run);
    if reduction.channels.len() <= BLOCKS {
        for channel in &reduction.channels {
            out.push('\n');
            out.push_str(&heading(&frequency(channel.frequency_hz), 2));
            out.push_str(&table(&channel.figures));
            if let Some(report) = &channel.noise {
                out.push('\n');
                out.push_str(&noise::noise(report));
            }
        }
    } else {
        out.push_str(&by_frequency(&reduction.channels));
    }
    if reduction.channels.len() > 1 && !reduction.summary.is_empty() {
        out.push('\n');
        out.push_str(&heading(
            &format!("Over {} frequencies", reduction.channels.len()),
            2,
        ));
        out.push_str(&table(&reduction.summary));
    }
    let remarks = findings(&[(run.name.as_str(), reduction.findings.as_slice())], 2);
    if !remarks.is_empty() {
        out.push('\n');
        out.push_str(&remarks);
    }
    out
}

/// Name, files, quantity, grid and rule of a run.
fn head(run: &Run) -> String {
    let reduction = &run.reduction;
    let mut out = heading(&run.name, 0);
    out.push_str(&facts(
        &[
            (
                if run.inputs.len() == 1 {
                    "file"
                } else {
                    "files"
                },
                files(run),
            ),
            ("quantity", quantity(reduction.quantity).to_string()),
            ("grid", grid(reduction.sphere.grid())),
            ("integrated", format!("with {}", rule(reduction))),
        ],
        2,
    ));
    out
}

/// The files of a run with their adapters and what they hold.
pub fn files(run: &Run) -> String {
    let files = run.inputs.iter();
    let files =
        files.map(|i| format!("{} ({}, {})", i.path, i.adapter, quantity_word(&i.quantity)));
    files.collect::<Vec<_>>().join(", ")
}

/// Rule, window form and fill method.
pub fn rule(reduction: &Reduction) -> String {
    format!(
        "rule {}, window edges {}, fill {}",
        reduction.rule, reduction.edges, reduction.fill
    )
}

/// A quantity for people.
pub fn quantity(quantity: Quantity) -> &'static str {
    match quantity {
        Quantity::Eirp => "EIRP",
        Quantity::Eis => "EIS",
        Quantity::Gain => "gain",
        Quantity::ReceivedPower => "received power",
        Quantity::InstrumentLevel => "instrument level",
        Quantity::Field(_) => "complex field",
        Quantity::Relative => "relative power",
        _ => "unknown quantity",
    }
}

fn quantity_word(word: &str) -> &str {
    match word {
        "eirp" => "EIRP",
        "eis" => "EIS",
        "received" => "received power",
        "level" => "instrument level",
        other => other,
    }
}

/// A grid for people.
pub fn grid(grid: &Grid) -> String {
    match grid {
        Grid::EqualAngle(g) => format!(
            "equal angle, θ step {}°, φ step {}°{}, {}",
            short(g.theta_step_deg()),
            short(g.phi_step_deg()),
            if g.phi_start_deg() == 0.0 {
                String::new()
            } else {
                format!(" from {}°", short(g.phi_start_deg()))
            },
            count((g.intervals() - 1) * g.phi_count() + 2, "direction"),
        ),
        Grid::Listed(g) => format!(
            "listed, {}: {}",
            count(g.directions().len(), "direction"),
            g.reason()
        ),
    }
}

/// A grid in few words.
pub fn short_grid(grid: &Grid) -> String {
    match grid {
        Grid::EqualAngle(g) => format!(
            "θ {}°, φ {}°",
            short(g.theta_step_deg()),
            short(g.phi_step_deg())
        ),
        Grid::Listed(g) => count(g.directions().len(), "listed direction"),
    }
}

/// Figures under each other.
fn table(figures: &[Figure]) -> String {
    let has_interval = figures.iter().any(|f| f.coverage.is_some());
    let mut table = Table::new(&[
        ("figure", Align::Left),
        ("value", Align::Right),
        ("bounds", Align::Left),
        (
            if has_interval { "interval (95 %)" } else { "" },
            Align::Left,
        ),
        ("direction", Align::Left),
        ("", Align::Left),
    ]);
    let mut reasons: Vec<(&str, &str)> = Vec::new();
    for figure in figures {
        let refused = figure.state == FigureState::Refused;
        let remark = match &figure.reason {
            Some(reason) if refused => match reasons.iter().find(|(said, _)| said == reason) {
                Some((_, name)) => format!("as {name}"),
                None => {
                    reasons.push((reason, &figure.name));
                    reason.clone()
                }
            },
            _ => format!("{}{}", meaning(&figure.name), form(figure)),
        };
        let cells = vec![
            figure.name.clone(),
            value(figure),
            bounds(figure),
            noise::of_figure(figure),
            direction(figure),
            remark,
        ];
        if refused {
            table.styled_row(cells, severity(Severity::Refusal));
        } else {
            table.row(cells);
        }
    }
    table.render(4)
}

/// The form of a partial window.
fn form(figure: &Figure) -> String {
    figure
        .edges
        .map_or_else(String::new, |e| format!("; {} edges", e.as_str()))
}

/// A row for each frequency and a column for each figure.
fn by_frequency(channels: &[ChannelResult]) -> String {
    let figures = channels.first().map_or(&[][..], |c| c.figures.as_slice());
    let names: Vec<&str> = figures.iter().map(|f| f.name.as_str()).collect();
    let frequencies: Vec<_> = channels.iter().map(|c| c.frequency_hz).collect();
    panels(&frequencies, &names, 2, |row, name| {
        let figure = channels.get(row).and_then(|c| c.figure(name));
        figure.map_or_else(String::new, |f| {
            let mut text = value(f);
            let (bounds, direction) = (bounds(f), direction(f));
            if !bounds.is_empty() {
                text.push_str(&format!(" ({bounds})"));
            }
            if !direction.is_empty() {
                text.push_str(&format!(" at {direction}"));
            }
            text
        })
    })
}
