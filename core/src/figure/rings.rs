//! Means over φ of each ring of one polarisation, with their bounds.

use crate::correct::Noise;
use crate::figure::integral::WeightedSum;
use crate::figure::ring_noise::RingNoise;
use crate::fill::FilledGap;
use crate::fill::cap::EvenCosineFit;
use crate::model::{EqualAngleGrid, Sphere, State};
use crate::unit::sum;

/// A polarisation of which more than this share is missing was not measured.
pub(super) const ABSENT: f64 = 0.99;

/// How much of a polarisation is missing.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Lack {
    /// No more than is allowed.
    #[default]
    Little,
    /// More than is allowed.
    TooMuch,
    /// All of it.
    Everything,
}

/// Means over φ of each ring of one polarisation.
#[derive(Clone, Debug)]
pub(super) struct Rings {
    /// Mean; `None` where a sample is missing.
    value: Vec<Option<f64>>,
    /// Mean of the lower bounds; missing samples count as 0.
    lower: Vec<f64>,
    /// Mean of the upper bounds; `None` where one is unknown.
    upper: Vec<Option<f64>>,
    /// True where the ring holds filled or missing samples.
    gappy: Vec<bool>,
    /// How much of the polarisation is missing.
    lack: Lack,
    /// The gaps that were filled.
    filled: Vec<FilledGap>,
    /// Pole values by an even cosine fit of the other ring means, where a pole was not read: (ring, value, change with a lower degree).
    pub(super) fitted_poles: Vec<(usize, f64, f64)>,
    /// Noise of the means, where the floor is known.
    noise: Option<RingNoise>,
}

impl Rings {
    pub(super) fn new(
        sphere: &Sphere,
        grid: &EqualAngleGrid,
        frequency: usize,
        p: usize,
        lack: Lack,
        noise: Option<&Noise>,
        filled: &[FilledGap],
    ) -> Option<Self> {
        let m = grid.phi_count();
        let plane = sphere.power()?.index_axis(ndarray::Axis(0), frequency);
        let plane = plane.index_axis(ndarray::Axis(0), p);
        let values = plane.as_slice()?;
        let states = sphere.states().index_axis(ndarray::Axis(0), frequency);
        let states = states.index_axis(ndarray::Axis(0), p);
        let states = states.as_slice()?;
        let first = sphere
            .bounds()
            .partition_point(|b| (b.at.0, b.at.1) < (frequency, p));
        let mut bounds = sphere.bounds().get(first..)?.iter().peekable();
        let count = grid.rings();
        let mut rings = Self {
            value: Vec::with_capacity(count),
            lower: Vec::with_capacity(count),
            upper: Vec::with_capacity(count),
            gappy: Vec::with_capacity(count),
            lack,
            filled: filled.to_vec(),
            fitted_poles: Vec::new(),
            noise: noise.and_then(|n| RingNoise::new(sphere, grid, (frequency, p), n)),
        };
        for (row, row_states) in values.chunks_exact(m).zip(states.chunks_exact(m)) {
            let mean = sum::in_order(row) / m as f64;
            if row_states.iter().all(|s| *s == State::Measured) {
                rings.value.push(Some(mean));
                rings.lower.push(mean);
                rings.upper.push(Some(mean));
                rings.gappy.push(false);
                continue;
            }
            let ring = rings.value.len();
            let mut lower = row.to_vec();
            let mut upper: Option<Vec<f64>> = Some(row.to_vec());
            while let Some(b) =
                bounds.next_if(|b| (b.at.0, b.at.1) == (frequency, p) && b.at.2 < (ring + 1) * m)
            {
                let Some(column) = b.at.2.checked_sub(ring * m) else {
                    continue;
                };
                lower[column] = b.lower;
                match (b.upper, &mut upper) {
                    (Some(u), Some(all)) => all[column] = u,
                    _ => upper = None,
                }
            }
            let missing = row_states.contains(&State::Missing);
            rings.value.push((!missing).then_some(mean));
            rings.lower.push(sum::in_order(&lower) / m as f64);
            rings.upper.push(
                upper
                    .filter(|_| !missing)
                    .map(|u| sum::in_order(&u) / m as f64),
            );
            rings.gappy.push(
                row_states
                    .iter()
                    .any(|s| matches!(s, State::Missing | State::Filled)),
            );
        }
        rings.fit_poles(grid);
        Some(rings)
    }

