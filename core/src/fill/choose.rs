//! Choosing a fill method by leaving out readings next to the gap, and what that says of its error.
//!
//! Each method predicts the patches of [`leave_out`] from what is left of the readings. The method whose predictions are nearest fills the
//! gap. The standard uncertainty of the gap's mean is the root mean square of all these errors, weighted with solid
//! angle, of whole rings by their means; within a patch they are taken to have one sign. It is made wider
//! - by Student's t for the number of patches over its value for many: few patches tell it badly;
//! - by the root mean square of what fills the gap over that of the patches, where that is above 1, but not beyond the former: a fit
//!   errs in proportion to what it fits, and a gap that holds a peak is harder than its neighbours.

use crate::fill::gap::Gap;
use crate::fill::harmonic::Projection;
use crate::fill::leave_out::{self, Globe};
use crate::fill::plane::{Cell, Plane};
use crate::fill::{Fill, cap, cuts};
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

/// Readings next to a gap that are left out.
struct Patches {
    cells: Vec<Vec<Cell>>,
    truths: Vec<Vec<f64>>,
}

/// Chooses for a gap of a plane whose gaps were filled along the cuts.
pub(crate) fn choose(
    plane: &mut Plane,
    globe: &Globe,
    gap: &Gap,
    method: Fill,
    projection: Option<&Projection<'_>>,
) -> Choice {
    let cells = leave_out::patches(plane, globe, gap);
    let value = |plane: &Plane, cell: &Cell| plane.values[plane.at(cell.0, cell.1)];
    let values = |patch: &Vec<Cell>| patch.iter().map(|c| value(plane, c)).collect();
    let truths = cells.iter().map(values).collect();
    let patches = Patches { cells, truths };
    let harmonic = projection.and_then(|p| by_harmonics(plane, &patches, p));
    let along = if method == Fill::Harmonic && harmonic.is_some() {
        None
    } else if harmonic.is_some() && !is_filled(plane, gap) {
        // What has readings on no side is left to the harmonics.
        None
    } else {
        by_cuts(plane, &patches)
    };
    let best = match (along, harmonic) {
        (Some(along), Some(harmonic)) if harmonic.mean_square >= along.mean_square => Some(along),
        (along, harmonic) => harmonic.or(along),
    };
    let way = best.as_ref().map_or(Way::Cuts, |b| b.way);
    let values: Vec<f64> = match (way, projection) {
        (Way::Harmonic(degree), Some(projection)) => projection.at(gap.cells(), degree),
        _ => gap.cells().iter().map(|c| value(plane, c)).collect(),
    };
    let error = best.and_then(|best| error(plane, gap, &values, &best));
    Choice { way, values, error }
}

/// True where the cuts, or the ring means, filled all of a gap beside its pole.
fn is_filled(plane: &Plane, gap: &Gap) -> bool {
    let mut inner = gap.cells().iter().filter(|c| !plane.grid.is_pole(c.0));
    inner.all(|c| plane.states[plane.at(c.0, c.1)] == State::Filled)
}

/// The harmonics of the lowest degree that errs within 10 % of the best.
fn by_harmonics(plane: &Plane, patches: &Patches, projection: &Projection<'_>) -> Option<Trial> {
    let fits: Vec<Vec<Option<Vec<f64>>>> = patches
        .cells
        .iter()
        .map(|patch| projection.left_out(patch))
        .collect();
    let of_degree = |degree: usize| {
        let mut found = Vec::with_capacity(fits.len());
        for degrees in &fits {
            let fit = degrees.get(degree)?.as_ref()?;
            found.push(fit.iter().copied().map(Some).collect());
        }
        trial(plane, Way::Harmonic(degree), patches, &found)
    };
    let trials: Vec<Trial> = (0..projection.degrees()).filter_map(of_degree).collect();
    let least = trials.iter().map(|t| t.mean_square).reduce(f64::min)?;
    trials
        .into_iter()
        .find(|t| t.mean_square <= least * NEAR_BEST * NEAR_BEST)
}

fn by_cuts(plane: &mut Plane, patches: &Patches) -> Option<Trial> {
    let mut found = Vec::with_capacity(patches.cells.len());
    for patch in &patches.cells {
        found.push(along_cuts(plane, patch));
    }
    trial(plane, Way::Cuts, patches, &found)
}

/// Standard uncertainty of the mean of what fills a gap; `None` where it is not finite.
fn error(plane: &Plane, gap: &Gap, values: &[f64], best: &Trial) -> Option<f64> {
    let (mut squares, mut shares) = (Vec::new(), Vec::new());
    for (cell, value) in gap.cells().iter().zip(values) {
        if !plane.grid.is_pole(cell.0) {
            squares.push(value * value);
            shares.push(plane.share(*cell));
        }
    }
    let filled = (sum::product(&squares, &shares) / sum::in_order(&shares)).sqrt();
    let student = best.patches.checked_sub(1).and_then(|k| STUDENT.get(k));
    let next_to_it = student.map_or(1.0, |t| t / NORMAL) * best.mean_square.sqrt();
    let read = best.read.sqrt();
    // Not more than all that fills the gap, unless the patches say so.
    let harder = if filled > read && read > 0.0 {
        (next_to_it * filled / read).min(filled)
    } else {
        0.0
    };
    let of_plane = plane.values.iter().zip(&plane.states);
    let readings = of_plane.filter(|v| v.1.is_read()).map(|v| v.0.abs());
    let rounding = ROUNDING * readings.fold(0.0, f64::max);
    Some(next_to_it.max(harder).max(rounding)).filter(|u| u.is_finite())
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

/// Errors of predictions, of whole rings by their means; `None` where nothing was predicted. Cells come ring by ring.
fn trial(plane: &Plane, way: Way, patches: &Patches, found: &[Vec<Option<f64>>]) -> Option<Trial> {
    let (mut errors, mut read, mut shares) = (Vec::new(), Vec::new(), Vec::new());
    let mut predicted = 0;
    for ((patch, truth), found) in patches.cells.iter().zip(&patches.truths).zip(found) {
        let before = shares.len();
        let mut from = 0;
        for ring in patch.chunk_by(|a, b| a.0 == b.0) {
            let to = from + ring.len();
            let mut of_ring = Vec::with_capacity(ring.len());
            for (truth, found) in truth[from..to].iter().zip(&found[from..to]) {
                if let Some(found) = found {
                    of_ring.push((found - truth, truth * truth));
                }
            }
            from = to;
            if of_ring.len() == plane.grid.phi_count() {
                // Of a whole ring the mean alone is used.
                let mean = |of: fn(&(f64, f64)) -> f64| {
                    sum::mean(&of_ring.iter().map(of).collect::<Vec<f64>>()).unwrap_or(0.0)
                };
                of_ring = vec![(mean(|e| e.0), mean(|e| e.1)); of_ring.len()];
            }
            for (error, squared) in of_ring {
                shares.push(plane.share(ring[0]));
                errors.push(error * error);
                read.push(squared);
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
