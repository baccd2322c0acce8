//! Assembly: readings become a sphere.
//!
//! Directions are folded and snapped to the nominal axes, repeats are averaged in the quantity that integrates, poles become
//! one direction each. Nothing is repaired in silence: every decision is a finding or a line of the history.

mod axis;
mod field_pole;
mod fields;
mod interval;
mod pole;
mod powers;
mod repeats;
#[cfg(test)]
pub(crate) mod samples;
mod slots;
#[cfg(test)]
mod tests;

use crate::error::{Error, Result};
use crate::finding::{Finding, unusual_frequency};
use crate::history::Step;
use crate::limits::Limits;
use crate::model::{Direction, Grid, Layout, ListedGrid, Polarisation, Quantity, Readings, Sphere};
use crate::unit::{Frequency, angle};
use crate::watch::{Span, Unwatched};
pub(crate) use axis::{MAX_INTERVALS, MIN_PHI_COUNT, effective_snap};
pub(crate) use interval::Interval;
pub(crate) use pole::{half_of_total, means_at_pole};
use slots::Slots;
pub(crate) use slots::{column, ring};

/// Largest distance of a direction from the nominal axis, unless another is asked for, degrees.
pub const DEFAULT_SNAP_DEG: f64 = 0.1;

/// A sphere, with what was done and found on the way.
#[derive(Clone, Debug)]
#[non_exhaustive]
pub struct Assembled {
    /// The sphere.
    pub sphere: Sphere,
    /// Remarks.
    pub findings: Vec<Finding>,
    /// The step for the history.
    pub step: Step,
    /// What the poles say of both polarisations, to be judged once the range loss is applied; empty where it was judged here.
    balances: Vec<pole::Balance>,
}

impl Assembled {
    /// What the poles say of the range once its losses are applied: `factor` is what theta was multiplied by, over phi, at the
    /// frequency of an index.
    pub(crate) fn poles(&self, factor: impl Fn(usize) -> f64) -> Vec<Finding> {
        pole::of_both(&self.sphere, &self.balances, factor)
    }
}

/// Assembles the readings of one run, from one source or several, into a sphere.
///
/// `snap_deg` is the largest distance from the nominal axes. A grid that is not equal-angle becomes a listed grid.
///
/// # Errors
/// - Usage: no readings at all, sources of different quantities, a snap distance that is not positive;
/// - Limit: more samples than `limits.max_samples`;
/// - Domain: readings of a field in one direction or polarisation only at a pole, where they cannot be turned.
pub fn assemble(runs: &[Readings], snap_deg: f64, limits: &Limits) -> Result<Assembled> {
    assemble_within(runs, snap_deg, limits, Span::whole(&Unwatched))
}

/// As [`assemble`], as a part of a watched call.
pub(crate) fn assemble_within(
    runs: &[Readings],
    snap_deg: f64,
    limits: &Limits,
    span: Span<'_>,
) -> Result<Assembled> {
    span.at(0.0, "finding the grid")?;
    let quantity = common_quantity(runs)?;
    check_snap_deg(snap_deg)?;
    let mut step = Step::new("assemble").option("snap-deg", Some(snap_deg));
    let mut findings = Vec::new();
    let frequencies = union_of_frequencies(runs);
    findings.extend(unusual_frequency(&frequencies));
    let layout = choose_layout(runs, &mut findings);
    let grid = match axis::find(runs, snap_deg) {
        Ok(found) => {
            step.note(format!(
                "equal-angle grid: θ step {}°, φ step {}°, largest deviation {:.3}°",
                found.grid.theta_step_deg(),
                found.grid.phi_step_deg(),
                found.deviation_deg
            ));
            Grid::EqualAngle(found.grid)
        }
        Err(reason) => {
            step.note(format!("listed grid: {reason}"));
            Grid::Listed(listed(runs, &reason))
        }
    };
    let samples = frequencies
        .len()
        .checked_mul(layout.polarisations().len())
        .and_then(|n| n.checked_mul(grid.len()));
    if samples.is_none_or(|n| n > limits.max_samples) {
        return Err(Error::limit(format!(
            "the sphere has more than {} samples",
            limits.max_samples
        ))
        .hint("raise the limit on samples, or reduce fewer frequencies at a time"));
    }
    span.at(0.3, "assembling the readings")?;
    let slots = Slots {
        grid: &grid,
        layout,
        frequencies: &frequencies,
    };
    let (sphere, mut balances) = if quantity.is_complex() {
        let sphere = fields::assemble(runs, quantity, &slots, &mut findings)?;
        (sphere, Vec::new())
    } else {
        powers::assemble(runs, quantity, &slots, &mut findings)?
    };
    span.at(0.9, "looking at the poles")?;
    findings.extend(pole::law(&balances));
    // Before the range loss the polarisations cannot be compared.
    if quantity.needs_range_loss() {
        findings.extend(pole::repeats(&balances));
    } else {
        findings.extend(pole::of_both(&sphere, &balances, |_| 1.0));
        balances.clear();
    }
    Ok(Assembled {
        sphere,
        findings,
        step,
        balances,
    })
}

