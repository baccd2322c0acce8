//! The poles: one direction each, whatever φ they were read at.

use crate::assemble::interval::{Interval, joined};
use crate::assemble::slots::column;
use crate::finding::axes;
use crate::finding::pole_copied::{is_constant, pole_copied};
use crate::finding::pole_law::{departure, pole_law};
use crate::finding::{Finding, pole_imbalance, pole_spread};
use crate::model::{Bound, EqualAngleGrid, Layout, Sphere, State};
use crate::unit::level;
use ndarray::Array3;
use std::collections::BTreeMap;

/// Readings at the poles by (frequency, south): polarisation index, φ in degrees, value.
pub(super) type ByPole<T> = BTreeMap<(usize, bool), Vec<(usize, f64, T)>>;

/// What the readings of a pole at a frequency say of the range and of each other.
#[derive(Clone, Debug)]
pub(crate) struct Balance {
    /// Index of the frequency.
    pub frequency: usize,
    /// Means of theta and phi over a ring that is full and measured, in what integrates: equal on a perfect range.
    means: Option<(f64, f64)>,
    /// True where neither polarisation changes over that ring.
    constant: bool,
    /// Departure from the law of cos² and sin² over that ring, as a share of the total.
    law: Option<f64>,
    /// Largest over smallest of repeats at one φ in one polarisation.
    repeats: f64,
    /// Theta and phi at each φ at which both were measured; the total and 0 where it stands alone.
    pairs: Vec<(f64, f64)>,
}

/// What a person should know of the law that the polarisations follow at the poles, whatever their scales.
pub(crate) fn law(balances: &[Balance]) -> Option<Finding> {
    pole_law(balances.iter().filter_map(|b| b.law).fold(0.0, f64::max))
}

/// What a person should know of repeats at the poles while the polarisations have no common scale.
pub(crate) fn repeats(balances: &[Balance]) -> Option<Finding> {
    let all = balances.iter().map(|b| level::db_from_ratio(b.repeats));
    pole_spread(all.fold(0.0, f64::max))
}

/// What a person should know of both polarisations of the poles together, once they have one scale: `factor` is what theta has to be
/// multiplied by at a frequency.
pub(crate) fn of_both(
    sphere: &Sphere,
    balances: &[Balance],
    factor: impl Fn(usize) -> f64,
) -> Vec<Finding> {
    // Of readings before their losses, repeats are told by themselves.
    let apart = sphere.quantity().needs_range_loss();
    let (mut imbalance_db, mut spread_db) = (0.0_f64, 0.0_f64);
    let (mut copied, mut axes) = (None, None);
    for b in balances {
        let factor = factor(b.frequency);
        if let Some((theta, phi)) = b.means {
            let theta = theta * factor;
            if theta > 0.0 && phi > 0.0 {
                imbalance_db = imbalance_db.max(level::db_from_ratio(theta / phi).abs());
            }
            if b.constant && copied.is_none() {
                copied = pole_copied(theta, phi);
            }
        }
        if !apart {
            spread_db = spread_db.max(level::db_from_ratio(b.repeats));
        }
        let mut totals: Vec<f64> = b.pairs.iter().map(|(t, p)| t * factor + p).collect();
        totals.retain(|t| *t > 0.0);
        totals.sort_unstable_by(f64::total_cmp);
        let (Some(least), Some(most)) = (totals.first(), totals.last()) else {
            continue;
        };
        spread_db = spread_db.max(level::db_from_ratio(most / least));
        let middle = level::db_from_ratio(totals[totals.len() * 3 / 4] / totals[totals.len() / 4]);
        if axes.is_none() {
            axes = exchanged(sphere, b.frequency, factor, middle);
        }
    }
    [
        pole_spread(spread_db),
        pole_imbalance(imbalance_db),
        copied,
        axes,
    ]
    .into_iter()
    .flatten()
    .collect()
}

/// Whether the totals of a frequency say that θ and φ were exchanged.
fn exchanged(sphere: &Sphere, frequency: usize, factor: f64, middle_db: f64) -> Option<Finding> {
    if middle_db < axes::NO_POLE_DB {
        return None;
    }
    let (grid, values) = (sphere.grid().equal_angle()?, sphere.power()?);
    let polarisations = sphere.layout().polarisations().len();
    let mut total = vec![0.0; grid.rings() * grid.phi_count()];
    let mut states = vec![State::Measured; total.len()];
    for p in 0..polarisations {
        let factor = if p == 0 { factor } else { 1.0 };
        for (d, (total, state)) in total.iter_mut().zip(&mut states).enumerate() {
            *total += factor * values[(frequency, p, d)];
            *state = (*state).max(sphere.states()[(frequency, p, d)]);
        }
    }
    axes::axes_exchanged(grid, &total, &states, middle_db)
}

