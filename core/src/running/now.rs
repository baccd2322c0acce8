//! One frequency as it stands: sums over what was read, and bounds over what was not.
//!
//! A window or rule is one weight wᵢ a ring, ½ Σ wᵢ pᵢ with pᵢ the mean over φ. With L the largest reading so far of either
//! polarisation, each sample that was not read counts
//!
//! - in the lower bound as 0, in the upper as L (the other way round where wᵢ is negative, as in some exact windows);
//! - in the value as the mean of the samples of its polarisation that were read, by |wᵢ|. Where no weight is negative, that is the sum
//!   over what was read, scaled by all the weight over the weight that was read.

use crate::assemble::Interval;
use crate::figure::Part;
use crate::model::{EqualAngleGrid, Layout, Polarisation, State};
use crate::unit::sum;

/// Samples of one frequency, in what integrates, after the range loss.
pub(super) struct Now {
    grid: EqualAngleGrid,
    layout: Layout,
    /// By polarisation and direction; `None` where there is no reading.
    cells: Vec<Vec<Option<Interval>>>,
    rings: Vec<Vec<Ring>>,
    largest: Option<f64>,
    begun: Vec<bool>,
}

/// A ring of one polarisation, as sums over its cells divided by their number.
struct Ring {
    /// Share of the cells that was read.
    read: f64,
    point: f64,
    lower: f64,
    upper: Option<f64>,
    complete: bool,
    marked: bool,
}

/// A sum in what integrates, as it stands.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Standing {
    /// By what is measured; `None` where nothing of a polarisation is.
    pub value: Option<f64>,
    /// What was not read at zero.
    pub lower: f64,
    /// What was not read at the largest reading; `None` where nothing bounds it.
    pub upper: Option<f64>,
    /// True where samples that carry weight were not read.
    pub unread: bool,
    /// True where samples that carry weight are marked.
    pub marked: bool,
}

/// The largest total over the directions, as it stands.
pub(super) struct Peak {
    pub standing: Standing,
    /// Where the value is.
    pub direction: Option<usize>,
}

impl Now {
    pub fn new(
        grid: EqualAngleGrid,
        layout: Layout,
        cells: Vec<Vec<Option<Interval>>>,
        largest: Option<f64>,
        begun: Vec<bool>,
    ) -> Self {
        let m = grid.phi_count();
        let of_plane = |plane: &Vec<Option<Interval>>| {
            let rows = plane.chunks_exact(m);
            rows.map(|row| Ring::new(row, largest)).collect()
        };
        let rings = cells.iter().map(of_plane).collect();
        Self {
            grid,
            layout,
            cells,
            rings,
            largest,
            begun,
        }
    }

    /// Index of the first polarisation that has no reading yet; `None` once all have.
    pub fn not_begun(&self) -> Option<usize> {
        self.begun.iter().position(|b| !b)
    }

    /// Polarisation of an index.
    pub fn polarisation(&self, p: usize) -> Option<Polarisation> {
        self.layout.polarisations().get(p).copied()
    }

    /// ½ Σ wᵢ pᵢ of a part; `None` for a polarisation of totals.
    pub fn sum(&self, part: Part, weights: &[f64]) -> Option<Standing> {
        let wanted = match (part, self.layout) {
            (Part::Total, _) => &self.rings[..],
            (Part::Theta, Layout::ThetaPhi) => self.rings.get(..1)?,
            (Part::Phi, Layout::ThetaPhi) => self.rings.get(1..2)?,
            (_, Layout::TotalOnly) => return None,
        };
        let mut values = Vec::new();
        let mut lower = Vec::new();
        let mut upper = Vec::new();
        let mut known = true;
        let (mut unread, mut marked) = (false, false);
        for rings in wanted {
            let (mut mean, mut read, mut rest) = (Vec::new(), Vec::new(), Vec::new());
            for (ring, w) in rings.iter().zip(weights).filter(|(_, w)| **w != 0.0) {
                let half = w / 2.0;
                values.push(ring.point * half);
                let (low, high) = if half > 0.0 {
                    (Some(ring.lower), ring.upper)
                } else {
                    (ring.upper, Some(ring.lower))
                };
                lower.push(low.map(|l| l * half));
                upper.push(high.map(|h| h * half));
                marked |= ring.marked;
                mean.push(ring.point * half.abs());
                read.push(ring.read * half.abs());
                if !ring.complete {
                    unread = true;
                    rest.push((1.0 - ring.read) * half);
                }
            }
            if rest.is_empty() {
                continue;
            }
            let read = sum::in_order(&read);
            known &= read > 0.0;
            if known {
                values.push(sum::in_order(&mean) / read * sum::in_order(&rest));
            }
        }
        let all = |of: Vec<Option<f64>>| {
            let of: Option<Vec<f64>> = of.into_iter().collect();
            of.map(|v| sum::in_order(&v))
        };
        let value = known.then(|| sum::in_order(&values));
        Some(Standing {
            // A power is not below zero, whatever bounds the samples.
            lower: all(lower).unwrap_or(0.0).max(0.0),
            value,
            upper: all(upper),
            unread,
            marked,
        })
    }

    /// The largest total over the directions. Its value is the largest sum of what was read in a direction, be it one polarisation.
    pub fn peak(&self) -> Peak {
        let mut standing = Standing {
            value: None,
            lower: 0.0,
            upper: Some(0.0),
            unread: false,
            marked: false,
        };
        let mut direction = None;
        for at in self.grid.distinct() {
            let (mut value, mut lower, mut upper) = (None, 0.0, Some(0.0));
            for plane in &self.cells {
                let cell = plane.get(at).copied().flatten();
                standing.unread |= cell.is_none();
                standing.marked |= cell.is_some_and(|c| c.state != State::Measured);
                if let Some(cell) = cell {
                    value = Some(value.unwrap_or(0.0) + cell.point);
                }
                lower += cell.map_or(0.0, |c| c.lower);
                let high = cell.map_or(self.largest, |c| c.upper);
                upper = upper.zip(high).map(|(u, h): (f64, f64)| u + h);
            }
            standing.lower = standing.lower.max(lower);
            standing.upper = standing.upper.zip(upper).map(|(a, b)| a.max(b));
            if let Some(here) = value
                && standing.value.is_none_or(|v| here > v)
            {
                standing.value = Some(here);
                direction = Some(at);
            }
        }
        Peak {
            standing,
            direction,
        }
    }
}

impl Ring {
    fn new(row: &[Option<Interval>], largest: Option<f64>) -> Self {
        let m = row.len() as f64;
        let read = row.iter().flatten().count();
        let mean = |of: fn(&Interval) -> f64| {
            let all: Vec<f64> = row.iter().map(|c| c.as_ref().map_or(0.0, of)).collect();
            sum::in_order(&all) / m
        };
        let upper: Option<Vec<f64>> = row
            .iter()
            .map(|c| c.as_ref().map_or(largest, |i| i.upper))
            .collect();
        Self {
            read: read as f64 / m,
            point: mean(|i| i.point),
            lower: mean(|i| i.lower),
            upper: upper.map(|u| sum::in_order(&u) / m),
            complete: read == row.len(),
            marked: row.iter().flatten().any(|i| i.state != State::Measured),
        }
    }
}
