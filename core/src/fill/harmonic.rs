//! Filling by spherical harmonics that are fitted to all readings by least squares.
//!
//! A total is a smooth function on the sphere: Σ c_lm Y_lm. The power of one polarisation is not: at a pole it depends on φ. But θ̂ sinθ
//! and φ̂ sinθ are polynomials in x, y, z, so that sin²θ times it is smooth, vanishes at the poles with its gradient, and has
//! at most degree L + 2. Hence the functions of a polarisation are Y_lm for |m| < 2, and Y_lm / sin²θ for |m| ≥ 2, which are finite at the poles:
//! each is what a smooth field can have, and no pole is crossed (derivation).
//!
//! On a pole only the mean over φ is known, half of its total in each polarisation; there the functions with m ≠ 0 count as their mean, 0.
//! Readings are weighted with their solid angle. The degree is bounded by the grid, and by the work.

use crate::fill::plane::{Cell, Plane};
use crate::harmonic::{Orthonormal, legendre};
use crate::model::State;
use crate::unit::angle::{cos_deg, sin_deg};
use crate::unit::sum;
use std::f64::consts::SQRT_2;

/// Most directions × functions² of a fit.
const MOST_WORK: usize = 200_000_000;
/// Highest degree that is tried.
const MAX_DEGREE: usize = 24;

/// An orthonormal basis on the directions that were read, of all degrees up to a highest.
pub(crate) struct Harmonics {
    states: Vec<State>,
    polarised: bool,
    functions: Functions,
    /// Direction index of each row, and the square root of its solid angle.
    rows: Vec<(Cell, f64)>,
    /// Row of each direction index.
    row_of: Vec<Option<usize>>,
    basis: Orthonormal,
    /// Count of functions of each degree.
    ends: Vec<usize>,
}

impl Harmonics {
    /// For a plane; `None` where its readings do not determine even the lowest degree.
    pub fn new(plane: &Plane) -> Option<Self> {
        let grid = &plane.grid;
        let (n, m) = (grid.intervals(), grid.phi_count());
        let mut rows: Vec<(Cell, f64)> = Vec::new();
        let mut row_of = vec![None; plane.states.len()];
        for index in grid.distinct() {
            let cell = (index / m, index % m);
            if plane.is_read(cell.0, cell.1) {
                row_of[index] = Some(rows.len());
                rows.push((cell, plane.share(cell).sqrt()));
            }
        }
        let orders = (m - 1) / 2;
        let mut list: Vec<(usize, usize)> = Vec::new();
        let mut ends = Vec::new();
        for degree in 0..=MAX_DEGREE.min(n - 1) {
            let from = list.len();
            // (l, |m|) of this degree; a polarisation's own functions begin two degrees higher.
            let own = if plane.polarised { 2 } else { 0 };
            list.extend((0..=degree.min(1)).map(|order| (degree, order)));
            list.extend((2..=degree + own).map(|order| (degree + own, order)));
            list.retain(|f| f.1 <= orders);
            let count = list.iter().map(|f| f.1.min(1) + 1).fold(0, |a, b| a + b);
            if count * 2 > rows.len() || count * count * rows.len() > MOST_WORK {
                list.truncate(from);
                break;
            }
            ends.push(count);
        }
        let functions = Functions::new(plane, list);
        let mut columns = vec![Vec::with_capacity(rows.len()); functions.count()];
        for (cell, weight) in &rows {
            for (column, value) in columns.iter_mut().zip(functions.at(*cell)) {
                column.push(weight * value);
            }
        }
        let mut basis = Orthonormal::new(rows.len());
        for column in columns {
            if !basis.push(column) {
                break;
            }
        }
        let told = basis.vectors().len();
        ends.retain(|e| *e <= told);
        (!ends.is_empty()).then(|| Self {
            states: plane.states.clone(),
            polarised: plane.polarised,
            functions,
            rows,
            row_of,
            basis,
            ends,
        })
    }

    /// True where it was made for a plane of the same directions.
    pub fn fits(&self, plane: &Plane) -> bool {
        self.polarised == plane.polarised && self.states == plane.states
    }

    /// The readings of a plane by row, weighted, and how much of each vector they hold.
    pub fn project(&self, plane: &Plane) -> Projection<'_> {
        let values: Vec<f64> = self
            .rows
            .iter()
            .map(|(cell, weight)| weight * plane.values[plane.at(cell.0, cell.1)])
            .collect();
        let amounts = self.basis.amounts(&values);
        Projection {
            of: self,
            values,
            amounts,
        }
    }
}

/// The readings of a plane on a basis.
pub(crate) struct Projection<'a> {
    of: &'a Harmonics,
    values: Vec<f64>,
    amounts: Vec<f64>,
}