/// # Errors
/// Usage: a snap distance that is not above 0° and at most 10°.
pub(crate) fn check_snap_deg(snap_deg: f64) -> Result<()> {
    if snap_deg > 0.0 && snap_deg <= 10.0 {
        return Ok(());
    }
    Err(Error::usage(format!(
        "snap distance {snap_deg}° is not in 0…10°"
    )))
}

fn common_quantity(runs: &[Readings]) -> Result<Quantity> {
    let first = runs
        .iter()
        .find(|r| !r.is_empty())
        .ok_or_else(|| Error::usage("there are no readings to assemble"))?;
    match runs
        .iter()
        .find(|r| !r.is_empty() && r.quantity() != first.quantity())
    {
        Some(other) => Err(Error::usage(format!(
            "{} holds {} and {} holds {}",
            first.source(),
            first.quantity(),
            other.source(),
            other.quantity()
        ))
        .hint("the files of one run hold one quantity")),
        None => Ok(first.quantity()),
    }
}

/// All frequencies in ascending order, an unknown one first.
fn union_of_frequencies(runs: &[Readings]) -> Vec<Option<Frequency>> {
    let mut all: Vec<Option<Frequency>> = Vec::new();
    for run in runs.iter().filter(|r| !r.is_empty()) {
        all.extend(run.frequencies());
    }
    all.sort_unstable();
    all.dedup();
    all
}

/// Theta and phi where both are there; the total alone where it is all there is.
fn choose_layout(runs: &[Readings], findings: &mut Vec<Finding>) -> Layout {
    let mut has = [false; 3];
    for run in runs {
        for (flag, polarisation) in
            has.iter_mut()
                .zip([Polarisation::Theta, Polarisation::Phi, Polarisation::Total])
        {
            *flag |= run.has_polarisation(polarisation);
        }
    }
    match has {
        [true, true, _] | [_, _, false] => Layout::ThetaPhi,
        [theta, phi, true] => {
            if theta || phi {
                let single = if theta { "theta" } else { "phi" };
                findings.push(
                    Finding::warning(
                        "single-polarisation-unused",
                        format!("readings of {single} alone beside the total were not used"),
                    )
                    .advice("give both polarisations to have them reduced apart"),
                );
            }
            Layout::TotalOnly
        }
    }
}

fn listed(runs: &[Readings], reason: &str) -> ListedGrid {
    let mut directions: Vec<Direction> = folded(runs)
        .map(|f| Direction {
            theta_deg: f.theta_deg,
            phi_deg: f.phi_deg,
        })
        .collect();
    directions.sort_by(|a, b| {
        a.theta_deg
            .total_cmp(&b.theta_deg)
            .then(a.phi_deg.total_cmp(&b.phi_deg))
    });
    directions.dedup();
    ListedGrid::new(directions, reason)
}

/// Directions of all readings, folded; a reading in the direction of the one before is left out.
fn folded(runs: &[Readings]) -> impl Iterator<Item = angle::Folded> + '_ {
    runs.iter().flat_map(|r| {
        let (mut last_theta, mut last_phi) = (f64::NAN, f64::NAN);
        r.theta_deg()
            .iter()
            .zip(r.phi_deg())
            .filter_map(move |(t, p)| {
                if *t == last_theta && *p == last_phi {
                    return None;
                }
                (last_theta, last_phi) = (*t, *p);
                angle::fold(*t, *p)
            })
    })
}
