//! Patches of readings next to a gap, of its own shape and size, that are left out to see how well they would have been filled.
//!
//! - A cap is moved to the next rings, as many and one more, so that they are predicted from one side as the cap is.
//! - A band of whole rings is moved in θ.
//! - A cut, which takes most of a column, is moved in φ.
//! - Anything else is turned about the sphere to eight sides, just far enough that it leaves the gap.

use crate::fill::gap::Gap;
use crate::fill::plane::{Cell, Plane};
use crate::model::EqualAngleGrid;
use crate::unit::angle::{cos_deg, sin_deg};
use crate::unit::sum;

/// Sides to which a gap is moved.
const SIDES: usize = 8;
/// A gap over more of the inner rings than this is a cut.
const TALL: f64 = 0.7;

/// Unit vectors of a grid's directions.
pub(crate) struct Globe {
    /// Sine and cosine of θ by ring.
    rings: Vec<(f64, f64)>,
    /// Sine and cosine of φ by column.
    columns: Vec<(f64, f64)>,
}

impl Globe {
    pub fn new(grid: &EqualAngleGrid) -> Self {
        let both = |angle_deg: f64| (sin_deg(angle_deg), cos_deg(angle_deg));
        Self {
            rings: (0..grid.rings()).map(|r| both(grid.theta_deg(r))).collect(),
            columns: (0..grid.phi_count())
                .map(|j| both(grid.phi_deg(j)))
                .collect(),
        }
    }

    fn at(&self, (ring, column): Cell) -> [f64; 3] {
        let ((sine, cosine), (sin_phi, cos_phi)) = (self.rings[ring], self.columns[column]);
        [sine * cos_phi, sine * sin_phi, cosine]
    }
}

/// Patches next to a gap; poles are left alone.
pub(crate) fn patches(plane: &Plane, globe: &Globe, gap: &Gap) -> Vec<Vec<Cell>> {
    let grid = &plane.grid;
    let (n, m) = (grid.intervals(), grid.phi_count());
    let inner: Vec<Cell> = gap
        .cells()
        .iter()
        .filter(|c| !grid.is_pole(c.0))
        .copied()
        .collect();
    let (Some(first), Some(last)) = (inner.first().map(|c| c.0), inner.last().map(|c| c.0)) else {
        return Vec::new();
    };
    let height = last - first + 1;
    let mut taken = vec![false; m];
    for cell in &inner {
        taken[cell.1] = true;
    }
    let wide = taken.iter().filter(|t| **t).count();
    let shares: Vec<f64> = inner.iter().map(|c| plane.share(*c)).collect();
    let own = sum::in_order(&shares);
    let moved = if inner.len() == height * m {
        bands(grid, first, last)
    } else if height as f64 > TALL * (n - 1) as f64 {
        columns(grid, &inner, wide)
    } else {
        turned(plane, globe, gap, &inner)
    };
    moved
        .into_iter()
        .map(|patch| {
            patch
                .into_iter()
                .filter(|c| plane.is_read(c.0, c.1))
                .collect()
        })
        .filter(|patch: &Vec<Cell>| {
            let shares: Vec<f64> = patch.iter().map(|c| plane.share(*c)).collect();
            2.0 * sum::in_order(&shares) > own
        })
        .collect()
}

/// Whole rings from `first` to `last`, moved in θ.
fn bands(grid: &EqualAngleGrid, first: usize, last: usize) -> Vec<Vec<Cell>> {
    let (n, m) = (grid.intervals(), grid.phi_count());
    let height = last - first + 1;
    let band = |from: Option<usize>, height: usize| -> Option<Vec<Cell>> {
        let from = from.filter(|f| *f >= 1 && f + height <= n)?;
        let rings = from..from + height;
        Some(
            rings
                .flat_map(|ring| (0..m).map(move |j| (ring, j)))
                .collect(),
        )
    };
    let (above, below) = (
        |by: usize| first.checked_sub(by),
        |by: usize| Some(last + by),
    );
    let found = if first == 1 {
        vec![band(below(1), height), band(below(1), height + 1)]
    } else if last == n - 1 {
        vec![
            band(above(height), height),
            band(above(height + 1), height + 1),
        ]
    } else {
        vec![
            band(above(height + 1), height),
            band(below(2), height),
            band(above(height + 2), height),
            band(below(3), height),
        ]
    };
    found.into_iter().flatten().collect()
}

