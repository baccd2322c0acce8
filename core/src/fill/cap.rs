//! Even cosine fit of ring means, for caps and for pole rings that were not measured.
//!
//! The mean over φ of a smooth pattern is an even function of θ through both poles: a series Σ c_k cos kθ (F13b). It is fitted to
//! the ring means by least squares with an orthogonal basis, built one degree at a time.

use crate::fill::plane::Plane;
use crate::harmonic::{Orthonormal, subtract};
use crate::unit::{angle::cos_deg, sum};

/// Highest degree that is tried for a cap.
const MAX_CAP_DEGREE: usize = 24;
/// A lower degree is preferred while its error is within this factor of the best.
const NEAR_BEST: f64 = 1.1;

/// Estimates for the rings that are wholly missing from a pole on: (direction, value), one value a ring.
pub(crate) fn fill(plane: &Plane) -> Vec<(usize, f64)> {
    let grid = &plane.grid;
    let n = grid.intervals();
    // A ring that is missing between others was filled along θ; only runs that begin at a pole are caps.
    let top = (1..n).take_while(|r| plane.is_ring_missing(*r)).last();
    let bottom = (1..n)
        .rev()
        .take_while(|r| plane.is_ring_missing(*r))
        .last();
    let in_cap = |ring: usize| top.is_some_and(|t| ring <= t) || bottom.is_some_and(|b| ring >= b);
    if top.is_none() && bottom.is_none() {
        return Vec::new();
    }
    let known = ring_means(plane, |ring| !plane.is_ring_missing(ring));
    let Some(fit) = EvenCosineFit::best(&known) else {
        return Vec::new();
    };
    let mut filled = Vec::new();
    for ring in (0..=n).filter(|r| in_cap(*r) && plane.is_ring_missing(*r)) {
        let value = fit.at(grid.theta_deg(ring));
        filled.extend((0..grid.phi_count()).map(|j| (plane.at(ring, j), value)));
    }
    filled
}

/// Means of rings: (θ in degrees, mean over φ).
pub(crate) fn ring_means(plane: &Plane, wanted: impl Fn(usize) -> bool) -> Vec<(f64, f64)> {
    let m = plane.grid.phi_count();
    (0..plane.grid.rings())
        .filter(|ring| wanted(*ring))
        .map(|ring| {
            let from = plane.at(ring, 0);
            let mean = sum::in_order(&plane.values[from..from + m]) / m as f64;
            (plane.grid.theta_deg(ring), mean)
        })
        .collect()
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
                fits.push((error, builder.finish()));
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

/// Fits of growing degree on the same points.
struct Builder {
    theta_deg: Vec<f64>,
    residual: Vec<f64>,
    leverage: Vec<f64>,
    basis: Orthonormal,
    amounts: Vec<f64>,
}

impl Builder {
    fn new(points: &[(f64, f64)]) -> Self {
        Self {
            theta_deg: points.iter().map(|p| p.0).collect(),
            residual: points.iter().map(|p| p.1).collect(),
            leverage: vec![0.0; points.len()],
            basis: Orthonormal::new(points.len()),
            amounts: Vec::new(),
        }
    }

    /// `None` where there are fewer points than coefficients, or they cannot tell them apart.
    fn extend(&mut self, degree: usize) -> Option<()> {
        let cosine = |t: &f64| cos_deg(degree as f64 * t);
        if !self.basis.push(self.theta_deg.iter().map(cosine).collect()) {
            return None;
        }
        let vector = self.basis.vectors().last()?;
        let amount = sum::product(&self.residual, vector);
        subtract(&mut self.residual, vector, amount);
        for (h, q) in self.leverage.iter_mut().zip(vector) {
            *h += q * q;
        }
        self.amounts.push(amount);
        Some(())
    }

    /// Root mean square error of each point predicted from all others; `None` where a point decides its own fit.
    fn leave_one_out(&self) -> Option<f64> {
        let mut squares = Vec::with_capacity(self.residual.len());
        for (r, h) in self.residual.iter().zip(&self.leverage) {
            let free = 1.0 - h;
            if free <= 1e-9 {
                return None;
            }
            squares.push((r / free) * (r / free));
        }
        sum::mean(&squares).map(f64::sqrt)
    }

    fn finish(&self) -> EvenCosineFit {
        EvenCosineFit {
            coefficients: self.basis.coefficients(&self.amounts),
        }
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
