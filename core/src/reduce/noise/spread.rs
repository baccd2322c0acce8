//! How the noise variance of a figure is spread over samples.

use super::report::Dominant;
use crate::correct::Noise;
use crate::figure::Channel;
use crate::model::State;
use crate::unit::sum;

/// Most rings that are named.
const MOST_RINGS: usize = 3;

/// How the variance is spread over samples.
pub(super) struct Spread {
    /// Weight and variance of each sample that counts.
    pub(super) samples: Vec<(f64, f64)>,
    pub(super) by_polarisation: Vec<f64>,
    by_ring: Vec<f64>,
}

impl Spread {
    pub(super) fn of(channel: &Channel<'_>, noise: &Noise) -> Self {
        let weights = channel.setting.weights.whole(channel.setting.rule);
        let m = channel.grid.phi_count();
        let mut spread = Self {
            samples: Vec::new(),
            by_polarisation: Vec::new(),
            by_ring: vec![0.0; weights.len()],
        };
        for p in 0..channel.sphere.layout().polarisations().len() {
            let mut of_polarisation = Vec::new();
            for (ring, w) in weights.iter().enumerate() {
                // A pole is one direction.
                let columns = if channel.grid.is_pole(ring) { 1 } else { m };
                let w = w / (2.0 * columns as f64);
                for column in 0..columns {
                    let at = (channel.frequency, p, ring * m + column);
                    let (Some(level), Some(value), Some(state)) = (
                        noise.level(at.0, p),
                        channel.sphere.power().and_then(|v| v.get(at)),
                        channel.sphere.states().get(at),
                    ) else {
                        continue;
                    };
                    if *state == State::Missing {
                        continue;
                    }
                    let shown = noise.shown(at, *value, *state);
                    let variance = noise
                        .variance(level, *value, shown)
                        .max(noise.least_variance(level));
                    spread.samples.push((w, variance));
                    of_polarisation.push(w * w * variance);
                    if let Some(of_ring) = spread.by_ring.get_mut(ring) {
                        *of_ring += w * w * variance;
                    }
                }
            }
            spread.by_polarisation.push(sum::in_order(&of_polarisation));
        }
        spread
    }

    /// The rings with the largest shares, largest first.
    pub(super) fn dominant(&self, channel: &Channel<'_>) -> Vec<Dominant> {
        let whole = sum::in_order(&self.by_ring);
        let mut rings: Vec<Dominant> = self
            .by_ring
            .iter()
            .enumerate()
            .filter(|(_, v)| **v > 0.0)
            .map(|(ring, v)| Dominant {
                theta_deg: channel.grid.theta_deg(ring),
                variance_share_percent: 100.0 * v / whole,
            })
            .collect();
        rings.sort_by(|a, b| {
            b.variance_share_percent
                .total_cmp(&a.variance_share_percent)
        });
        rings.truncate(MOST_RINGS);
        rings
    }
}

#[cfg(test)]
mod tests;