/// Moved in φ, with one to three columns between.
fn columns(grid: &EqualAngleGrid, inner: &[Cell], wide: usize) -> Vec<Vec<Cell>> {
    let m = grid.phi_count();
    let mut found = Vec::new();
    for apart in 1..=3 {
        let by = wide + apart;
        if 2 * by > m {
            break;
        }
        for by in [by, m - by] {
            found.push(
                inner
                    .iter()
                    .map(|(ring, j)| (*ring, (j + by) % m))
                    .collect(),
            );
        }
    }
    found
}

/// Turned about the sphere, so that its middle goes to each side.
fn turned(plane: &Plane, globe: &Globe, gap: &Gap, inner: &[Cell]) -> Vec<Vec<Cell>> {
    let grid = &plane.grid;
    let mut middle = [0.0; 3];
    for cell in inner {
        let at = globe.at(*cell);
        for (sum, x) in middle.iter_mut().zip(at) {
            *sum += plane.share(*cell) * x;
        }
    }
    let length = dot(middle, middle).sqrt();
    if length <= 1e-9 {
        return Vec::new();
    }
    let middle = middle.map(|x| x / length);
    let reach = inner
        .iter()
        .map(|cell| dot(globe.at(*cell), middle))
        .fold(1.0, f64::min);
    let step = grid.theta_step_deg();
    let side = |side: usize| {
        let bearing_deg = 360.0 * side as f64 / SIDES as f64;
        let mut by_deg = step;
        while by_deg < 180.0 {
            let turn = Turn::new(middle, bearing_deg, by_deg);
            let patch = under(grid, globe, &turn, reach, gap);
            let apart = patch.iter().all(|c| !holds(gap, *c));
            if apart && !patch.is_empty() {
                return Some(patch);
            }
            by_deg += step;
        }
        None
    };
    (0..SIDES).filter_map(side).collect()
}

/// Inner directions that come from inside the gap by a turn.
fn under(grid: &EqualAngleGrid, globe: &Globe, turn: &Turn, reach: f64, gap: &Gap) -> Vec<Cell> {
    let (n, m) = (grid.intervals(), grid.phi_count());
    let slack_deg = libm::acos(reach.clamp(-1.0, 1.0)).to_degrees() + grid.theta_step_deg();
    let theta_deg = libm::acos(turn.to[2].clamp(-1.0, 1.0)).to_degrees();
    let nearest = cos_deg(slack_deg.min(180.0));
    let ring_of = |theta_deg: f64| theta_deg / grid.theta_step_deg();
    let from = ring_of(theta_deg - slack_deg).max(1.0) as usize;
    let to = (ring_of(theta_deg + slack_deg) as usize).min(n - 1);
    let mut found = Vec::new();
    for ring in from..=to {
        for column in 0..m {
            let at = globe.at((ring, column));
            if dot(at, turn.to) < nearest {
                continue;
            }
            let before = turn.back(at);
            let theta_deg = libm::acos(before[2].clamp(-1.0, 1.0)).to_degrees();
            let phi_deg = libm::atan2(before[1], before[0]).to_degrees() - grid.phi_start_deg();
            let source = libm::round(ring_of(theta_deg)) as usize;
            let column_of = libm::round((phi_deg + 360.0) / grid.phi_step_deg()) as usize % m;
            let column_of = if grid.is_pole(source) { 0 } else { column_of };
            if holds(gap, (source, column_of)) {
                found.push((ring, column));
            }
        }
    }
    found
}

/// A turn of the sphere by an angle towards a side of a direction: 0° is growing θ, 90° growing φ.
struct Turn {
    axis: [f64; 3],
    cosine: f64,
    sine: f64,
    /// Where the direction goes.
    to: [f64; 3],
}

