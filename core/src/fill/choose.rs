//! Choosing a fill method by leaving out readings next to the gap, and what that says of its error.
//!
//! Each method predicts the patches of [`leave_out`] from what is left of the readings. The method whose predictions are nearest fills the
//! gap. The standard uncertainty of the gap's mean is the root mean square of all these errors, weighted with solid
//! angle; within a patch they are taken to have one sign. It is made wider
//! - by Student's t for the number of patches over its value for many: few patches tell it badly;
//! - by the root mean square of what fills the gap over that of the patches, where that is above 1: a fit errs in proportion to
//!   what it fits, and a gap that holds a peak is harder than its neighbours.

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
#[derive(Clone, Debug)]
pub(crate) struct Choice {
    pub way: Way,
    /// Estimates for the cells of the gap.
    pub values: Vec<f64>,
    pub error: Option<f64>,
}

/// Errors of one way on the patches, weighted with solid angle.
struct Trial {
    way: Way,
    mean_square: f64,
    /// Number of patches that it predicts.
    patches: usize,
    /// Mean square of what was read in them.
    read: f64,
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
    let way = best.as_ref().map_or(Way::Cuts, |b| b.way);
    let values = match (way, projection) {
        (Way::Harmonic(degree), Some(projection)) => projection.at(gap.cells(), degree),
        _ => gap
            .cells()
            .iter()
            .map(|c| plane.values[plane.at(c.0, c.1)])
            .collect(),
    };
    let error = best.map(|best| {
        let shares: Vec<f64> = gap.cells().iter().map(|c| plane.share(*c)).collect();
        let squares: Vec<f64> = values.iter().map(|v| v * v).collect();
        let filled = sum::product(&squares, &shares) / sum::in_order(&shares);
        let student = STUDENT.get(best.patches - 1).map_or(1.0, |t| t / NORMAL);
        let harder = (filled / best.read.max(f64::MIN_POSITIVE)).sqrt().max(1.0);
        let error = student * harder * best.mean_square.sqrt();
        let read = plane
            .values
            .iter()
            .zip(&plane.states)
            .filter(|v| v.1.is_read());
        let largest = read.map(|v| v.0.abs()).fold(0.0, f64::max);
        error.max(ROUNDING * largest)
    });
    Choice {
        way,
        values,
        error: error.filter(|e| e.is_finite()),
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
    let (mut errors, mut read, mut shares) = (Vec::new(), Vec::new(), Vec::new());
    let mut predicted = 0;
    for ((patch, truth), found) in patches.iter().zip(truths).zip(found) {
        let before = shares.len();
        for ((cell, truth), found) in patch.iter().zip(truth).zip(found) {
            if let Some(found) = found {
                shares.push(plane.share(*cell));
                errors.push((found - truth) * (found - truth));
                read.push(truth * truth);
            }
        }
        predicted += usize::from(shares.len() > before);
    }
    let whole = sum::in_order(&shares);
    (whole > 0.0).then(|| Trial {
        way,
        mean_square: sum::product(&errors, &shares) / whole,
        patches: predicted,
        read: sum::product(&read, &shares) / whole,
    })
}
