//! Even cosine fit of ring means, for caps and for pole rings that were not measured.
//!
//! The mean over φ of a smooth pattern is an even function of θ through both poles: a series Σ c_k cos kθ (F13b). It is fitted to
//! the ring means by least squares with an orthogonal basis, built one degree at a time.

use crate::fill::{Plane, gap::Gap};
use crate::unit::{angle::cos_deg, sum};

/// Highest degree that is tried for a cap.
const MAX_CAP_DEGREE: usize = 24;
/// A lower degree is preferred while its error is within this factor of the best.
const NEAR_BEST: f64 = 1.1;

/// Estimates for the rings that are wholly missing at a pole: (direction, value), one value a ring.
pub(crate) fn fill(plane: &Plane, gaps: &[Gap]) -> Vec<(usize, f64)> {
    let grid = &plane.grid;
    let mut missing: Vec<usize> = gaps
        .iter()
        .flat_map(Gap::cells)
        .map(|c| c.0)
        .filter(|ring| plane.is_ring_missing(*ring))
        .collect();
    missing.sort_unstable();
    missing.dedup();
    // A ring that is missing between others was filled along θ; only runs that begin at a pole are caps.
    let n = grid.intervals();
    let top = (1..n).take_while(|r| missing.contains(r)).last();
    let bottom = (1..n).rev().take_while(|r| missing.contains(r)).last();
    let in_cap = |ring: usize| top.is_some_and(|t| ring <= t) || bottom.is_some_and(|b| ring >= b);
    let caps: Vec<usize> = missing.into_iter().filter(|r| in_cap(*r)).collect();
    if caps.is_empty() {
        return Vec::new();
    }
    let known: Vec<(f64, f64)> = (0..=n)
        .filter(|ring| !in_cap(*ring) && !plane.is_ring_missing(*ring))
        .map(|ring| {
            let from = plane.at(ring, 0);
            let mean = sum::in_order(&plane.values[from..from + grid.phi_count()])
                / grid.phi_count() as f64;
            (grid.theta_deg(ring), mean)
        })
        .collect();
    let Some(fit) = EvenCosineFit::best(&known) else {
        return Vec::new();
    };
    let mut filled = Vec::new();
    for ring in caps {
        let value = fit.at(grid.theta_deg(ring)).max(0.0);
        filled.extend((0..grid.phi_count()).map(|j| (plane.at(ring, j), value)));
    }
    filled
}

/// A least-squares fit Σ c_k cos kθ.
#[derive(Clone, Debug)]
pub struct EvenCosineFit {
    coefficients: Vec<f64>,
}

impl EvenCosineFit {
    /// Fits (θ in degrees, value) up to a degree. `None` where there are fewer points than coefficients, or they do not
    /// determine them.
    #[must_use]
    pub fn of_degree(points: &[(f64, f64)], degree: usize) -> Option<Self> {
        let mut builder = Builder::new(points);
        for k in 0..=degree {
            builder.extend(k)?;
        }
        Some(builder.finish())
    }

    /// The lowest degree, at most half the number of points, whose leave-one-out error is within 10 % of the best.
    #[must_use]
    pub fn best(points: &[(f64, f64)]) -> Option<Self> {
        let highest = (points.len() / 2).min(MAX_CAP_DEGREE);
        let mut builder = Builder::new(points);
        let mut fits: Vec<(f64, Self)> = Vec::new();
        for k in 0..=highest {
            if builder.extend(k).is_none() {
                break;
            }
            if let Some(error) = builder.leave_one_out() {
                fits.push((error, builder.clone().finish()));
            }
        }
        let least = fits.iter().map(|f| f.0).reduce(f64::min)?;
        let floor = 1e-12 * points.iter().map(|p| p.1.abs()).fold(0.0, f64::max);
        fits.into_iter()
            .find(|f| f.0 <= (least * NEAR_BEST).max(floor))
            .map(|f| f.1)
    }

    /// Value at θ, degrees.
    #[must_use]
    pub fn at(&self, theta_deg: f64) -> f64 {
        let mut value = 0.0;
        for (k, c) in self.coefficients.iter().enumerate() {
            value += c * cos_deg(k as f64 * theta_deg);
        }
        value
    }
}