impl Turn {
    fn new(from: [f64; 3], bearing_deg: f64, by_deg: f64) -> Self {
        let across = libm::hypot(from[0], from[1]);
        let (cos_phi, sin_phi) = if across > 1e-12 {
            (from[0] / across, from[1] / across)
        } else {
            (1.0, 0.0)
        };
        let along_theta = [from[2] * cos_phi, from[2] * sin_phi, -across];
        let along_phi = [-sin_phi, cos_phi, 0.0];
        let (a, b) = (cos_deg(bearing_deg), sin_deg(bearing_deg));
        let towards: [f64; 3] = std::array::from_fn(|i| a * along_theta[i] + b * along_phi[i]);
        let (cosine, sine) = (cos_deg(by_deg), sin_deg(by_deg));
        Self {
            axis: cross(from, towards),
            cosine,
            sine,
            to: std::array::from_fn(|i| cosine * from[i] + sine * towards[i]),
        }
    }

    /// Where a direction came from (Rodrigues' formula with the opposite angle).
    fn back(&self, at: [f64; 3]) -> [f64; 3] {
        let turned = cross(self.axis, at);
        let along = dot(self.axis, at) * (1.0 - self.cosine);
        std::array::from_fn(|i| at[i] * self.cosine - turned[i] * self.sine + self.axis[i] * along)
    }
}

/// The cells of a gap are in order.
fn holds(gap: &Gap, cell: Cell) -> bool {
    gap.cells().binary_search(&cell).is_ok()
}

fn dot(a: [f64; 3], b: [f64; 3]) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

fn cross(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    ]
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::fill::gap;
    use crate::model::State;

    fn patches_of(missing: impl Fn(usize, usize) -> bool) -> (Plane, Vec<Cell>, Vec<Vec<Cell>>) {
        let grid = EqualAngleGrid::try_new(36, 72, 0.0).unwrap();
        let states = (0..37 * 72)
            .map(|at| {
                if missing(at / 72, at % 72) {
                    State::Missing
                } else {
                    State::Measured
                }
            })
            .collect();
        let plane = Plane {
            grid,
            polarised: true,
            values: vec![1.0; 37 * 72],
            states,
        };
        let gaps = gap::find(&plane);
        assert_eq!(gaps.len(), 1);
        let found = patches(&plane, &Globe::new(&grid), &gaps[0]);
        (plane, gaps[0].cells().to_vec(), found)
    }

    type Missing<'a> = &'a dyn Fn(usize, usize) -> bool;

    #[test]
    fn patches_are_as_large_as_the_gap_and_beside_it() {
        let patch = |r: usize, c: usize| (12..17).contains(&r) && (c + 3) % 72 < 8;
        let near_pole = |r: usize, c: usize| r > 0 && r < 5 && c < 20;
        let one = |r: usize, c: usize| (r, c) == (20, 71);
        let cases: [(Missing<'_>, usize); 6] = [
            (&patch, 8),
            (&near_pole, 8),
            (&one, 8),
            (&|r, c| c == 5 && r > 0 && r < 36, 6),
            (&|r, _| r == 10, 4),
            (&|r, _| r > 33, 2),
        ];
        for (missing, count) in cases {
            let (plane, gap, found) = patches_of(missing);
            assert_eq!(found.len(), count);
            let size = |cells: &[Cell]| {
                let inner = cells.iter().filter(|c| !plane.grid.is_pole(c.0));
                inner.map(|c| plane.share(*c)).fold(0.0, |a, b| a + b)
            };
            for patch in &found {
                assert!(
                    patch
                        .iter()
                        .all(|c| !gap.contains(c) && plane.is_read(c.0, c.1))
                );
                // Moved bands have other solid angles; turned patches lose what falls on a pole.
                let ratio = size(patch) / size(&gap);
                assert!((0.5..6.0).contains(&ratio), "{ratio}");
            }
        }
    }

    #[test]
    fn turns_keep_lengths_and_come_back() {
        let from = [0.6, 0.0, 0.8];
        for side in 0..8 {
            let turn = Turn::new(from, 45.0 * f64::from(side), 33.0);
            assert!((dot(turn.to, from) - cos_deg(33.0)).abs() < 1e-15);
            let back = turn.back(turn.to);
            assert!((dot(back, from) - 1.0).abs() < 1e-15);
        }
    }
}
