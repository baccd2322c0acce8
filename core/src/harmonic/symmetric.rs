//! Symmetric matrices, and equations that they belong to.

use crate::unit::sum;

/// A symmetric matrix by its lower half, then its Cholesky factor.
#[derive(Clone)]
pub(crate) struct Symmetric {
    rows: Vec<Vec<f64>>,
}

/// A pivot of 1 − BᵀB below this has been lost to rounding.
const LEAST_PIVOT: f64 = 1e-11;

impl Symmetric {
    /// The unit matrix.
    pub fn identity(count: usize) -> Self {
        let row = |i: usize| {
            let mut row = vec![0.0; i + 1];
            row[i] = 1.0;
            row
        };
        Self {
            rows: (0..count).map(row).collect(),
        }
    }

    /// An element of the lower half, j ≤ i.
    pub fn at(&mut self, i: usize, j: usize) -> &mut f64 {
        &mut self.rows[i][j]
    }

    /// Its Cholesky factor; `None` where it is not positive.
    pub fn factor(self) -> Option<Self> {
        let count = self.rows.len();
        let (factor, good) = self.factor_as_far_as_it_goes();
        (good == count).then_some(factor)
    }

    /// The Cholesky factor of the largest upper left part that is positive, and its size.
    pub fn factor_as_far_as_it_goes(mut self) -> (Self, usize) {
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
    pub fn forward(&self, right: &[f64]) -> Vec<f64> {
        let mut found: Vec<f64> = Vec::with_capacity(right.len());
        for (row, r) in self.rows.iter().zip(right) {
            let i = found.len();
            found.push((r - sum::product(&row[..i], &found)) / row[i]);
        }
        found
    }

    /// Solves with the transpose of the upper left part of the factor.
    pub fn backward(&self, right: &[f64], count: usize) -> Vec<f64> {
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

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn equations_are_solved() {
        // Closed form: (4 2; 2 5) x = (8, 12) has x = (1, 2).
        let mut matrix = Symmetric::identity(2);
        *matrix.at(0, 0) = 4.0;
        *matrix.at(1, 0) = 2.0;
        *matrix.at(1, 1) = 5.0;
        let factor = matrix.clone().factor().unwrap();
        let half = factor.forward(&[8.0, 12.0]);
        assert_eq!(factor.backward(&half, 2), [1.0, 2.0]);
        // The first equation alone.
        assert_eq!(factor.backward(&half, 1), [2.0]);
        // (4 2; 2 1) has no inverse.
        *matrix.at(1, 1) = 1.0;
        assert!(matrix.clone().factor().is_none());
        assert_eq!(matrix.factor_as_far_as_it_goes().1, 1);
    }
}
