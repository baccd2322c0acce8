//! Where a reading belongs: frequency, polarisation and direction.

use crate::model::{EqualAngleGrid, Grid, Layout, Polarisation, Readings};
use crate::unit::{Frequency, angle};

/// Where a reading belongs.
pub(crate) struct Slots<'a> {
    pub grid: &'a Grid,
    pub layout: Layout,
    pub frequencies: &'a [Option<Frequency>],
}

/// A slot of the sphere: an inner direction, or a pole with the φ it was read at.
#[derive(Clone, Copy)]
pub(crate) enum Slot {
    Inner(usize),
    Pole { north: bool, phi_deg: f64 },
}

impl Slots<'_> {
    pub fn shape(&self) -> (usize, usize, usize) {
        (
            self.frequencies.len(),
            self.layout.polarisations().len(),
            self.grid.len(),
        )
    }

    pub fn frequency_map(&self, run: &Readings) -> Vec<usize> {
        run.frequencies()
            .iter()
            .map(|f| self.frequencies.binary_search(f).unwrap_or(0))
            .collect()
    }

    pub fn polarisation(&self, polarisation: Polarisation) -> Option<usize> {
        self.layout
            .polarisations()
            .iter()
            .position(|p| *p == polarisation)
    }

    pub fn direction(&self, at: &angle::Folded) -> Slot {
        match self.grid {
            Grid::EqualAngle(g) => {
                let ring = ring(g, at.theta_deg);
                if g.is_pole(ring) {
                    return Slot::Pole {
                        north: ring == 0,
                        phi_deg: at.phi_deg,
                    };
                }
                Slot::Inner(ring * g.phi_count() + column(g, at.phi_deg))
            }
            Grid::Listed(g) => Slot::Inner(
                g.directions()
                    .binary_search_by(|d| {
                        d.theta_deg
                            .total_cmp(&at.theta_deg)
                            .then(d.phi_deg.total_cmp(&at.phi_deg))
                    })
                    .unwrap_or(0),
            ),
        }
    }
}

pub(crate) fn column(grid: &EqualAngleGrid, phi_deg: f64) -> usize {
    let step = (phi_deg - grid.phi_start_deg()) * grid.phi_count() as f64 / 360.0;
    // −0.4 … M−0.5 is nearest to 0 … M; M is 0 again.
    let nearest = nearest(step);
    if nearest < grid.phi_count() {
        nearest
    } else {
        0
    }
}

/// The ring nearest to a θ of 0…180°.
pub(crate) fn ring(grid: &EqualAngleGrid, theta_deg: f64) -> usize {
    nearest(theta_deg * grid.intervals() as f64 / 180.0).min(grid.intervals())
}

/// The nearest whole number, 0 for what is below; a conversion, where rounding would be a call.
fn nearest(steps: f64) -> usize {
    (steps + 0.5) as usize
}

/// Rows of a file often repeat the direction of the row before.
#[derive(Default)]
pub(crate) struct Cache {
    last: Option<(u64, u64, Slot, bool)>,
}

impl Cache {
    /// Slot of a direction as it was written, and whether folding flipped it; `None` where it is out of range.
    pub fn slot(
        &mut self,
        slots: &Slots<'_>,
        theta_deg: f64,
        phi_deg: f64,
    ) -> Option<(Slot, bool)> {
        let key = (theta_deg.to_bits(), phi_deg.to_bits());
        if let Some((t, p, slot, flipped)) = self.last
            && (t, p) == key
        {
            return Some((slot, flipped));
        }
        let folded = angle::fold(theta_deg, phi_deg)?;
        let slot = slots.direction(&folded);
        self.last = Some((key.0, key.1, slot, folded.flipped));
        Some((slot, folded.flipped))
    }
}
