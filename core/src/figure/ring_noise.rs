//! Noise of the ring means of one polarisation, and what it does to a weighted sum of them.
//!
//! With wᵢ the weight of a sample in a figure, the variance of the figure is Σw²·var plus, for each polarisation, (Σw)²·u²(N): the floor's own
//! uncertainty is common to all samples and does not average down. Source: F12.

use crate::correct::Noise;
use crate::model::{EqualAngleGrid, Sphere};
use crate::uncertainty::Standard;
use crate::unit::sum;
use ndarray::Axis;

/// Noise of the ring means of one polarisation.
#[derive(Clone, Debug)]
pub(super) struct RingNoise {
    /// Variance of each mean.
    variance: Vec<f64>,
    /// Variance that it has at least.
    least: Vec<f64>,
    /// Mean of what was shown.
    shown: Vec<f64>,
    /// Mean of what samples below the floor add.
    below: Vec<f64>,
    /// Standard uncertainty of the floor.
    floor: Option<f64>,
    /// The floor is an upper limit.
    is_estimated: bool,
    /// Poles that are sums of the other rings, with the part of each.
    fitted: Vec<(usize, Vec<f64>)>,
}

impl RingNoise {
    /// Of a frequency and polarisation of a sphere, whose floor was taken off.
    pub(super) fn new(
        sphere: &Sphere,
        grid: &EqualAngleGrid,
        (frequency, p): (usize, usize),
        noise: &Noise,
    ) -> Option<Self> {
        let level = noise.level(frequency, p)?;
        if noise.raw.dim() != sphere.states().dim() {
            return None;
        }
        let m = grid.phi_count();
        let plane = sphere.power()?.index_axis(Axis(0), frequency);
        let plane = plane.index_axis(Axis(0), p);
        let values = plane.as_slice()?;
        let shown: Vec<f64> = values
            .iter()
            .enumerate()
            .map(|(d, value)| {
                let at = (frequency, p, d);
                noise.shown(at, *value, sphere.states()[at])
            })
            .collect();
        let mut rings = Self {
            variance: Vec::new(),
            least: Vec::new(),
            shown: Vec::new(),
            below: Vec::new(),
            floor: level.standard_w,
            is_estimated: noise.is_estimated,
            fitted: Vec::new(),
        };
        for (ring, (row, raw)) in values
            .chunks_exact(m)
            .zip(shown.chunks_exact(m))
            .enumerate()
        {
            // A pole is one direction, whose readings count as one.
            let count = if grid.is_pole(ring) { 1.0 } else { m as f64 };
            let each: Vec<f64> = row
                .iter()
                .zip(raw)
                .map(|(value, raw)| noise.variance(level, *value, *raw))
                .collect();
            rings
                .variance
                .push(sum::in_order(&each) / (m as f64 * count));
            rings.least.push(noise.least_variance(level) / count);
            rings.shown.push(sum::in_order(raw) / m as f64);
            let below: Vec<f64> = row.iter().copied().filter(|v| *v < level.power_w).collect();
            rings.below.push(sum::in_order(&below) / m as f64);
        }
        Some(rings)
    }

    /// A pole is the sum of the other rings' means, each times its part: so is its noise.
    pub(super) fn fit(&mut self, pole: usize, parts: Vec<f64>) {
        self.fitted.push((pole, parts));
    }

    /// Weights of the rings that were measured: those of fitted poles are theirs.
    fn measured(&self, weights: &[f64]) -> Vec<f64> {
        let mut all = weights.to_vec();
        for (pole, parts) in &self.fitted {
            let Some(of_pole) = all.get_mut(*pole).map(std::mem::take) else {
                continue;
            };
            for (weight, part) in all.iter_mut().zip(parts) {
                *weight += of_pole * part;
            }
        }
        all
    }

    /// Covariance of two sums of the rings.
    pub(super) fn covariance(&self, a: &[f64], b: &[f64]) -> f64 {
        let (a, b) = (self.measured(a), self.measured(b));
        let each: Vec<f64> = a
            .iter()
            .zip(&b)
            .zip(self.variance.iter().zip(&self.least))
            .map(|((a, b), (variance, least))| a * b / 4.0 * variance.max(*least))
            .collect();
        sum::in_order(&each)
    }

    /// Adds the noise of a polarisation under half-weights of its rings.
    pub(super) fn add_to(&self, total: &mut NoiseSum, weights: &[f64]) {
        total.is_estimated |= self.is_estimated;
        let mut all = Vec::with_capacity(weights.len());
        for (ring, w) in self.measured(weights).iter().enumerate() {
            let half = w / 2.0;
            let get = |of: &[f64]| of.get(ring).copied().unwrap_or(0.0);
            total.variance.push(half * half * get(&self.variance));
            total.least.push(half * half * get(&self.least));
            total.shown.push(half * get(&self.shown));
            total.below.push(half * get(&self.below));
            all.push(half);
        }
        let whole = sum::in_order(&all);
        total.floor.push(self.floor.map(|u| whole * whole * u * u));
    }
}

/// Noise of a weighted sum.
#[derive(Clone, Debug, Default)]
pub(super) struct NoiseSum {
    variance: Vec<f64>,
    least: Vec<f64>,
    shown: Vec<f64>,
    below: Vec<f64>,
    floor: Vec<Option<f64>>,
    /// The floor is an upper limit: what was subtracted may be signal.
    pub(super) is_estimated: bool,
}

/// What noise does to an integral.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct NoiseEffect {
    /// What the integral would be with the floor left in.
    pub shown: f64,
    /// What samples below the floor add to the integral.
    pub below_floor: f64,
    /// Standard uncertainty by the noise of the readings.
    pub noise: f64,
    /// Standard uncertainty that noise alone would leave, without any signal.
    pub least: f64,
    /// Standard uncertainty by that of the floor; `None`: it is not known.
    pub floor: Option<f64>,
}

impl NoiseSum {
    pub(super) fn finish(&self) -> NoiseEffect {
        let least = sum::in_order(&self.least);
        let floor: Option<Vec<f64>> = self.floor.iter().copied().collect();
        NoiseEffect {
            shown: sum::in_order(&self.shown),
            below_floor: sum::in_order(&self.below),
            noise: libm::sqrt(sum::in_order(&self.variance).max(least)),
            least: libm::sqrt(least),
            floor: floor.map(|f| libm::sqrt(sum::in_order(&f))),
        }
    }
}

impl NoiseEffect {
    /// As parts of a standard uncertainty.
    pub(super) fn add_to(&self, standard: &mut Standard) {
        standard.noise = Some(self.noise);
        standard.floor = self.floor;
    }
}

#[cfg(test)]
mod tests;
