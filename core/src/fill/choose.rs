//! Choosing a fill method by leaving out readings next to the gap, and what that says of its error.
//!
//! Each method predicts the patches of [`leave_out`] from what is left of the readings. The method whose
//! predictions are nearest, weighted with solid angle, fills the gap. The standard uncertainty of the gap's mean is the root mean square of the
//! errors of the patches' means; few patches tell it badly, so that it is widened by Student's t for their number over its
//! value for many.

use crate::fill::gap::Gap;
use crate::fill::harmonic::Projection;
use crate::fill::plane::{Cell, Plane};
use crate::fill::{Fill, cap, cuts, leave_out};
use crate::model::State;
use crate::unit::sum;
use std::fmt;

/// Of fits that err alike within this factor, the one of the lowest degree is taken.
const NEAR_BEST: f64 = 1.1;
/// Smallest error of a gap as a share of the largest reading: what rounding does to a fit.
const ROUNDING: f64 = 1e-11;
/// Student's t that 95 % lie within, for 1, 2, … degrees of freedom (closed forms; NIST TN 1297, table B.1, has them rounded).
const STUDENT: [f64; 10] = [
    12.706, 4.303, 3.182, 2.776, 2.571, 2.447, 2.365, 2.306, 2.262, 2.228,
];

/// Its value for many, the normal distribution's.
const NORMAL: f64 = 1.960;

/// The way that a gap is filled.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Way {
    /// Along the cuts, or from the ring means.
    Cuts,
    /// By harmonics up to a degree.
    Harmonic(usize),
}

impl fmt::Display for Way {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Cuts => f.write_str("along the cuts, or from the ring means"),
            Self::Harmonic(degree) => write!(f, "by harmonics of degree {degree}"),
        }
    }
}

/// The way that was chosen for a gap, and the standard uncertainty of its mean.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Choice {
    pub way: Way,
    pub error: Option<f64>,
}

/// Errors of one way on the patches.
struct Trial {
    way: Way,
    /// Of the samples, weighted with solid angle.
    mean_square: f64,
    /// Of the means of the patches.
    of_means: Vec<f64>,
}

/// Chooses for a gap of a plane whose gaps were filled along the cuts.
pub(crate) fn choose(
    plane: &mut Plane,
    gap: &Gap,
    method: Fill,
    projection: Option<&Projection<'_>>,
) -> Choice {
    let patches = leave_out::patches(plane, gap);
    let truths: Vec<Vec<f64>> = patches
        .iter()
        .map(|patch| {
            patch
                .iter()
                .map(|c| plane.values[plane.at(c.0, c.1)])
                .collect()
        })
        .collect();
    let harmonic = projection.and_then(|projection| {
        let by_patch: Vec<Vec<Option<Vec<f64>>>> = patches
            .iter()
            .map(|patch| projection.left_out(patch))
            .collect();
        let trials: Vec<Trial> = (0..projection.degrees())
            .filter_map(|degree| {
                let found: Option<Vec<Vec<Option<f64>>>> = by_patch
                    .iter()
                    .map(|degrees| {
                        let fit = degrees.get(degree)?.as_ref()?;
                        Some(fit.iter().copied().map(Some).collect())
                    })
                    .collect();
                trial(plane, Way::Harmonic(degree), &patches, &truths, &found?)
            })
            .collect();
        let least = trials.iter().map(|t| t.mean_square).reduce(f64::min)?;
        trials
            .into_iter()
            .find(|t| t.mean_square <= least * NEAR_BEST * NEAR_BEST)
    });
    let along = (method != Fill::Harmonic || harmonic.is_none())
        .then(|| {
            let found: Vec<Vec<Option<f64>>> = patches
                .iter()
                .map(|patch| along_cuts(plane, patch))
                .collect();
            trial(plane, Way::Cuts, &patches, &truths, &found)
        })
        .flatten();
    let best = match (along, harmonic) {
        (Some(along), Some(harmonic)) => Some(if harmonic.mean_square < along.mean_square {
            harmonic
        } else {
            along
        }),
        (one, other) => one.or(other),
    };
    let Some(best) = best else {
        return Choice {
            way: Way::Cuts,
            error: None,
        };
    };
    let read = plane
        .values
        .iter()
        .zip(&plane.states)
        .filter(|v| v.1.is_read());
    let largest = read.map(|v| v.0.abs()).fold(0.0, f64::max);
    Choice {
        way: best.way,
        error: spread(&best.of_means).map(|u| u.max(ROUNDING * largest)),
    }
}

/// What the cuts, and the ring means of a cap, give for readings that are left out.
fn along_cuts(plane: &mut Plane, patch: &[Cell]) -> Vec<Option<f64>> {
    let places: Vec<usize> = patch.iter().map(|c| plane.at(c.0, c.1)).collect();
    let states: Vec<State> = places.iter().map(|at| plane.states[*at]).collect();
    for at in &places {
        plane.states[*at] = State::Missing;
    }
    let mut estimates = cuts::fill(plane, patch);
    if estimates.len() < patch.len() {
        estimates.extend(cap::fill(plane));
    }
    for (at, state) in places.iter().zip(states) {
        plane.states[*at] = state;
    }
    estimates.sort_by_key(|e| e.0);
    places
        .iter()
        .map(|at| {
            let found = estimates.binary_search_by_key(at, |e| e.0).ok()?;
            estimates.get(found).map(|e| e.1)
        })
        .collect()
}

/// Errors of predictions; `None` where nothing was predicted.
fn trial(
    plane: &Plane,
    way: Way,
    patches: &[Vec<Cell>],
    truths: &[Vec<f64>],
    found: &[Vec<Option<f64>>],
) -> Option<Trial> {
    let (mut squares, mut weights, mut of_means) = (Vec::new(), Vec::new(), Vec::new());
    for ((patch, truth), found) in patches.iter().zip(truths).zip(found) {
        let (mut errors, mut shares) = (Vec::new(), Vec::new());
        for ((cell, truth), found) in patch.iter().zip(truth).zip(found) {
            if let Some(found) = found {
                let (share, error) = (plane.share(*cell), found - truth);
                shares.push(share);
                errors.push(share * error);
                squares.push(share * error * error);
            }
        }
        let whole = sum::in_order(&shares);
        if whole > 0.0 {
            of_means.push(sum::in_order(&errors) / whole);
            weights.push(whole);
        }
    }
    let whole = sum::in_order(&weights);
    (whole > 0.0).then(|| Trial {
        way,
        mean_square: sum::in_order(&squares) / whole,
        of_means,
    })
}

/// Root mean square of errors, widened for their small number.
fn spread(errors: &[f64]) -> Option<f64> {
    let squares: Vec<f64> = errors.iter().map(|e| e * e).collect();
    let student = STUDENT.get(errors.len().checked_sub(1)?);
    let factor = student.map_or(1.0, |t| t / NORMAL);
    sum::mean(&squares).map(|s| factor * s.sqrt())
}
