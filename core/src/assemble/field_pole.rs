//! The poles of a complex field: one vector each, whatever φ it was read at.

use crate::assemble::pole::ByPole;
use crate::error::{Error, Result};
use crate::finding::Finding;
use crate::model::{EqualAngleGrid, State};
use crate::unit::angle;
use ndarray::Array3;
use num_complex::Complex64;

/// Vectors of a pole that differ from their mean by more than this share of its square are a finding: 5 % of its size.
const APART: f64 = 0.0025;

/// Readings of fields at the poles.
#[derive(Default)]
pub(crate) struct FieldPoles {
    readings: ByPole<Complex64>,
}

impl FieldPoles {
    /// Keeps a component at a pole.
    pub fn push(
        &mut self,
        frequency: usize,
        north: bool,
        polarisation: usize,
        phi_deg: f64,
        value: Complex64,
    ) {
        self.readings
            .entry((frequency, !north))
            .or_default()
            .push((polarisation, phi_deg, value));
    }

    /// Turns the vectors read at each φ to φ = 0, averages them, and writes the pole's ring with the mean turned to each φ.
    ///
    /// Gives a finding where they differ.
    ///
    /// # Errors
    /// Domain: components that do not come in pairs.
    pub fn settle(
        self,
        grid: &EqualAngleGrid,
        values: &mut Array3<Complex64>,
        states: &mut Array3<State>,
    ) -> Result<Option<Finding>> {
        let mut worst = 0.0_f64;
        for ((frequency, south), mut readings) in self.readings {
            readings.sort_by(|a, b| {
                a.1.total_cmp(&b.1)
                    .then(a.0.cmp(&b.0))
                    .then(a.2.re.total_cmp(&b.2.re))
                    .then(a.2.im.total_cmp(&b.2.im))
            });
            let mut vectors = Vec::new();
            for group in readings.chunk_by(|a, b| a.1 == b.1) {
                let mean = |polarisation: usize| {
                    let of: Vec<Complex64> = group
                        .iter()
                        .filter(|r| r.0 == polarisation)
                        .map(|r| r.2)
                        .collect();
                    (!of.is_empty()).then(|| of.iter().sum::<Complex64>() / of.len() as f64)
                };
                if let (Some(theta), Some(phi)) = (mean(0), mean(1)) {
                    vectors.push(turned(theta, phi, group[0].1, south, false));
                }
            }
            if vectors.is_empty() {
                return Err(Error::domain(
                    "at a pole the two components of the field must be read at the same φ",
                )
                .hint("give both components of the pole, or leave the pole out"));
            }
            let n = vectors.len() as f64;
            let theta = vectors.iter().map(|v| v.0).sum::<Complex64>() / n;
            let phi = vectors.iter().map(|v| v.1).sum::<Complex64>() / n;
            let size = theta.norm_sqr() + phi.norm_sqr();
            for (t, p) in &vectors {
                let apart = (t - theta).norm_sqr() + (p - phi).norm_sqr();
                if apart > 0.0 {
                    worst = worst.max(apart / size);
                }
            }
            let ring = if south { grid.intervals() } else { 0 };
            for j in 0..grid.phi_count() {
                let (t, p) = turned(theta, phi, grid.phi_deg(j), south, true);
                let direction = ring * grid.phi_count() + j;
                values[(frequency, 0, direction)] = t;
                values[(frequency, 1, direction)] = p;
                states[(frequency, 0, direction)] = State::Measured;
                states[(frequency, 1, direction)] = State::Measured;
            }
        }
        Ok((worst > APART).then(|| {
            let percent = 100.0 * worst.sqrt();
            Finding::warning(
                "pole-spread",
                format!("the field vectors read at a pole should be one; they differ from their mean by {percent:.1} % of it; the mean was taken"),
            )
            .advice("check the time convention, the phase reference, and which component is theta")
        }))
    }
}

/// Components at a pole, from φ to φ = 0, or `back` from φ = 0 to φ. The Cartesian vector stays what it is:
/// at θ = 0, E₀θ = Eθ cosφ − Eφ sinφ and E₀φ = Eθ sinφ + Eφ cosφ; at θ = 180° with −φ in place of φ.
fn turned(
    theta: Complex64,
    phi: Complex64,
    phi_deg: f64,
    south: bool,
    back: bool,
) -> (Complex64, Complex64) {
    let (c, s) = (angle::cos_deg(phi_deg), angle::sin_deg(phi_deg));
    let s = if south == back { -s } else { s };
    (theta * c + phi * s, phi * c - theta * s)
}
