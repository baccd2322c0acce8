//! What a run of files holds, as text.

use super::figure::at;
use super::findings::findings;
use super::number::{Toward, short, two};
use super::ports::ports;
use super::reduction::{grid, quantity};
use super::table::{Align, Table, facts, heading};
use super::{count, frequency, paragraph};
use spheresum_core::figure::Unit;
use spheresum_core::fill::Filled;
use spheresum_core::finding::floor_margins;
use spheresum_core::intake::{Candidate, Confidence};
use spheresum_core::model::{Sphere, State};
use spheresum_core::survey::PolarisationSurvey;
use spheresum_core::{Curve, Finding, Polarisation, Quantity, Readings};

/// Most metadata lines and frequencies that are shown.
const MOST: usize = 12;

/// A file: its adapters.
pub fn file(path: &str, sha256: &str, adapter: &str, candidates: &[Candidate]) -> String {
    let mut said: Vec<(&str, String)> = vec![("sha256", sha256.to_string())];
    for candidate in candidates.iter().filter(|c| c.id == adapter) {
        said.push((
            "adapter",
            format!(
                "{} ({}: {})",
                candidate.id,
                sure(candidate.look.confidence),
                candidate.look.reason
            ),
        ));
    }
    for candidate in candidates
        .iter()
        .filter(|c| c.id != adapter && c.look.confidence > Confidence::None)
    {
        said.push((
            "also",
            format!(
                "{} ({}: {})",
                candidate.id,
                sure(candidate.look.confidence),
                candidate.look.reason
            ),
        ));
    }
    format!("{}{}", heading(path, 0), facts(&said, 2))
}

fn sure(confidence: Confidence) -> &'static str {
    match confidence {
        Confidence::None => "not recognised",
        Confidence::Maybe => "maybe",
        Confidence::Likely => "likely",
        Confidence::Certain => "certain",
    }
}

/// What readings hold.
pub fn readings(readings: &Readings, survey: &[PolarisationSurvey]) -> String {
    let mut frequencies: Vec<String> = readings
        .frequencies()
        .iter()
        .map(|f| frequency(*f))
        .collect();
    if frequencies.len() > MOST {
        let more = frequencies.len() - MOST;
        frequencies.truncate(MOST);
        frequencies.push(format!("… and {more} more"));
    }
    let mut said = vec![
        ("quantity", quantity(readings.quantity()).to_string()),
        ("readings", readings.len().to_string()),
        ("frequencies", frequencies.join(", ")),
    ];
    for one in survey {
        said.push((one.polarisation.as_str(), levels(one, readings.quantity())));
    }
    for (key, value) in readings.metadata().iter().take(MOST) {
        said.push(("metadata", format!("{key}: {value}")));
    }
    facts(&said, 2)
}

fn levels(one: &PolarisationSurvey, quantity: Quantity) -> String {
    let unit = match quantity {
        Quantity::Gain => Unit::Dbi,
        Quantity::Field(_) | Quantity::Relative => Unit::Db,
        _ => Unit::Dbm,
    };
    let level = |x: f64| {
        if x > 0.0 {
            two(unit.of_linear(x), Toward::Nearest)
        } else {
            "0 W".to_string()
        }
    };
    let mut text = count(one.readings, "reading");
    if let Some((low, high)) = one.range {
        text.push_str(&format!(
            ", {} … {} {}",
            level(low),
            level(high),
            unit.symbol()
        ));
    }
    for (n, word) in [(one.at_most, "<"), (one.at_least, ">")] {
        if n > 0 {
            text.push_str(&format!(", {n} marked {word}"));
        }
    }
    text
}

