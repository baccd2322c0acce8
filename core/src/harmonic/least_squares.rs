//! Linear least squares with a basis that grows column by column.

use crate::unit::sum;

/// A column whose own part is below this share of it (squared) is told apart from the others by rounding alone.
const OWN_PART: f64 = 1e-14;

/// An orthonormal basis of the columns that were pushed (Gram–Schmidt, repeated where rounding asks for it), with what each of its vectors
/// is in terms of them. The first k vectors span the first k columns, so that a fit by fewer columns is at hand as well.
#[derive(Clone, Debug)]
pub struct Orthonormal {
    rows: usize,
    vectors: Vec<Vec<f64>>,
    /// vectors[k] = Σ recipes[k][i] column i.
    recipes: Vec<Vec<f64>>,
}

impl Orthonormal {
    /// An empty basis on a number of points.
    #[must_use]
    pub fn new(rows: usize) -> Self {
        Self {
            rows,
            vectors: Vec::new(),
            recipes: Vec::new(),
        }
    }

    /// Adds a column. False where it has another length, there are as many columns as rows, or the points cannot tell it from the
    /// columns before.
    pub fn push(&mut self, mut column: Vec<f64>) -> bool {
        let before = sum::product(&column, &column);
        if column.len() != self.rows || self.vectors.len() >= self.rows {
            return false;
        }
        let mut recipe = vec![0.0; self.vectors.len() + 1];
        recipe[self.vectors.len()] = 1.0;
        let mut norm2 = before;
        loop {
            let last = norm2;
            for (vector, of_vector) in self.vectors.iter().zip(&self.recipes) {
                let share = sum::product(&column, vector);
                subtract(&mut column, vector, share);
                subtract(&mut recipe, of_vector, share);
            }
            norm2 = sum::product(&column, &column);
            // Not above, or no number.
            if norm2.is_nan() || norm2 <= OWN_PART * before {
                return false;
            }
            // Twice is enough (Kahan, in Parlett 1980, from memory): what did not shrink much is orthogonal to rounding.
            if norm2 > 0.5 * last {
                break;
            }
        }
        let scale = 1.0 / norm2.sqrt();
        if !scale.is_finite() {
            return false;
        }
        for v in column.iter_mut().chain(recipe.iter_mut()) {
            *v *= scale;
        }
        self.vectors.push(column);
        self.recipes.push(recipe);
        true
    }

    /// The vectors.
    #[must_use]
    pub fn vectors(&self) -> &[Vec<f64>] {
        &self.vectors
    }

    /// How much of each vector the values hold.
    #[must_use]
    pub fn amounts(&self, values: &[f64]) -> Vec<f64> {
        let of = |vector: &Vec<f64>| sum::product(vector, values);
        self.vectors.iter().map(of).collect()
    }

    /// Coefficients of the columns from the amounts of the first vectors.
    #[must_use]
    pub fn coefficients(&self, amounts: &[f64]) -> Vec<f64> {
        let mut coefficients = vec![0.0; amounts.len().min(self.recipes.len())];
        for (recipe, amount) in self.recipes.iter().zip(amounts) {
            for (c, r) in coefficients.iter_mut().zip(recipe) {
                *c += amount * r;
            }
        }
        coefficients
    }
}

/// Takes a share of one vector from another.
pub(crate) fn subtract(from: &mut [f64], what: &[f64], share: f64) {
    for (x, y) in from.iter_mut().zip(what) {
        *x -= share * y;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_through_four_points() {
        // Closed form: intercept and slope of (0, 1), (1, 0), (2, 2), (3, 3) are 0.3 and 0.8.
        let mut basis = Orthonormal::new(4);
        assert!(basis.push(vec![1.0; 4]));
        assert!(basis.push(vec![0.0, 1.0, 2.0, 3.0]));
        let found = basis.coefficients(&basis.amounts(&[1.0, 0.0, 2.0, 3.0]));
        assert!((found[0] - 0.3).abs() < 1e-15 && (found[1] - 0.8).abs() < 1e-15);
        // The mean alone.
        let mean = basis.coefficients(&basis.amounts(&[1.0, 0.0, 2.0, 3.0])[..1]);
        assert!((mean[0] - 1.5).abs() < 1e-15);
    }

    #[test]
    fn what_cannot_be_told_apart_is_refused() {
        let mut basis = Orthonormal::new(3);
        assert!(!basis.push(vec![0.0; 3]));
        assert!(!basis.push(vec![1.0; 2]));
        assert!(!basis.push(vec![f64::NAN; 3]));
        assert!(basis.push(vec![1.0, 2.0, 3.0]));
        assert!(!basis.push(vec![2.0, 4.0, 6.0]));
        assert!(basis.push(vec![1.0, 0.0, 0.0]));
        assert!(basis.push(vec![1.0, 1.0, 0.0]));
        assert!(!basis.push(vec![0.0, 1.0, 1.0]));
        assert!(!Orthonormal::new(0).push(Vec::new()));
    }
}