/// Grows an orthonormal basis on the points (Gram–Schmidt, twice over), with what each vector is in terms of cos kθ.
#[derive(Clone)]
struct Builder {
    theta_deg: Vec<f64>,
    residual: Vec<f64>,
    leverage: Vec<f64>,
    basis: Vec<Vec<f64>>,
    /// basis[k] = Σ recipes[k][i] cos iθ.
    recipes: Vec<Vec<f64>>,
    amounts: Vec<f64>,
}

impl Builder {
    fn new(points: &[(f64, f64)]) -> Self {
        Self {
            theta_deg: points.iter().map(|p| p.0).collect(),
            residual: points.iter().map(|p| p.1).collect(),
            leverage: vec![0.0; points.len()],
            basis: Vec::new(),
            recipes: Vec::new(),
            amounts: Vec::new(),
        }
    }

    fn extend(&mut self, degree: usize) -> Option<()> {
        let mut vector: Vec<f64> = self
            .theta_deg
            .iter()
            .map(|t| cos_deg(degree as f64 * t))
            .collect();
        let mut recipe = vec![0.0; degree + 1];
        recipe[degree] = 1.0;
        let before = dot(&vector, &vector);
        for _ in 0..2 {
            for (q, r) in self.basis.iter().zip(&self.recipes) {
                let share = dot(&vector, q);
                subtract(&mut vector, q, share);
                subtract(&mut recipe, r, share);
            }
        }
        let norm2 = dot(&vector, &vector);
        // Fewer points than coefficients, or points that cannot tell them apart.
        if self.basis.len() >= vector.len() || norm2.is_nan() || norm2 <= 1e-16 * before {
            return None;
        }
        let scale = 1.0 / norm2.sqrt();
        for v in vector.iter_mut().chain(recipe.iter_mut()) {
            *v *= scale;
        }
        let amount = dot(&self.residual, &vector);
        subtract(&mut self.residual, &vector, amount);
        for (h, q) in self.leverage.iter_mut().zip(&vector) {
            *h += q * q;
        }
        self.basis.push(vector);
        self.recipes.push(recipe);
        self.amounts.push(amount);
        Some(())
    }

    /// Root mean square error of each point predicted from all others; `None` where a point decides its own fit.
    fn leave_one_out(&self) -> Option<f64> {
        let mut total = 0.0;
        for (r, h) in self.residual.iter().zip(&self.leverage) {
            let free = 1.0 - h;
            if free <= 1e-9 {
                return None;
            }
            total += (r / free) * (r / free);
        }
        Some((total / self.residual.len() as f64).sqrt())
    }

    fn finish(self) -> EvenCosineFit {
        let mut coefficients = vec![0.0; self.recipes.len()];
        for (recipe, amount) in self.recipes.iter().zip(&self.amounts) {
            for (c, r) in coefficients.iter_mut().zip(recipe) {
                *c += amount * r;
            }
        }
        EvenCosineFit { coefficients }
    }
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    let mut total = 0.0;
    for (x, y) in a.iter().zip(b) {
        total += x * y;
    }
    total
}

fn subtract(from: &mut [f64], what: &[f64], share: f64) {
    for (x, y) in from.iter_mut().zip(what) {
        *x -= share * y;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn finds_the_poles_of_a_dipole() {
        // Closed form: the ring mean of an x dipole is (1 + cos²θ)/2, degree 2: 1 at both poles.
        let mean = |t: f64| (1.0 + cos_deg(t) * cos_deg(t)) / 2.0;
        let points: Vec<(f64, f64)> = (1..12)
            .map(|i| (15.0 * f64::from(i), mean(15.0 * f64::from(i))))
            .collect();
        for fit in [
            EvenCosineFit::of_degree(&points, 10),
            EvenCosineFit::best(&points),
        ] {
            let fit = fit.as_ref();
            assert!(fit.is_some_and(
                |f| (f.at(0.0) - 1.0).abs() < 1e-10 && (f.at(180.0) - 1.0).abs() < 1e-10
            ));
        }
        assert!(EvenCosineFit::of_degree(&points, 11).is_none());
        assert!(EvenCosineFit::best(&[]).is_none());
        // A cap: nothing beyond 150°.
        let upper: Vec<(f64, f64)> = points.iter().copied().filter(|p| p.0 <= 150.0).collect();
        let fit = EvenCosineFit::best(&upper);
        assert!(fit.is_some_and(|f| (f.at(165.0) - mean(165.0)).abs() < 1e-9));
    }
}