/// The sphere that the readings make, with what is missing of it.
pub fn sphere(sphere: &Sphere, filled: Option<&Filled>, remarks: &[Finding]) -> String {
    let mut said = vec![("grid", grid(sphere.grid()))];
    if let Some(filled) = filled {
        let mut missing: Vec<String> = Vec::new();
        let mut whole = false;
        for (f, at) in sphere.frequencies().iter().enumerate() {
            for (p, polarisation) in sphere.layout().polarisations().iter().enumerate() {
                let share = filled.missing.share_of(f, p);
                whole |= share > 0.99;
                if share > 0.0 && missing.len() < MOST {
                    let directions = count(absent(sphere, f, p), "direction");
                    let percent = two(100.0 * share, Toward::Nearest);
                    missing.push(format!(
                        "{polarisation} at {}: {directions}, {percent} % of the sphere",
                        frequency(*at)
                    ));
                }
            }
        }
        said.push((
            "missing",
            if missing.is_empty() {
                "nothing".to_string()
            } else {
                missing.join("; ")
            },
        ));
        // Poles are settled from both polarisations.
        if !whole {
            said.push(("poles", poles(sphere)));
        }
    }
    if let Some(margins) = margins(sphere) {
        said.push(("floor margin", margins));
    }
    let mut out = facts(&said, 2);
    out.push_str(&self::remarks(remarks));
    out
}

/// How far the weakest readings lie below the strongest; nothing where no floor is to be feared.
fn margins(sphere: &Sphere) -> Option<String> {
    let all = floor_margins(sphere);
    let several = sphere.frequencies().len() > 1;
    let each: Vec<String> = all
        .iter()
        .take(MOST)
        .map(|m| {
            let at = match sphere.frequencies().get(m.frequency) {
                Some(f) if several => format!(" at {}", frequency(*f)),
                _ => String::new(),
            };
            format!("{}{at} {:.1} dB", m.polarisation, m.margin_db)
        })
        .collect();
    let more = match all.len() - each.len() {
        0 => String::new(),
        n => format!(" and {n} more"),
    };
    (!each.is_empty()).then(|| {
        format!(
            "{}{more}, from the weakest twentieth to the strongest",
            each.join(", ")
        )
    })
}

/// Findings of the files.
pub fn remarks(remarks: &[Finding]) -> String {
    findings(&[("", remarks)], 2)
}

/// Number of directions that were not read.
fn absent(sphere: &Sphere, frequency: usize, polarisation: usize) -> usize {
    let missing =
        |d: &usize| sphere.states().get((frequency, polarisation, *d)) == Some(&State::Missing);
    sphere
        .grid()
        .equal_angle()
        .map_or(0, |g| g.distinct().filter(missing).count())
}

fn poles(sphere: &Sphere) -> String {
    let (_, _, directions) = sphere.states().dim();
    let read = |d: usize| {
        sphere
            .states()
            .iter()
            .skip(d)
            .step_by(directions)
            .all(|s| s.is_read())
    };
    match (read(0), read(directions.saturating_sub(1))) {
        (true, true) => "both read".to_string(),
        (true, false) => format!("only {} read", at(0.0, 0.0)),
        (false, true) => format!("only {} read", at(180.0, 0.0)),
        (false, false) => "not read".to_string(),
    }
}

/// A curve: its port data, and its points.
pub fn curve(curve: &Curve) -> String {
    let (theta, phi) = (Polarisation::Theta, Polarisation::Phi);
    let of_ports = curve.ports().map(ports).unwrap_or_default();
    if curve.points(theta).is_empty() && curve.points(phi).is_empty() {
        return of_ports;
    }
    format!("{of_ports}{}", points(curve))
}

fn points(curve: &Curve) -> String {
    let mut table = Table::new(&[
        ("frequency", Align::Right),
        ("theta", Align::Right),
        ("phi", Align::Right),
    ]);
    let points = |p| curve.points(p).iter();
    let mut all: Vec<_> = points(Polarisation::Theta)
        .chain(points(Polarisation::Phi))
        .map(|p| p.0)
        .collect();
    all.sort_unstable();
    all.dedup();
    let value = |p, f| {
        let found = curve.points(p).iter().find(|(at, _)| *at == f);
        found.map_or_else(String::new, |(_, db)| format!("{} dB", short(*db)))
    };
    for f in all {
        table.row(vec![
            f.to_string(),
            value(Polarisation::Theta, f),
            value(Polarisation::Phi, f),
        ]);
    }
    format!(
        "{}{}",
        paragraph("a curve against frequency", 2),
        table.render(4)
    )
}
