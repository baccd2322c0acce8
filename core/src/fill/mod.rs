//! Filling of gaps: directions that were never measured get an estimate, a state of their own, and bounds.

pub mod cap;
mod choose;
mod cuts;
mod gap;
mod harmonic;
mod leave_out;
mod method;
mod missing;
mod plane;

use crate::error::{Error, Result};
use crate::finding::Finding;
use crate::history::Step;
use crate::model::{Bound, Data, EqualAngleGrid, Sphere, State};
use choose::{Choice, Way};
use gap::Gap;
use harmonic::Harmonics;
use leave_out::Globe;
pub use method::Fill;
pub use missing::{FilledGap, Missing};
use plane::Plane;
use std::collections::BTreeMap;

/// A sphere whose gaps are filled.
#[derive(Clone, Debug)]
#[non_exhaustive]
pub struct Filled {
    /// The sphere.
    pub sphere: Sphere,
    /// What was missing.
    pub missing: Missing,
    /// Remarks.
    pub findings: Vec<Finding>,
    /// The step for the history.
    pub step: Step,
}

/// Finds the gaps of a power-like sphere on an equal-angle grid, and fills them.
///
/// A filled sample lies between 0 and the largest reading that borders its gap (one value for the whole gap): an assumption. Where that reading
/// is larger than every reading of the next ring outward, the pattern rises into the gap and there is no upper bound.
///
/// # Errors
/// Usage: a complex sphere, or a listed grid.
pub fn fill(sphere: Sphere, method: Fill) -> Result<Filled> {
    let mut step = Step::new("fill").option("fill", Some(method));
    let Some(grid) = sphere.grid().equal_angle().copied() else {
        return Err(Error::usage("gaps are filled on equal-angle grids only"));
    };
    if sphere.power().is_none() {
        return Err(Error::usage(
            "gaps are filled in powers; turn the field into powers first",
        ));
    }
    let (frequencies, polarisations, _) = sphere.states().dim();
    let mut missing = Missing {
        share: vec![vec![0.0; polarisations]; frequencies],
        rises: vec![false; frequencies],
        filled: Vec::new(),
    };
    if sphere.states().iter().all(|s| *s != State::Missing) {
        step.note("nothing was missing");
        return Ok(Filled {
            sphere,
            missing,
            findings: Vec::new(),
            step,
        });
    }
    let mut parts = sphere.into_parts();
    let mut findings = Vec::new();
    let mut filled = 0;
    let mut harmonics: Option<Harmonics> = None;
    let mut ways: BTreeMap<Way, usize> = BTreeMap::new();
    if let Data::Power(values) = &mut parts.data {
        for f in 0..frequencies {
            for p in 0..polarisations {
                let mut plane = Plane::new(grid, (f, p), values, &parts.states);
                let gaps = gap::find(&plane);
                missing.share[f][p] = gaps.iter().map(Gap::share).sum();
                let rising: Vec<&Gap> = gaps
                    .iter()
                    .filter(|g| g.rises() && !g.is_everything())
                    .collect();
                missing.rises[f] |= !rising.is_empty();
                if let Some(finding) = rising_finding(&grid, &rising) {
                    push_once(&mut findings, finding);
                }
                if method == Fill::None || gaps.iter().any(Gap::is_everything) {
                    continue;
                }
                if method != Fill::Cuts && !gaps.is_empty() {
                    harmonics = harmonics
                        .filter(|h| h.fits(&plane))
                        .or_else(|| Harmonics::new(&plane));
                }
                let harmonics = harmonics.as_ref().filter(|_| method != Fill::Cuts);
                let choices = fill_plane(&mut plane, &gaps, method, harmonics);
                for (gap, choice) in gaps.iter().zip(choices) {
                    *ways.entry(choice.way).or_insert(0) += 1;
                    missing.filled.push(FilledGap {
                        frequency: f,
                        polarisation: p,
                        rings: gap.rings(&grid),
                        error: choice.error,
                    });
                }
                for gap in &gaps {
                    for direction in gap.directions(&grid) {
                        // What has readings on no side stays missing.
                        if plane.states[direction] != State::Filled {
                            continue;
                        }
                        // The estimate keeps to what its bound assumes.
                        let upper = gap.upper();
                        let estimate = plane.values[direction];
                        values[(f, p, direction)] = upper.map_or(estimate, |u| estimate.min(u));
                        parts.states[(f, p, direction)] = State::Filled;
                        parts.bounds.push(Bound {
                            at: (f, p, direction),
                            lower: 0.0,
                            upper,
                        });
                        filled += 1;
                    }
                }
            }
        }
    }
    step.note(format!("{filled} samples filled"));
    if method == Fill::Auto || method == Fill::Harmonic {
        for (way, count) in ways {
            let gaps = if count == 1 { "gap" } else { "gaps" };
            step.note(format!("{count} {gaps} filled {way}"));
        }
    }
    if missing.filled.iter().any(|g| g.error.is_none()) {
        findings.push(unknown_error());
    }
    Ok(Filled {
        sphere: parts.build()?,
        missing,
        findings,
        step,
    })
}

/// Fills the gaps of a plane; gives what was chosen for each.
fn fill_plane(
    plane: &mut Plane,
    gaps: &[Gap],
    method: Fill,
    harmonics: Option<&Harmonics>,
) -> Vec<Choice> {
    let projection = harmonics.map(|h| h.project(plane));
    let cells: Vec<plane::Cell> = gaps.iter().flat_map(Gap::cells).copied().collect();
    for (direction, value) in cuts::fill(plane, &cells) {
        plane.values[direction] = value;
        plane.states[direction] = State::Filled;
    }
    for (direction, value) in cap::fill(plane) {
        plane.values[direction] = value;
        plane.states[direction] = State::Filled;
    }
    let globe = Globe::new(&plane.grid);
    let choices: Vec<Choice> = gaps
        .iter()
        .map(|gap| choose::choose(plane, &globe, gap, method, projection.as_ref()))
        .collect();
    for (gap, choice) in gaps.iter().zip(&choices) {
        if choice.way == Way::Cuts {
            continue;
        }
        for (cell, value) in gap.cells().iter().zip(&choice.values) {
            let at = plane.at(cell.0, cell.1);
            let pole = plane.grid.is_pole(cell.0);
            let count = if pole { plane.grid.phi_count() } else { 1 };
            plane.values[at..at + count].fill(*value);
            plane.states[at..at + count].fill(State::Filled);
        }
    }
    choices
}

fn unknown_error() -> Finding {
    Finding::warning(
        "gap-error-unknown",
        "nothing next to a gap tells how well it was filled: the intervals leave its error out",
    )
    .advice("measure the missing directions, or go by the bounds")
}

/// The same remark about another frequency or polarisation is not repeated.
fn push_once(findings: &mut Vec<Finding>, finding: Finding) {
    if findings
        .iter()
        .all(|f| f.code != finding.code || f.message != finding.message)
    {
        findings.push(finding);
    }
}

fn rising_finding(grid: &EqualAngleGrid, rising: &[&Gap]) -> Option<Finding> {
    let (theta, phi) = rising.first()?.extent(grid);
    let span = |(from, to): (f64, f64)| {
        if from == to {
            format!("{from}°")
        } else {
            format!("{from}…{to}°")
        }
    };
    let place = format!("θ {}, φ {}", span(theta), span(phi));
    Some(
        Finding::warning(
            "rises-into-gap",
            format!("the pattern rises into the gap at {place}: nothing bounds what is in there"),
        )
        .advice(format!("measure the directions {place}")),
    )
}