impl Projection<'_> {
    /// Count of degrees, from 0 on.
    pub fn degrees(&self) -> usize {
        self.of.ends.len()
    }

    /// Values of the fit of a degree.
    pub fn at(&self, cells: &[Cell], degree: usize) -> Vec<f64> {
        let end = self.of.ends.get(degree).copied().unwrap_or(0);
        let coefficients = self.of.basis.coefficients(&self.amounts[..end]);
        cells
            .iter()
            .map(|cell| sum::product(&coefficients, &self.of.functions.at(*cell)))
            .collect()
    }

    /// What the fits of all degrees give for readings that are left out, each fit made without them: by degree, then by cell. `None` where
    /// the others do not determine the fit.
    ///
    /// With the rows B of these readings in the orthonormal basis, the others have the normal equations (1 − BᵀB) c = a − Bᵀy. For few
    /// readings the same comes from residuals r and leverages: errors (1 − BBᵀ)⁻¹ r (closed forms).
    pub fn left_out(&self, cells: &[Cell]) -> Vec<Option<Vec<f64>>> {
        let grid_rows: Option<Vec<usize>> = cells
            .iter()
            .map(|(ring, column)| {
                let index = ring * self.of.functions.phi_count() + column;
                self.of.row_of.get(index).copied().flatten()
            })
            .collect();
        let Some(rows) = grid_rows else {
            return vec![None; self.of.ends.len()];
        };
        let last = self.of.ends.last().copied().unwrap_or(0);
        let block: Vec<Vec<f64>> = rows
            .iter()
            .map(|row| {
                self.of.basis.vectors()[..last]
                    .iter()
                    .map(|v| v[*row])
                    .collect()
            })
            .collect();
        let values: Vec<f64> = rows.iter().map(|row| self.values[*row]).collect();
        let weights: Vec<f64> = rows.iter().map(|row| self.of.rows[*row].1).collect();
        let found = if rows.len() * 2 < last {
            self.by_leverage(&block, &values)
        } else {
            self.by_normal_equations(&block, &values)
        };
        let unweighted = |fit: Vec<f64>| fit.iter().zip(&weights).map(|(f, w)| f / w).collect();
        found.into_iter().map(|fit| fit.map(unweighted)).collect()
    }

    fn by_leverage(&self, block: &[Vec<f64>], values: &[f64]) -> Vec<Option<Vec<f64>>> {
        let count = block.len();
        let mut open = Square::identity(count);
        let mut residual = values.to_vec();
        let mut done = 0;
        let mut found = Vec::new();
        for end in &self.of.ends {
            for i in 0..count {
                for j in 0..=i {
                    *open.at(i, j) -= sum::product(&block[i][done..*end], &block[j][done..*end]);
                }
                residual[i] -= sum::product(&block[i][done..*end], &self.amounts[done..*end]);
            }
            done = *end;
            found.push(open.clone().factor().map(|factor| {
                let half = factor.forward(&residual);
                let errors = factor.backward(&half, count);
                values.iter().zip(errors).map(|(v, e)| v - e).collect()
            }));
        }
        found
    }

    fn by_normal_equations(&self, block: &[Vec<f64>], values: &[f64]) -> Vec<Option<Vec<f64>>> {
        let count = block.first().map_or(0, Vec::len);
        let columns: Vec<Vec<f64>> = (0..count)
            .map(|k| block.iter().map(|row| row[k]).collect())
            .collect();
        let mut normal = Square::identity(count);
        let mut right = self.amounts[..count].to_vec();
        for i in 0..count {
            for j in 0..=i {
                *normal.at(i, j) -= sum::product(&columns[i], &columns[j]);
            }
            right[i] -= sum::product(&columns[i], values);
        }
        // The factor of each degree is the upper left part of the last one's.
        let (factor, good) = normal.factor_as_far_as_it_goes();
        let half = factor.forward(&right[..good]);
        self.of
            .ends
            .iter()
            .map(|end| {
                (*end <= good).then(|| {
                    let coefficients = factor.backward(&half, *end);
                    let fit = |row: &Vec<f64>| sum::product(row, &coefficients);
                    block.iter().map(fit).collect()
                })
            })
            .collect()
    }
}

/// The functions of a plane, by degree.
struct Functions {
    /// (l, |m|) in order; each |m| > 0 stands for a cosine and a sine.
    list: Vec<(usize, usize)>,
    polarised: bool,
    intervals: usize,
    /// Legendre functions by ring.
    of_ring: Vec<Vec<f64>>,
    /// sin²θ by ring.
    sine2: Vec<f64>,
    /// √2 cos mφ and √2 sin mφ by column, for |m| ≥ 1.
    of_column: Vec<Vec<(f64, f64)>>,
}

