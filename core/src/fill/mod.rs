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
use crate::watch::{Span, Unwatched};
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
/// is larger than every reading of the next ring outward, the pattern rises into the gap and there is no upper bound. An estimate keeps to these
/// bounds; below zero it may be only where readings of its polarisation are, as after a subtraction of noise.
///
/// # Errors
/// Usage: a complex sphere, or a listed grid.
pub fn fill(sphere: Sphere, method: Fill) -> Result<Filled> {
    fill_within(sphere, method, Span::whole(&Unwatched))
}

/// As [`fill()`], as a part of a watched call, which is told of each polarisation at each frequency.
pub(crate) fn fill_within(sphere: Sphere, method: Fill, span: Span<'_>) -> Result<Filled> {
    span.at(0.0, "looking for gaps")?;
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
                span.nth(f * polarisations + p, frequencies * polarisations)
                    .at(0.0, "filling gaps")?;
                let mut plane = Plane::new(grid, (f, p), values, &parts.states);
                let least = least_estimate(&plane);
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
                    // A gap that nothing fills is missing still, and no matter of uncertainty.
                    let mut cells = gap.directions(&grid).into_iter();
                    if cells.all(|direction| plane.states[direction] != State::Filled) {
                        continue;
                    }
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
                        let estimate = plane.values[direction].max(least);
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

/// Least that an estimate may be: no power is below zero, unless noise was taken off.
fn least_estimate(plane: &Plane) -> f64 {
    let mut read = plane.values.iter().zip(&plane.states);
    match read.any(|(value, state)| state.is_read() && *value < 0.0) {
        true => f64::NEG_INFINITY,
        false => 0.0,
    }
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

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::model::{Grid, Layout, Quantity};
    use ndarray::Array3;

    /// −1 µW everywhere, but for a gap in both polarisations.
    fn below_zero(gap: impl Fn(usize, usize) -> bool) -> Sphere {
        let grid = EqualAngleGrid::try_new(12, 24, 0.0).unwrap();
        let shape = (1, 2, 13 * 24);
        let gone = |d: usize| gap(d / 24, d % 24);
        let value = |(_, _, d): (usize, usize, usize)| if gone(d) { 0.0 } else { -1e-6 };
        let state = |(_, _, d): (usize, usize, usize)| {
            if gone(d) {
                State::Missing
            } else {
                State::Measured
            }
        };
        Sphere::try_new(
            Quantity::Eirp,
            Grid::EqualAngle(grid),
            Layout::ThetaPhi,
            vec![None],
            Data::Power(Array3::from_shape_fn(shape, value)),
            Array3::from_shape_fn(shape, state),
            Vec::new(),
        )
        .unwrap()
    }

    #[test]
    fn what_is_below_zero_is_filled_below_zero() {
        // Closed form: a constant is reproduced by every method.
        let gaps: [fn(usize, usize) -> bool; 4] = [
            |r, c| (r, c) == (5, 5),
            |r, c| c == 7 && r > 0 && r < 12,
            |r, c| (3..6).contains(&r) && c < 4,
            |r, _| r > 10,
        ];
        for method in [Fill::Auto, Fill::Harmonic, Fill::Cuts] {
            for gap in gaps {
                let filled = fill(below_zero(gap), method).unwrap();
                let values = filled.sphere.power().unwrap();
                assert!(values.iter().all(|v| (v + 1e-6).abs() < 1e-14), "{method}");
                assert_eq!(filled.missing.filled.len(), 2);
                for gap in &filled.missing.filled {
                    assert!(gap.error.is_some_and(|u| u > 0.0 && u < 1e-12), "{gap:?}");
                }
                // A power is not below zero, whatever its readings are.
                for bound in filled.sphere.bounds() {
                    assert_eq!((bound.lower, bound.upper), (0.0, Some(0.0)));
                }
            }
        }
    }

    #[test]
    fn no_estimate_is_below_zero_where_no_reading_is() {
        // 1 W within 30° of the north pole and 1 mW elsewhere: what is fitted to it swings about, below zero too, and a power does not.
        let grid = EqualAngleGrid::try_new(12, 24, 0.0).unwrap();
        let shape = (1, 1, 13 * 24);
        let least = |ring: usize, offset: f64| {
            let gone = |d: usize| d / 24 == ring;
            let power = |d: usize| if d / 24 < 3 { 1.0 } else { 1e-3 };
            let sphere = Sphere::try_new(
                Quantity::Eirp,
                Grid::EqualAngle(grid),
                Layout::TotalOnly,
                vec![None],
                Data::Power(Array3::from_shape_fn(shape, |at| match gone(at.2) {
                    true => 0.0,
                    false => power(at.2) - offset,
                })),
                Array3::from_shape_fn(shape, |at| match gone(at.2) {
                    true => State::Missing,
                    false => State::Measured,
                }),
                Vec::new(),
            )
            .unwrap();
            let filled = fill(sphere, Fill::Harmonic).unwrap().sphere;
            let values = filled.power().unwrap();
            let gap = (ring * 24..(ring + 1) * 24).map(|d| values[(0, 0, d)]);
            gap.fold(f64::INFINITY, f64::min)
        };
        let clean: Vec<f64> = (4..11).map(|ring| least(ring, 0.0)).collect();
        assert!(
            clean.contains(&0.0) && clean.iter().all(|v| *v >= 0.0),
            "{clean:?}"
        );
        // Readings below zero: noise was taken off, and estimates may be there too.
        assert!((4..11).any(|ring| least(ring, 2e-3) < -2e-3));
    }

    #[test]
    fn a_gap_that_nothing_tells_of_has_no_error() {
        // One column of readings: neither cuts nor harmonics predict any neighbour.
        let filled = fill(below_zero(|_, c| c != 5), Fill::Auto).unwrap();
        assert!(filled.missing.filled.iter().all(|g| g.error.is_none()));
        let codes: Vec<&str> = filled.findings.iter().map(|f| f.code.as_str()).collect();
        assert!(
            !filled.missing.filled.is_empty() && codes.contains(&"gap-error-unknown"),
            "{codes:?}"
        );
    }

    #[test]
    fn a_pole_bounds_a_total_by_itself_and_a_polarisation_by_both() {
        // Design: a gap lies at most at the largest reading that borders it. One direction of ring 1 is missing; the pole holds 1 W, ring 1
        // 0.9 W, ring 2 2 W elsewhere, so that nothing rises. A total is bounded by 1 W; a polarisation's pole holds half of 2 W.
        let grid = EqualAngleGrid::try_new(12, 24, 0.0).unwrap();
        for (layout, count, wanted) in [(Layout::TotalOnly, 1, 1.0), (Layout::ThetaPhi, 2, 2.0)] {
            let shape = (1, count, 13 * 24);
            let gone = |d: usize| d == 24 + 5;
            let value = |(_, _, d): (usize, usize, usize)| match d / 24 {
                0 => 1.0,
                1 if gone(d) => 0.0,
                1 => 0.9,
                2 if d == 48 + 5 => 0.95,
                _ => 2.0,
            };
            let state = |(_, _, d): (usize, usize, usize)| {
                if gone(d) {
                    State::Missing
                } else {
                    State::Measured
                }
            };
            let sphere = Sphere::try_new(
                Quantity::Eirp,
                Grid::EqualAngle(grid),
                layout,
                vec![None],
                Data::Power(Array3::from_shape_fn(shape, value)),
                Array3::from_shape_fn(shape, state),
                Vec::new(),
            )
            .unwrap();
            let filled = fill(sphere, Fill::Cuts).unwrap();
            for bound in filled.sphere.bounds() {
                assert_eq!(bound.upper, Some(wanted), "{layout:?}");
            }
            assert_eq!(filled.sphere.bounds().len(), count);
        }
    }

    #[test]
    fn words_come_back() {
        for method in Fill::ALL {
            assert_eq!(method.as_str().parse::<Fill>().unwrap(), method);
        }
        assert!("spline".parse::<Fill>().is_err());
    }
}
