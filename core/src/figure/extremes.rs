//! Largest and smallest total over the directions of one frequency.

use crate::correct::Noise;
use crate::model::{EqualAngleGrid, Sphere, State};
use ndarray::Axis;

/// A total in a direction.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Extreme {
    /// Sum of the polarisations in what integrates.
    pub value: f64,
    /// Direction index.
    pub direction: usize,
}

/// Extremes over the directions that were read in every polarisation, poles once. Filled directions are left out.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Extremes {
    /// The largest total; the first of equals.
    pub largest: Extreme,
    /// The smallest total; the first of equals.
    pub smallest: Extreme,
    /// The largest total is not less than this.
    pub largest_lower: f64,
    /// The largest total is not more than this, filled directions included; `None`: nothing bounds it.
    pub largest_upper: Option<f64>,
    /// The smallest total is not less than this.
    pub smallest_lower: f64,
    /// The smallest total is not more than this.
    pub smallest_upper: Option<f64>,
    /// Number of directions that were not read.
    pub unread: usize,
    /// True where the pattern rises towards a pole that was not read.
    pub rises_to_pole: bool,
}

impl Extremes {
    /// Finds them; `None` where no direction was read in every polarisation.
    #[must_use]
    pub fn find(sphere: &Sphere, grid: &EqualAngleGrid, frequency: usize) -> Option<Self> {
        let values = sphere.power()?.index_axis(Axis(0), frequency);
        let states = sphere.states().index_axis(Axis(0), frequency);
        let (values, states) = (values.as_slice()?, states.as_slice()?);
        let count = grid.rings() * grid.phi_count();
        let polarisations = sphere.layout().polarisations().len();
        let second = |of: usize| if polarisations == 2 { of + count } else { of };
        let single = if polarisations == 2 { 1.0 } else { 0.0 };
        let mut found: Option<Self> = None;
        let simple = states.iter().all(|s| *s == State::Measured);
        if simple {
            let (theta, phi) = (&values[..count], &values[values.len() - count..]);
            let m = grid.phi_count();
            // A pole's ring holds one direction.
            let last = count - m;
            let mut largest = Extreme {
                value: theta[0] + single * phi[0],
                direction: 0,
            };
            let mut smallest = largest;
            for direction in (m..last).chain([last]) {
                let value = theta[direction] + single * phi[direction];
                if value > largest.value {
                    largest = Extreme { value, direction };
                }
                if value < smallest.value {
                    smallest = Extreme { value, direction };
                }
            }
            return Some(Self {
                largest,
                smallest,
                largest_lower: largest.value,
                largest_upper: Some(largest.value),
                smallest_lower: smallest.value,
                smallest_upper: Some(smallest.value),
                unread: 0,
                rises_to_pole: false,
            });
        }
        let bounds_of = |index: usize| {
            let at = (frequency, index / count, index % count);
            let value = values[index];
            match states[index] {
                State::Measured => (value, Some(value)),
                State::Missing => (0.0, None),
                _ => sphere
                    .bounds()
                    .binary_search_by_key(&at, |b| b.at)
                    .ok()
                    .and_then(|i| sphere.bounds().get(i))
                    .map_or((value, Some(value)), |b| (b.lower, b.upper)),
            }
        };
        let mut unread = 0;
        let mut open = false;
        let mut filled_upper = 0.0_f64;
        for direction in grid.distinct() {
            let pair = [direction, second(direction)];
            let pair = &pair[..polarisations];
            let pole = grid.is_pole(direction / grid.phi_count());
            let unmeasured_pole = pole && pair.iter().all(|i| states[*i] == State::Missing);
            if unmeasured_pole {
                unread += 1;
                continue;
            }
            let (mut value, mut lower, mut upper) = (0.0, 0.0, Some(0.0));
            for index in pair {
                let (low, high) = bounds_of(*index);
                value += values[*index];
                lower += low;
                upper = upper.zip(high).map(|(a, b)| a + b);
            }
            if !pair.iter().all(|i| states[*i].is_read()) {
                unread += 1;
                match upper {
                    Some(u) => filled_upper = filled_upper.max(u),
                    None => open = true,
                }
                continue;
            }
            let here = Extreme { value, direction };
            match &mut found {
                None => {
                    found = Some(Self {
                        largest: here,
                        smallest: here,
                        largest_lower: lower,
                        largest_upper: upper,
                        smallest_lower: lower,
                        smallest_upper: upper,
                        unread: 0,
                        rises_to_pole: false,
                    });
                }
                Some(e) => {
                    if value > e.largest.value {
                        e.largest = here;
                    }
                    if value < e.smallest.value {
                        e.smallest = here;
                    }
                    e.largest_lower = e.largest_lower.max(lower);
                    e.largest_upper = e.largest_upper.zip(upper).map(|(a, b)| a.max(b));
                    e.smallest_lower = e.smallest_lower.min(lower);
                    // The smallest is at most the smallest of the upper bounds that exist.
                    e.smallest_upper = match (e.smallest_upper, upper) {
                        (Some(a), Some(b)) => Some(a.min(b)),
                        (a, b) => a.or(b),
                    };
                }
            }
        }
        let mut found = found?;
        found.rises_to_pole = rises_into_unread_pole(grid, |direction| {
            let pair = [direction, second(direction)];
            let pair = &pair[..polarisations];
            let read = pair.iter().all(|i| states[*i].is_read());
            read.then(|| pair.iter().map(|i| values[*i]).sum())
        });
        found.unread = unread;
        let open = open || found.rises_to_pole;
        found.largest_upper = found
            .largest_upper
            .filter(|_| !open)
            .map(|u| u.max(filled_upper));
        if unread > 0 {
            // Whatever was not read may be the smallest.
            found.smallest_lower = 0.0;
        }
        Some(found)
    }

    /// With upper bounds that leave what an estimated floor took off in place: all of it may be signal.
    #[must_use]
    pub(super) fn with_floor_left(
        mut self,
        sphere: &Sphere,
        grid: &EqualAngleGrid,
        frequency: usize,
        noise: &Noise,
    ) -> Self {
        let Some(power) = sphere.power() else {
            return self;
        };
        let polarisations = sphere.layout().polarisations().len();
        let shown = |direction: usize| -> Option<f64> {
            let each = (0..polarisations).map(|p| {
                let at = (frequency, p, direction);
                let state = sphere.states()[at];
                state.is_read().then(|| noise.shown(at, power[at], state))
            });
            each.sum()
        };
        for shown in grid.distinct().filter_map(shown) {
            self.largest_upper = self.largest_upper.map(|u| u.max(shown));
        }
        let smallest = grid.distinct().filter_map(shown).reduce(f64::min);
        self.smallest_upper = self.smallest_upper.zip(smallest).map(|(a, b)| a.max(b));
        self
    }
}

/// True where a pole was not read and the ring beside it holds a larger total than any of the next ring: the peak may lie at the pole.
fn rises_into_unread_pole(grid: &EqualAngleGrid, total: impl Fn(usize) -> Option<f64>) -> bool {
    let (n, m) = (grid.intervals(), grid.phi_count());
    let largest = |ring: usize| (0..m).filter_map(|j| total(ring * m + j)).reduce(f64::max);
    [(0, 1, 2), (n, n - 1, n - 2)]
        .into_iter()
        .filter(|(pole, _, _)| total(pole * m).is_none())
        .any(|(_, beside, next)| match (largest(beside), largest(next)) {
            (Some(beside), Some(next)) => beside > next * (1.0 + 1e-9),
            _ => true,
        })
}

#[cfg(test)]
mod tests;