impl Functions {
    fn new(plane: &Plane, list: Vec<(usize, usize)>) -> Self {
        let grid = &plane.grid;
        let degree = list.iter().map(|f| f.0).max().unwrap_or(0);
        let orders = list.iter().map(|f| f.1).max().unwrap_or(0);
        let trig = |column: usize| {
            (1..=orders)
                .map(|m| {
                    let turn = m as f64 * grid.phi_deg(column);
                    (SQRT_2 * cos_deg(turn), SQRT_2 * sin_deg(turn))
                })
                .collect()
        };
        let squared = |sine: f64| sine * sine;
        Self {
            polarised: plane.polarised,
            intervals: grid.intervals(),
            of_ring: (0..grid.rings())
                .map(|ring| legendre::normalised(grid.theta_deg(ring), degree))
                .collect(),
            sine2: (0..grid.rings())
                .map(|ring| squared(sin_deg(grid.theta_deg(ring))))
                .collect(),
            of_column: (0..grid.phi_count()).map(trig).collect(),
            list,
        }
    }

    fn phi_count(&self) -> usize {
        self.of_column.len()
    }

    fn count(&self) -> usize {
        self.list
            .iter()
            .map(|f| f.1.min(1) + 1)
            .fold(0, |a, b| a + b)
    }

    /// Values of all functions in a direction; on a pole their means over φ.
    fn at(&self, (ring, column): Cell) -> Vec<f64> {
        let pole = ring == 0 || ring == self.intervals;
        let mut values = Vec::with_capacity(2 * self.list.len());
        for (l, order) in &self.list {
            let p = self.of_ring[ring][legendre::position(*l, *order)];
            match *order {
                0 => values.push(p),
                _ if pole => values.extend([0.0, 0.0]),
                order => {
                    let scale = if self.polarised && order >= 2 {
                        p / self.sine2[ring]
                    } else {
                        p
                    };
                    let (cosine, sine) = self.of_column[column][order - 1];
                    values.extend([scale * cosine, scale * sine]);
                }
            }
        }
        values
    }
}

/// A symmetric matrix by its lower half, then its Cholesky factor.
#[derive(Clone)]
struct Square {
    rows: Vec<Vec<f64>>,
}

/// A pivot of 1 − BᵀB below this has been lost to rounding.
const LEAST_PIVOT: f64 = 1e-11;

impl Square {
    fn identity(count: usize) -> Self {
        let row = |i: usize| {
            let mut row = vec![0.0; i + 1];
            row[i] = 1.0;
            row
        };
        Self {
            rows: (0..count).map(row).collect(),
        }
    }

    fn at(&mut self, i: usize, j: usize) -> &mut f64 {
        &mut self.rows[i][j]
    }

    /// Its Cholesky factor; `None` where it is not positive.
    fn factor(self) -> Option<Self> {
        let count = self.rows.len();
        let (factor, good) = self.factor_as_far_as_it_goes();
        (good == count).then_some(factor)
    }

    /// The Cholesky factor of the largest upper left part that is positive, and its size.
    fn factor_as_far_as_it_goes(mut self) -> (Self, usize) {
        let count = self.rows.len();
        for i in 0..count {
            let (above, rest) = self.rows.split_at_mut(i);
            let row = &mut rest[0];
            for j in 0..i {
                let share = sum::product(&row[..j], &above[j][..j]);
                row[j] = (row[j] - share) / above[j][j];
            }
            let pivot = row[i] - sum::product(&row[..i], &row[..i]);
            if pivot.is_nan() || pivot < LEAST_PIVOT {
                self.rows.truncate(i);
                return (self, i);
            }
            row[i] = pivot.sqrt();
        }
        (self, count)
    }

    /// Solves with the factor.
    fn forward(&self, right: &[f64]) -> Vec<f64> {
        let mut found: Vec<f64> = Vec::with_capacity(right.len());
        for (row, r) in self.rows.iter().zip(right) {
            let i = found.len();
            found.push((r - sum::product(&row[..i], &found)) / row[i]);
        }
        found
    }

    /// Solves with the transpose of the upper left part of the factor.
    fn backward(&self, right: &[f64], count: usize) -> Vec<f64> {
        let mut found = right[..count].to_vec();
        for i in (0..count).rev() {
            let row = &self.rows[i];
            found[i] /= row[i];
            let value = found[i];
            for (f, r) in found[..i].iter_mut().zip(row) {
                *f -= value * r;
            }
        }
        found
    }
}
