//! What was read at one frequency so far, before its range loss.

use crate::assemble::{Interval, half_of_total, means_at_pole};
use crate::model::{EqualAngleGrid, Layout, State};
use crate::running::now::Now;
use std::collections::BTreeMap;

/// Where a reading belongs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Spot {
    /// An index of the grid that is on no pole.
    Inner(usize),
    /// A pole, with the φ that it was read at, degrees.
    Pole { south: bool, phi_deg: f64 },
}

/// The largest reading of a polarisation, by its upper bound.
#[derive(Clone, Copy, Debug, Default)]
struct Largest {
    of_bounded: f64,
    /// True where a reading is at least something, so that nothing bounds it.
    unbounded: bool,
    /// True where a link was lost at a level that is not known.
    lost: bool,
}

/// Samples of one polarisation.
#[derive(Clone, Debug, Default)]
struct Plane {
    /// First reading of each direction; empty until there is one.
    points: Vec<f64>,
    states: Vec<State>,
    /// First readings that are marked, by direction.
    marked: BTreeMap<usize, Interval>,
    /// All readings of directions that were read more than once.
    again: BTreeMap<usize, Vec<Interval>>,
    /// North, south.
    poles_read: [bool; 2],
    largest: Largest,
    readings: usize,
    read: usize,
}

/// Readings of one frequency. Adding one costs no more than finding its sample.
#[derive(Clone, Debug)]
pub(super) struct Heard {
    planes: Vec<Plane>,
    /// Readings at the poles, north then south: polarisation index, φ in degrees, value.
    poles: [Vec<(usize, f64, Interval)>; 2],
}

impl Heard {
    pub fn new(layout: Layout) -> Self {
        Self {
            planes: vec![Plane::default(); layout.polarisations().len()],
            poles: [Vec::new(), Vec::new()],
        }
    }

    /// Number of samples of a polarisation index that have a reading, and of its readings.
    pub fn count(&self, p: usize) -> (usize, usize) {
        self.planes.get(p).map_or((0, 0), |l| (l.read, l.readings))
    }

    /// Takes a reading of a polarisation index.
    pub fn add(&mut self, grid: &EqualAngleGrid, p: usize, spot: Spot, interval: Interval) {
        let Some(plane) = self.planes.get_mut(p) else {
            return;
        };
        plane.readings += 1;
        plane.largest.look_at(&interval);
        match spot {
            Spot::Pole { south, phi_deg } => {
                let seen = &mut plane.poles_read[usize::from(south)];
                plane.read += usize::from(!*seen);
                *seen = true;
                self.poles[usize::from(south)].push((p, phi_deg, interval));
            }
            Spot::Inner(direction) => plane.add(grid, direction, interval),
        }
    }

    /// The samples as they stand: repeats averaged, poles settled, and multiplied by the `factors` of the range loss, one a
    /// polarisation. `lost` is what 1/EIS is at most where a link was lost at a level that is not known.
    pub fn now(
        &self,
        grid: &EqualAngleGrid,
        layout: Layout,
        factors: &[f64],
        lost: Option<f64>,
    ) -> Now {
        let count = grid.rings() * grid.phi_count();
        let mut cells: Vec<Vec<Option<Interval>>> = Vec::new();
        let mut largest = Some(0.0_f64);
        for (plane, factor) in self.planes.iter().zip(factors) {
            let at = |direction| plane.at(direction).map(|i| scaled(i, *factor));
            cells.push((0..count).map(at).collect());
            let here = plane.largest.value(*factor, lost);
            largest = largest.zip(here).map(|(a, b)| a.max(b));
        }
        let m = grid.phi_count();
        for (readings, ring) in self.poles.iter().zip([0, grid.intervals()]) {
            let means = means_at_pole(readings, grid, layout);
            let each: Vec<Option<Interval>> = means
                .into_iter()
                .zip(factors)
                .map(|(mean, factor)| mean.map(|i| scaled(i, *factor)))
                .collect();
            let joined = match each[..] {
                [Some(theta), Some(phi)] => vec![Some(half_of_total(theta, phi)); 2],
                _ => each,
            };
            for (plane, one) in cells.iter_mut().zip(joined) {
                if let Some(row) = plane.get_mut(ring * m..(ring + 1) * m) {
                    row.fill(one);
                }
            }
        }
        for cell in cells.iter_mut().flatten().flatten() {
            // As in the reduction: a mean, or half of a sum, to which what was lost adds that at most.
            if cell.state == State::AtLeast && cell.upper.is_none() {
                cell.upper = lost.map(|l| cell.lower + l);
            }
        }
        let begun = self.planes.iter().map(|l| l.readings > 0).collect();
        Now::new(*grid, layout, cells, largest, begun)
    }
}

impl Plane {
    fn add(&mut self, grid: &EqualAngleGrid, direction: usize, interval: Interval) {
        if self.points.is_empty() {
            let count = grid.rings() * grid.phi_count();
            self.points = vec![0.0; count];
            self.states = vec![State::Missing; count];
        }
        if let Some(all) = self.again.get_mut(&direction) {
            all.push(interval);
            return;
        }
        if let Some(first) = self.at(direction) {
            self.again.insert(direction, vec![first, interval]);
            return;
        }
        if let (Some(point), Some(state)) = (
            self.points.get_mut(direction),
            self.states.get_mut(direction),
        ) {
            *point = interval.point;
            *state = interval.state;
            self.read += 1;
            if interval.state != State::Measured {
                self.marked.insert(direction, interval);
            }
        }
    }

    /// The sample of a direction; `None` where it was not read.
    fn at(&self, direction: usize) -> Option<Interval> {
        let state = *self.states.get(direction)?;
        if state == State::Missing {
            return None;
        }
        if let Some(all) = self.again.get(&direction) {
            return Interval::mean(&mut all.clone());
        }
        if let Some(marked) = self.marked.get(&direction) {
            return Some(*marked);
        }
        let point = *self.points.get(direction)?;
        Some(Interval {
            point,
            lower: point,
            upper: Some(point),
            state,
        })
    }
}

impl Largest {
    fn look_at(&mut self, interval: &Interval) {
        match interval.upper {
            Some(upper) => self.of_bounded = self.of_bounded.max(upper),
            // A lost link, which is at 0 or above; anything else has a lower bound above 0.
            None if interval.point == 0.0 => self.lost = true,
            None => self.unbounded = true,
        }
    }

    /// With a range loss; `None` where nothing bounds it.
    fn value(&self, factor: f64, lost: Option<f64>) -> Option<f64> {
        let bounded = (!self.unbounded).then_some(self.of_bounded * factor)?;
        if self.lost {
            lost.map(|l| bounded.max(l))
        } else {
            Some(bounded)
        }
    }
}

fn scaled(interval: Interval, factor: f64) -> Interval {
    Interval {
        point: interval.point * factor,
        lower: interval.lower * factor,
        upper: interval.upper.map(|u| u * factor),
        state: interval.state,
    }
}
