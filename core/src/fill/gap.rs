//! Gaps: connected directions that were never measured, with what borders them.

use crate::fill::plane::{Cell, Plane};
use crate::model::{EqualAngleGrid, State};

/// Readings that differ by less than this, relatively, count as equal.
const EQUAL: f64 = 1e-9;

/// A connected set of missing directions. A pole is one direction, and is a gap only together with a part of its neighbouring ring.
pub(crate) struct Gap {
    cells: Vec<Cell>,
    share: f64,
    /// Largest reading that borders the gap, as it is.
    border: Option<f64>,
    /// Largest reading that borders the gap. Of one polarisation a pole's counts in full: its ring holds half of the total, and at some φ it may
    /// be all of it. A total is what it is.
    border_in_full: Option<f64>,
    /// Largest reading of the next ring outward, as it is.
    beyond: Option<f64>,
    everything: bool,
}

impl Gap {
    /// Missing solid angle as a share of 4π.
    pub fn share(&self) -> f64 {
        self.share
    }

    /// True where nothing was read at all.
    pub fn is_everything(&self) -> bool {
        self.everything
    }

    /// True where the pattern rises into the gap, or nothing tells that it does not.
    pub fn rises(&self) -> bool {
        match (self.border, self.beyond) {
            (Some(border), Some(beyond)) => border > beyond + EQUAL * beyond.abs(),
            _ => true,
        }
    }

    /// What no sample of the gap exceeds, by assumption; `None` where the pattern rises into the gap.
    pub fn upper(&self) -> Option<f64> {
        // What is left of readings after noise may be below zero; a power is not.
        self.border_in_full
            .filter(|_| !self.rises())
            .map(|u| u.max(0.0))
    }

    /// Its (ring, column) pairs; a pole has column 0.
    pub fn cells(&self) -> &[Cell] {
        &self.cells
    }

    /// Its direction indices, all of a pole's ring for a pole.
    pub fn directions(&self, grid: &EqualAngleGrid) -> Vec<usize> {
        let m = grid.phi_count();
        self.cells
            .iter()
            .flat_map(|(ring, column)| {
                let columns = if grid.is_pole(*ring) {
                    0..m
                } else {
                    *column..*column + 1
                };
                columns.map(move |j| ring * m + j)
            })
            .collect()
    }

    /// Rings that it lies on, each with the share of the ring that it takes.
    pub fn rings(&self, grid: &EqualAngleGrid) -> Vec<(usize, f64)> {
        let mut rings: Vec<(usize, f64)> = Vec::new();
        for (ring, _) in &self.cells {
            let part = if grid.is_pole(*ring) {
                1.0
            } else {
                1.0 / grid.phi_count() as f64
            };
            match rings.last_mut() {
                Some((last, taken)) if last == ring => *taken += part,
                _ => rings.push((*ring, part)),
            }
        }
        rings
    }

    /// θ and φ ranges, degrees; φ as the shortest arc that holds the gap, and 0…360 where it goes all round.
    pub fn extent(&self, grid: &EqualAngleGrid) -> ((f64, f64), (f64, f64)) {
        let rings = self.cells.iter().map(|c| c.0);
        let theta = (
            rings.clone().min().map_or(0.0, |r| grid.theta_deg(r)),
            rings.max().map_or(180.0, |r| grid.theta_deg(r)),
        );
        let m = grid.phi_count();
        let mut taken = vec![false; m];
        let mut pole = false;
        for (ring, column) in &self.cells {
            pole |= grid.is_pole(*ring);
            taken[*column] = true;
        }
        // The longest run of free columns lies outside the arc.
        let mut best = (0, 0);
        for start in (0..m).filter(|j| taken[*j]) {
            let run = (1..=m).take_while(|k| !taken[(start + k) % m]).count();
            if run > best.1 {
                best = (start, run);
            }
        }
        let phi = if pole || best.1 == 0 {
            (0.0, 360.0)
        } else {
            let from = (best.0 + best.1 + 1) % m;
            (grid.phi_deg(from), grid.phi_deg(best.0))
        };
        (theta, phi)
    }
}

/// Neighbours of a direction: the ring above and below, and both sides. A pole neighbours its whole ring.
fn neighbours(grid: &EqualAngleGrid, (ring, column): Cell) -> Vec<Cell> {
    let (n, m) = (grid.intervals(), grid.phi_count());
    if grid.is_pole(ring) {
        let next = if ring == 0 { 1 } else { n - 1 };
        return (0..m).map(|j| (next, j)).collect();
    }
    let vertical = |r: usize| if grid.is_pole(r) { (r, 0) } else { (r, column) };
    vec![
        vertical(ring - 1),
        vertical(ring + 1),
        (ring, (column + 1) % m),
        (ring, (column + m - 1) % m),
    ]
}

/// All gaps of a plane, from the upper pole on.
pub(crate) fn find(plane: &Plane) -> Vec<Gap> {
    let grid = &plane.grid;
    let m = grid.phi_count();
    let mut seen = vec![false; plane.states.len()];
    let mut gaps = Vec::new();
    for ring in 1..grid.intervals() {
        for column in 0..m {
            let start = plane.at(ring, column);
            if seen[start] || plane.states[start] != State::Missing {
                continue;
            }
            let mut cells = vec![(ring, column)];
            seen[start] = true;
            let mut next = 0;
            while let Some(cell) = cells.get(next).copied() {
                next += 1;
                for other in neighbours(grid, cell) {
                    let at = plane.at(other.0, other.1);
                    if !seen[at] && plane.states[at] == State::Missing {
                        seen[at] = true;
                        cells.push(other);
                    }
                }
            }
            cells.sort_unstable();
            gaps.push(describe(plane, cells));
        }
    }
    gaps
}

fn describe(plane: &Plane, cells: Vec<Cell>) -> Gap {
    let mut inside = vec![false; plane.states.len()];
    let mut share = 0.0;
    for cell in &cells {
        inside[plane.at(cell.0, cell.1)] = true;
        share += plane.share(*cell);
    }
    let in_full = if plane.polarised { 2.0 } else { 1.0 };
    let border = layer(plane, &cells, &mut inside);
    let beyond = layer(plane, &border, &mut inside);
    Gap {
        everything: border.is_empty(),
        share,
        border: largest(plane, &border, 1.0),
        border_in_full: largest(plane, &border, in_full),
        beyond: largest(plane, &beyond, 1.0),
        cells,
    }
}

/// Directions read next to `cells` that are not inside yet; marks them.
fn layer(plane: &Plane, cells: &[Cell], inside: &mut [bool]) -> Vec<Cell> {
    let mut found = Vec::new();
    for cell in cells {
        for other in neighbours(&plane.grid, *cell) {
            let at = plane.at(other.0, other.1);
            if !inside[at] && plane.is_read(other.0, other.1) {
                inside[at] = true;
                found.push(other);
            }
        }
    }
    found
}

/// Largest reading, with those of poles times `at_pole`.
fn largest(plane: &Plane, cells: &[Cell], at_pole: f64) -> Option<f64> {
    cells
        .iter()
        .map(|(ring, column)| {
            let value = plane.values[plane.at(*ring, *column)];
            if plane.grid.is_pole(*ring) {
                at_pole * value
            } else {
                value
            }
        })
        .reduce(f64::max)
}
