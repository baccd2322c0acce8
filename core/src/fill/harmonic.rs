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
use crate::harmonic::{Orthonormal, Symmetric, legendre};
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
            let count = count(&list);
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
        let mut open = Symmetric::identity(count);
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
        let mut normal = Symmetric::identity(count);
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
        count(&self.list)
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

/// Functions of a list: one for each m = 0, two for each other.
fn count(list: &[(usize, usize)]) -> usize {
    list.iter().map(|f| f.1.min(1) + 1).sum()
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::model::EqualAngleGrid;
    use crate::table::pattern::Pattern;

    /// One polarisation of a pattern, its poles at half of their total, without some cells.
    fn plane(pattern: Pattern, p: usize, missing: &[Cell]) -> Plane {
        let grid = EqualAngleGrid::try_new(12, 24, 0.0).unwrap();
        let mut plane = Plane {
            grid,
            polarised: true,
            values: Vec::new(),
            states: Vec::new(),
        };
        for ring in 0..13 {
            for column in 0..24 {
                let power = pattern.power(grid.theta_deg(ring), grid.phi_deg(column));
                let half = (power[0] + power[1]) / 2.0;
                plane
                    .values
                    .push(if grid.is_pole(ring) { half } else { power[p] });
                let gone = missing.contains(&(ring, column));
                plane.states.push(if gone {
                    State::Missing
                } else {
                    State::Measured
                });
            }
        }
        plane
    }

    #[test]
    fn polarisations_of_dipoles_come_back_up_to_the_poles() {
        // Closed form: sin²θ times each is a polynomial of degree 4 in x, y, z.
        let gap: Vec<Cell> = (0..4)
            .flat_map(|ring| (0..5).map(move |j| (ring, j)))
            .collect();
        let gap: Vec<Cell> = gap.into_iter().filter(|c| c.0 > 0 || c.1 == 0).collect();
        for pattern in [
            Pattern::XDipole,
            Pattern::HuygensX,
            Pattern::Turnstile,
            Pattern::ZDipole,
        ] {
            for p in 0..2 {
                let missing: Vec<Cell> = gap
                    .iter()
                    .flat_map(|c| {
                        if c.0 == 0 {
                            (0..24).map(|j| (0, j)).collect()
                        } else {
                            vec![*c]
                        }
                    })
                    .collect();
                let plane = plane(pattern, p, &missing);
                let harmonics = Harmonics::new(&plane).unwrap();
                let projection = harmonics.project(&plane);
                for (cell, value) in gap.iter().zip(projection.at(&gap, 4)) {
                    let want = plane.values[plane.at(cell.0, cell.1)];
                    assert!(
                        (value - want).abs() < 1e-11,
                        "{pattern:?} {p} {cell:?}: {value} {want}"
                    );
                }
                // What is left out comes back as well.
                let patch = [(6, 3), (6, 4), (7, 3)];
                let found = projection.left_out(&patch);
                let want: Vec<f64> = patch
                    .iter()
                    .map(|c| plane.values[plane.at(c.0, c.1)])
                    .collect();
                for (value, want) in found[4].as_ref().unwrap().iter().zip(want) {
                    assert!(
                        (value - want).abs() < 1e-11,
                        "{pattern:?} {p}: {value} {want}"
                    );
                }
            }
        }
    }

    #[test]
    fn leaving_out_is_fitting_without() {
        // Another computation of the same: the fit of a plane whose patch is missing. The half-wave dipole is of no finite degree, so that
        // every degree errs; small patches go by leverage, large ones by normal equations.
        let whole = plane(Pattern::HalfWaveDipole, 0, &[]);
        let harmonics = Harmonics::new(&whole).unwrap();
        let projection = harmonics.project(&whole);
        for (rings, columns) in [(1, 1), (2, 3), (4, 9), (5, 20)] {
            let patch: Vec<Cell> = (3..3 + rings)
                .flat_map(|r| (2..2 + columns).map(move |j| (r, j)))
                .collect();
            let without = plane(Pattern::HalfWaveDipole, 0, &patch);
            let refitted = Harmonics::new(&without).unwrap();
            let found = projection.left_out(&patch);
            let mut compared = 0;
            for (degree, found) in found.iter().enumerate().take(refitted.ends.len()).take(7) {
                let want = refitted.project(&without).at(&patch, degree);
                for (value, want) in found.as_ref().unwrap().iter().zip(want) {
                    assert!(
                        (value - want).abs() < 1e-9,
                        "degree {degree}: {value} {want}"
                    );
                }
                compared += 1;
            }
            assert!(compared > 4);
        }
        assert!(projection.left_out(&[(0, 7)]).iter().all(Option::is_none));
    }

    #[test]
    fn too_few_readings_are_fitted_by_nothing() {
        let missing: Vec<Cell> = (0..13).flat_map(|r| (0..24).map(move |j| (r, j))).collect();
        assert!(Harmonics::new(&plane(Pattern::Isotropic, 0, &missing)).is_none());
        assert!(Harmonics::new(&plane(Pattern::Isotropic, 0, &missing[..310])).is_none());
    }
}