/// Readings of powers at the poles.
#[derive(Default)]
pub(crate) struct PowerPoles {
    readings: ByPole<Interval>,
}

impl PowerPoles {
    /// Keeps a reading of a polarisation index at a pole.
    pub fn push(
        &mut self,
        frequency: usize,
        north: bool,
        polarisation: usize,
        phi_deg: f64,
        interval: Interval,
    ) {
        self.readings.entry((frequency, !north)).or_default().push((
            polarisation,
            phi_deg,
            interval,
        ));
    }

    /// Writes each pole's ring: half of the total in each polarisation.
    ///
    /// The total at a pole is one physical value. Pairs of both polarisations at one φ each give it; the mean over φ of one
    /// polarisation over a full ring is half of it, for every state of polarisation (cos² and sin² average to ½).
    ///
    /// Before the range loss the polarisations have different scales and no total. `apart` leaves each its own mean; once the loss is
    /// applied, [`half_of_total`] joins them.
    #[expect(
        clippy::too_many_arguments,
        reason = "the arrays of one sphere, written in one place"
    )]
    pub fn settle(
        self,
        grid: &EqualAngleGrid,
        layout: Layout,
        apart: bool,
        column_of: &dyn Fn(f64) -> usize,
        values: &mut Array3<f64>,
        states: &mut Array3<State>,
        bounds: &mut Vec<Bound>,
    ) -> Vec<Balance> {
        let mut balances = Vec::new();
        for ((frequency, south), readings) in self.readings {
            let ring = if south { grid.intervals() } else { 0 };
            let pole = Pole::new(&readings, grid, layout, column_of);
            balances.push(Balance {
                frequency,
                ..pole.balance(grid)
            });
            let of_each = if apart { pole.means() } else { pole.halves() };
            for (p, interval) in of_each.into_iter().enumerate() {
                let Some(one) = interval else { continue };
                for j in 0..grid.phi_count() {
                    let at = (frequency, p, ring * grid.phi_count() + j);
                    values[at] = one.point;
                    states[at] = one.state;
                    if one.state != State::Measured {
                        bounds.push(Bound {
                            at,
                            lower: one.lower,
                            upper: one.upper,
                        });
                    }
                }
            }
        }
        balances
    }
}

/// What each polarisation's ring holds at a pole of these readings (polarisation index, φ in degrees, value) before the polarisations are
/// joined by [`half_of_total`]; `None` where the readings do not tell the total.
pub(crate) fn means_at_pole(
    readings: &[(usize, f64, Interval)],
    grid: &EqualAngleGrid,
    layout: Layout,
) -> Vec<Option<Interval>> {
    let pole = Pole::new(readings, grid, layout, &|phi_deg| column(grid, phi_deg));
    pole.certain_means()
}

/// One pole at one frequency.
struct Pole {
    layout: Layout,
    /// Mean of each polarisation's readings over a ring that is full, by polarisation index.
    ring_means: [Option<Interval>; 2],
    /// Mean of each polarisation's readings over the φ at which both were read.
    pair_means: [Option<Interval>; 2],
    /// Mean of whatever there is of each polarisation.
    any: [Option<Interval>; 2],
    /// Largest over smallest of repeats at one φ in one polarisation.
    repeat_spread: f64,
    /// Values at each φ at which both polarisations were measured, by column; a total that stands alone has 0 beside it.
    pairs: BTreeMap<usize, (f64, f64)>,
}

/// Largest over smallest of measured values above zero; 1 where there are fewer than two.
fn spread_of(values: impl Iterator<Item = Interval>) -> f64 {
    let (mut low, mut high) = (f64::INFINITY, 0.0_f64);
    for one in values.filter(|i| i.state == State::Measured && i.point > 0.0) {
        low = low.min(one.point);
        high = high.max(one.point);
    }
    if high > 0.0 { high / low } else { 1.0 }
}

