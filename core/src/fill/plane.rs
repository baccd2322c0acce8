//! One polarisation at one frequency, as the fill methods see it.

use crate::model::{EqualAngleGrid, State};
use ndarray::{Array3, Axis};

/// A direction as ring and column; a pole has column 0.
pub(crate) type Cell = (usize, usize);

/// One polarisation at one frequency: values and states by direction.
pub(crate) struct Plane {
    pub grid: EqualAngleGrid,
    /// True for one of two polarisations, false for their total.
    pub polarised: bool,
    pub values: Vec<f64>,
    pub states: Vec<State>,
}

impl Plane {
    pub fn new(
        grid: EqualAngleGrid,
        (f, p): (usize, usize),
        values: &Array3<f64>,
        states: &Array3<State>,
    ) -> Self {
        let values = values.index_axis(Axis(0), f);
        let states = states.index_axis(Axis(0), f);
        Self {
            grid,
            polarised: values.len_of(Axis(0)) > 1,
            values: values.index_axis(Axis(0), p).to_vec(),
            states: states.index_axis(Axis(0), p).to_vec(),
        }
    }

    /// Index of a direction.
    pub fn at(&self, ring: usize, column: usize) -> usize {
        ring * self.grid.phi_count() + column
    }

    /// True where a direction was read.
    pub fn is_read(&self, ring: usize, column: usize) -> bool {
        self.states[self.at(ring, column)].is_read()
    }

    /// True where nothing of a ring was read.
    pub fn is_ring_missing(&self, ring: usize) -> bool {
        (0..self.grid.phi_count()).all(|j| !self.is_read(ring, j))
    }

    /// Solid angle of a direction as a share of 4π, a pole's in full.
    pub fn share(&self, (ring, _): Cell) -> f64 {
        let whole = if self.grid.is_pole(ring) {
            self.grid.phi_count() as f64
        } else {
            1.0
        };
        self.grid.cell_share(ring) * whole
    }
}
