//! The poles: one direction each, whatever φ they were read at.

use crate::assemble::interval::{Interval, joined};
use crate::finding::Finding;
use crate::model::{Bound, EqualAngleGrid, Layout, State};
use crate::unit::level;
use ndarray::Array3;
use std::collections::BTreeMap;

/// Means of the two polarisations over a full ring differ from half by more than this: a finding, dB.
const IMBALANCE_DB: f64 = 0.05;

/// Readings at the poles by (frequency, south): polarisation index, φ in degrees, value.
pub(super) type ByPole<T> = BTreeMap<(usize, bool), Vec<(usize, f64, T)>>;

/// Means of the two polarisations over a full ring at a pole, theta over phi.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Balance {
    /// Index of the frequency.
    pub frequency: usize,
    /// Theta over phi, in what integrates: 1 on a perfect range; `None` where a ring is not full.
    pub ratio: Option<f64>,
    /// Largest over smallest of readings that should be equal.
    pub spread: f64,
}

/// Readings of one value at a pole that differ by more than this: a finding, dB.
const SPREAD_DB: f64 = 0.5;

/// What a person should know of the spread of readings at the poles.
pub(crate) fn spread(balances: &[Balance]) -> Option<Finding> {
    let worst = balances
        .iter()
        .map(|b| level::db_from_ratio(b.spread))
        .fold(0.0, f64::max);
    (worst > SPREAD_DB).then(|| {
        Finding::warning(
            "pole-spread",
            format!("readings at a pole that should be one value differ by {worst:.2} dB; their mean was taken"),
        )
        .effect_db(worst)
        .advice("look for a single wrong reading at θ = 0° or 180°, drift, or two polarisations that were exchanged")
    })
}

/// What a person should know of the balances, each times the correction of its frequency.
pub(crate) fn imbalance(
    balances: &[Balance],
    correction: impl Fn(usize) -> f64,
) -> Option<Finding> {
    let worst = balances
        .iter()
        .filter_map(|b| {
            b.ratio
                .map(|r| level::db_from_ratio(r * correction(b.frequency)).abs())
        })
        .fold(0.0, f64::max);
    (worst > IMBALANCE_DB).then(|| {
        Finding::note(
            "pole-imbalance",
            format!("over a full ring at a pole the two polarisations should have equal means; they differ by {worst:.2} dB"),
        )
        .effect_db(worst)
        .advice("check the range loss of each polarisation, the alignment of the probe, and drift during the sweep")
    })
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
                ratio: pole.balance(),
                spread: if apart {
                    pole.repeat_spread
                } else {
                    pole.repeat_spread.max(pole.total_spread)
                },
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
    /// Largest over smallest of the totals at the φ at which both polarisations were read.
    total_spread: f64,
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
        let totals = means[0].iter().filter_map(|(column, theta)| {
            let phi = means[1].get(column)?;
            Some(Interval {
                point: theta.point + phi.point,
                state: joined(theta.state, phi.state),
                ..*theta
            })
        });
        let total_spread = if layout == Layout::TotalOnly {
            spread_of(means[0].values().copied())
        } else {
            spread_of(totals)
        };
        Self {
            layout,
            repeat_spread,
            total_spread,
            ring_means: [full(0), full(1)],
            pair_means: [paired(0), paired(1)],
            any: [mean_of(0), mean_of(1)],
        }
    }

    /// Theta over phi of the means over a full ring; `None` where that is unknown.
    fn balance(&self) -> Option<f64> {
        match self.ring_means {
            [Some(a), Some(b)]
                if a.state == State::Measured
                    && b.state == State::Measured
                    && a.point > 0.0
                    && b.point > 0.0 =>
            {
                Some(a.point / b.point)
            }
            _ => None,
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
