//! What every result of an adapter is: readings or a curve, of the file, within the limits.

use super::bench::Fault;
use super::error::place_faults;
use crate::intake::{Description, Intake, Source, Yield};
use crate::limits::Limits;
use crate::model::{Curve, Polarisation, Readings};
use std::collections::BTreeSet;

const ONE: &str =
    "hand over readings or a curve, not both or neither, and describe in `Yield` which";
const EMPTY: &str = "a file without a reading is an Input error, not an empty result";
const QUANTITY: &str = "list every quantity in the description: `.with_quantities(&[…])`";
const SOURCE: &str = "name readings and curves after their source: `source.name()`";
const LIMITS: &str =
    "make readings with the limits of the call, and honour each limit while reading";
const LINE: &str = "give each reading the line it comes from, from 1, or 0 where there is none";
const SHARE: &str = "hand over in proportion to the file: a count that a file claims must not make readings, findings or metadata";
const FINDING: &str = "give each finding a code and a sentence";

/// Metadata may take this many times the bytes of the file, and a kilobyte.
const METADATA_FACTOR: usize = 4;
const METADATA_SLACK: usize = 1024;
/// Findings may be one a line, and a few for the file.
const FINDINGS_SLACK: usize = 16;

/// What is wrong with a result. `bytes` is the file as on disk.
pub(super) fn faults(
    intake: &Intake,
    source: &Source,
    bytes: &[u8],
    limits: &Limits,
    description: &Description,
) -> Vec<Fault> {
    let mut found = Vec::new();
    let lines = source.lines().count();
    match (&intake.readings, &intake.curve, description.yields) {
        (Some(readings), None, Yield::Readings | Yield::Either) => {
            readings_faults(readings, source, bytes, limits, description, &mut found);
        }
        (None, Some(curve), Yield::Curve | Yield::Either) => {
            curve_faults(curve, source, limits, &mut found);
        }
        (readings, curve, yields) => found.push(Fault::new(
            format!(
                "readings: {}, curve: {}, described as {yields:?}",
                readings.is_some(),
                curve.is_some()
            ),
            ONE,
        )),
    }
    if intake.findings.len() > lines + FINDINGS_SLACK {
        let seen = format!("{} findings from {lines} lines", intake.findings.len());
        found.push(Fault::new(seen, SHARE));
    }
    for finding in &intake.findings {
        if finding.code.trim().is_empty() || finding.message.trim().is_empty() {
            found.push(Fault::new(format!("{finding:?}"), FINDING));
        }
        if let Some(place) = &finding.place {
            let shown = format!("finding {}: {}", finding.code, finding.message);
            found.extend(place_faults(place, source, bytes, &shown));
        }
    }
    found
}

fn readings_faults(
    readings: &Readings,
    source: &Source,
    bytes: &[u8],
    limits: &Limits,
    description: &Description,
    found: &mut Vec<Fault>,
) {
    if readings.is_empty() {
        found.push(Fault::new("readings without a reading", EMPTY));
    }
    let word = readings.quantity().as_str();
    if !description.quantities.iter().any(|q| q == word) {
        let seen = format!("{word} is not among {:?}", description.quantities);
        found.push(Fault::new(seen, QUANTITY));
    }
    if readings.source() != source.name() {
        found.push(Fault::new(
            format!("readings of {:?}", readings.source()),
            SOURCE,
        ));
    }
    let frequencies = readings.frequencies().len();
    if readings.len() > limits.max_readings || frequencies > limits.max_frequencies {
        let seen = format!(
            "{} readings at {frequencies} frequencies, where {} and {} are the limits",
            readings.len(),
            limits.max_readings,
            limits.max_frequencies
        );
        found.push(Fault::new(seen, LIMITS));
    }
    if readings.len() > bytes.len() {
        let seen = format!("{} readings from {} bytes", readings.len(), bytes.len());
        found.push(Fault::new(seen, SHARE));
    }
    let metadata: usize = readings
        .metadata()
        .iter()
        .map(|(k, v)| k.len() + v.len())
        .sum();
    if metadata > bytes.len().saturating_mul(METADATA_FACTOR) + METADATA_SLACK {
        let seen = format!("{metadata} bytes of metadata from {} bytes", bytes.len());
        found.push(Fault::new(seen, SHARE));
    }
    let lines = source.lines().count() as u64;
    if let Some(reading) = readings.iter().find(|r| u64::from(r.line) > lines) {
        let seen = format!("a reading of line {} of {lines}", reading.line);
        found.push(Fault::new(seen, LINE));
    }
}

fn curve_faults(curve: &Curve, source: &Source, limits: &Limits, found: &mut Vec<Fault>) {
    let points = most_points(curve);
    if points == 0 {
        found.push(Fault::new("a curve without a point", EMPTY));
    }
    if points > limits.max_frequencies {
        let seen = format!(
            "{points} frequencies, where {} is the limit",
            limits.max_frequencies
        );
        found.push(Fault::new(seen, LIMITS));
    }
    let values = curve.ports().map_or(0, |p| p.values().len());
    if values > limits.max_readings {
        let seen = format!(
            "{values} values, where {} is the limit",
            limits.max_readings
        );
        found.push(Fault::new(seen, LIMITS));
    }
    if curve.source() != source.name() {
        found.push(Fault::new(
            format!("a curve of {:?}", curve.source()),
            SOURCE,
        ));
    }
}

/// Points of the polarisation, or of the ports, with the most of them.
pub(super) fn most_points(curve: &Curve) -> usize {
    let theta = curve.points(Polarisation::Theta).len();
    let ports = curve.ports().map_or(0, |p| p.frequencies().len());
    theta.max(curve.points(Polarisation::Phi).len()).max(ports)
}

/// Different frequencies of a curve.
pub(super) fn frequencies(curve: &Curve) -> usize {
    let both = [Polarisation::Theta, Polarisation::Phi];
    let all: BTreeSet<_> = both
        .iter()
        .flat_map(|p| curve.points(*p))
        .map(|p| p.0)
        .chain(
            curve
                .ports()
                .into_iter()
                .flat_map(|p| p.frequencies().iter().copied()),
        )
        .collect();
    all.len()
}