impl Pole {
    fn new(
        readings: &[(usize, f64, Interval)],
        grid: &EqualAngleGrid,
        layout: Layout,
        column_of: &dyn Fn(f64) -> usize,
    ) -> Self {
        // By φ: repeats at one φ first become one.
        let mut by_column: [BTreeMap<usize, Vec<Interval>>; 2] = [BTreeMap::new(), BTreeMap::new()];
        for (polarisation, phi_deg, interval) in readings {
            if let Some(columns) = by_column.get_mut(*polarisation) {
                columns
                    .entry(column_of(*phi_deg))
                    .or_default()
                    .push(*interval);
            }
        }
        let repeat_spread = by_column
            .iter()
            .flat_map(BTreeMap::values)
            .map(|all| spread_of(all.iter().copied()))
            .fold(1.0, f64::max);
        let means: Vec<BTreeMap<usize, Interval>> = by_column
            .into_iter()
            .map(|columns| {
                columns
                    .into_iter()
                    .filter_map(|(column, mut all)| Interval::mean(&mut all).map(|m| (column, m)))
                    .collect()
            })
            .collect();
        let mean_of =
            |p: usize| Interval::mean(&mut means[p].values().copied().collect::<Vec<_>>());
        let full = |p: usize| {
            (means[p].len() == grid.phi_count())
                .then(|| mean_of(p))
                .flatten()
        };
        let paired = |p: usize| {
            let of: BTreeMap<usize, Interval> = means[p]
                .iter()
                .filter(|(column, _)| means[1 - p].contains_key(column))
                .map(|(column, interval)| (*column, *interval))
                .collect();
            Interval::mean(&mut of.into_values().collect::<Vec<_>>())
        };
        let measured = |p: usize, column: &usize| {
            let one = means[p].get(column)?;
            (one.state == State::Measured).then_some(one.point)
        };
        let pairs = means[0]
            .keys()
            .filter_map(|column| {
                let theta = measured(0, column)?;
                let phi = match layout {
                    Layout::TotalOnly => 0.0,
                    Layout::ThetaPhi => measured(1, column)?,
                };
                Some((*column, (theta, phi)))
            })
            .collect();
        Self {
            layout,
            repeat_spread,
            pairs,
            ring_means: [full(0), full(1)],
            pair_means: [paired(0), paired(1)],
            any: [mean_of(0), mean_of(1)],
        }
    }

    /// What the readings say of each other.
    fn balance(&self, grid: &EqualAngleGrid) -> Balance {
        let pairs: Vec<(f64, f64)> = self.pairs.values().copied().collect();
        let (theta, phi): (Vec<f64>, Vec<f64>) = pairs.iter().copied().unzip();
        let full = self.layout == Layout::ThetaPhi && pairs.len() == grid.phi_count();
        let columns: Vec<f64> = self.pairs.keys().map(|j| grid.phi_deg(*j)).collect();
        let means = match self.ring_means {
            [Some(a), Some(b)] if full => Some((a.point, b.point)),
            _ => None,
        };
        Balance {
            frequency: 0,
            means,
            constant: full && is_constant(&theta) && is_constant(&phi),
            law: full.then(|| departure(&columns, &theta, &phi)).flatten(),
            repeats: self.repeat_spread,
            pairs,
        }
    }

    /// What each polarisation's ring holds while the polarisations have different scales: its own mean.
    fn means(&self) -> Vec<Option<Interval>> {
        if self.layout == Layout::TotalOnly {
            return vec![self.any[0]];
        }
        if let [Some(_), Some(_)] = self.pair_means {
            return self.pair_means.to_vec();
        }
        match self.any {
            [Some(_), Some(_)] => self.any.to_vec(),
            // One polarisation alone: its mean over a full ring is half of the total.
            _ => self.ring_means.to_vec(),
        }
    }

    /// Likewise, where readings of both polarisations at different φ tell nothing: more readings may show another total.
    fn certain_means(&self) -> Vec<Option<Interval>> {
        match self.pair_means {
            [None, _] | [_, None] if self.layout == Layout::ThetaPhi => self.ring_means.to_vec(),
            _ => self.means(),
        }
    }

    /// What each polarisation's ring holds: half of the total.
    fn halves(&self) -> Vec<Option<Interval>> {
        let means = self.means();
        match means[..] {
            [Some(theta), Some(phi)] => vec![Some(half_of_total(theta, phi)); 2],
            _ => means,
        }
    }
}

/// Half of the sum of both polarisations at a pole.
pub(crate) fn half_of_total(theta: Interval, phi: Interval) -> Interval {
    Interval {
        point: 0.5 * (theta.point + phi.point),
        lower: 0.5 * (theta.lower + phi.lower),
        upper: theta.upper.zip(phi.upper).map(|(a, b)| 0.5 * (a + b)),
        state: joined(theta.state, phi.state),
    }
}

#[cfg(test)]
mod tests;