    /// Where a pole was not read but every other ring has a mean: an even cosine series through all of them.
    fn fit_poles(&mut self, grid: &EqualAngleGrid) {
        let n = grid.intervals();
        let absent: Vec<usize> = [0, n]
            .into_iter()
            .filter(|r| self.value[*r].is_none())
            .collect();
        let known: Vec<(f64, f64)> = (0..=n)
            .filter_map(|ring| self.value[ring].map(|v| (grid.theta_deg(ring), v)))
            .collect();
        if absent.is_empty() || known.len() + absent.len() != n + 1 || known.len() < 4 {
            return;
        }
        let degree = known.len() - 1;
        let (Some(fine), Some(coarse)) = (
            EvenCosineFit::of_degree(&known, degree),
            EvenCosineFit::of_degree(&known, degree - 2),
        ) else {
            return;
        };
        for ring in absent {
            let theta = grid.theta_deg(ring);
            // Powers below zero, as after noise subtraction, are what they are.
            let fitted = fine.at(theta);
            let value = if self.noise.is_some() {
                fitted
            } else {
                fitted.max(0.0)
            };
            self.fitted_poles
                .push((ring, value, (value - coarse.at(theta)).abs()));
            if let Some(noise) = &mut self.noise {
                // The fit is linear in the means: the part of each is the fit of 1 there and 0 elsewhere.
                let mut parts = vec![0.0; n + 1];
                for (at, part) in parts.iter_mut().enumerate() {
                    let here = grid.theta_deg(at);
                    let unit: Vec<(f64, f64)> = known
                        .iter()
                        .map(|k| (k.0, f64::from(u8::from((k.0 - here).abs() < 1e-9))))
                        .collect();
                    if let Some(fit) = EvenCosineFit::of_degree(&unit, degree) {
                        *part = fit.at(theta);
                    }
                }
                noise.fit(ring, parts);
            }
        }
    }

    /// Covariance of the noise of two weighted sums; 0 where no floor is known.
    pub(super) fn noise_covariance(&self, a: &[f64], b: &[f64]) -> f64 {
        self.noise.as_ref().map_or(0.0, |n| n.covariance(a, b))
    }

    pub(super) fn add_to(&self, total: &mut WeightedSum, weights: &[f64]) {
        if let Some(noise) = &self.noise {
            noise.add_to(total.noise.get_or_insert_default(), weights);
        }
        for (ring, w) in weights.iter().enumerate() {
            if *w == 0.0 {
                continue;
            }
            let fitted = self.fitted_poles.iter().find(|f| f.0 == ring);
            let (value, lower, upper) = match fitted {
                Some((_, value, change)) => {
                    total.fitted = true;
                    (
                        Some(*value),
                        if self.noise.is_some() {
                            value - change
                        } else {
                            (value - change).max(0.0)
                        },
                        Some(value + change),
                    )
                }
                None => (self.value[ring], self.lower[ring], self.upper[ring]),
            };
            let half = w / 2.0;
            total.values.push(value.unwrap_or(0.0) * half);
            // A ring with a negative weight pulls the other way.
            let (low, high) = if *w > 0.0 {
                (Some(lower), upper)
            } else {
                (upper, Some(lower))
            };
            total.lower.push(low.map(|l| l * half));
            total.upper.push(high.map(|u| u * half));
            total.marked |= fitted.is_none() && !self.gappy[ring] && value != Some(lower);
            total.marked |= fitted.is_none() && !self.gappy[ring] && upper != value;
            if fitted.is_none() {
                total.gappy |= self.gappy[ring];
                if self.gappy[ring] {
                    total.lack = total.lack.max(self.lack);
                }
                total.missing |= value.is_none();
            }
        }
        total.add_gaps(&self.gap_errors(weights));
    }

    /// Standard uncertainty that each gap which carries weight brings to the sum: its own, times its weight.
    fn gap_errors(&self, weights: &[f64]) -> Vec<Option<f64>> {
        let weight = |gap: &FilledGap| {
            let of_ring =
                |(ring, part): &(usize, f64)| weights.get(*ring).map_or(0.0, |w| w / 2.0 * part);
            gap.rings.iter().map(of_ring).collect::<Vec<f64>>()
        };
        self.filled
            .iter()
            .map(|gap| (weight(gap), gap.error))
            .filter(|(weights, _)| weights.iter().any(|w| *w != 0.0))
            .map(|(weights, error)| error.map(|u| sum::in_order(&weights).abs() * u))
            .collect()
    }
}
