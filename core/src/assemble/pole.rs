//! The poles: one direction each, whatever φ they were read at.

use crate::assemble::interval::{Interval, joined};
use crate::error::{Error, Result};
use crate::finding::Finding;
use crate::model::{Bound, EqualAngleGrid, Layout, State};
use crate::unit::{angle, level};
use ndarray::Array3;
use num_complex::Complex64;
use std::collections::BTreeMap;

/// Means of the two polarisations over a full ring differ from half by more than this: a finding, dB.
const IMBALANCE_DB: f64 = 0.05;

/// Readings at the poles by (frequency, south): polarisation index, φ in degrees, value.
type ByPole<T> = BTreeMap<(usize, bool), Vec<(usize, f64, T)>>;

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
    #[expect(
        clippy::too_many_arguments,
        reason = "the arrays of one sphere, written in one place"
    )]
    pub fn settle(
        self,
        grid: &EqualAngleGrid,
        layout: Layout,
        column_of: &dyn Fn(f64) -> usize,
        values: &mut Array3<f64>,
        states: &mut Array3<State>,
        bounds: &mut Vec<Bound>,
        findings: &mut Vec<Finding>,
    ) {
        let mut worst = 0.0_f64;
        for ((frequency, south), readings) in self.readings {
            let ring = if south { grid.intervals() } else { 0 };
            let pole = Pole::new(&readings, grid, layout, column_of);
            worst = worst.max(pole.imbalance_db());
            for (p, interval) in pole.halves().into_iter().enumerate() {
                let Some(half) = interval else { continue };
                for j in 0..grid.phi_count() {
                    let at = (frequency, p, ring * grid.phi_count() + j);
                    values[at] = half.point;
                    states[at] = half.state;
                    if half.state != State::Measured {
                        bounds.push(Bound {
                            at,
                            lower: half.lower,
                            upper: half.upper,
                        });
                    }
                }
            }
        }
        if worst > IMBALANCE_DB {
            findings.push(
                Finding::note(
                    "pole-imbalance",
                    format!("over a full ring at a pole the two polarisations should have equal means; they differ by {worst:.2} dB"),
                )
                .effect_db(worst)
                .advice("check the range loss of each polarisation, the alignment of the probe, and drift during the sweep"),
            );
        }
    }
}

/// One pole at one frequency.
struct Pole {
    layout: Layout,
    /// Mean of each polarisation's readings over a ring that is full, by polarisation index.
    ring_means: [Option<Interval>; 2],
    /// Mean of the totals of pairs.
    pair_total: Option<Interval>,
    /// Mean of whatever there is of each polarisation.
    any: [Option<Interval>; 2],
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
        let mut pairs: Vec<Interval> = means[0]
            .iter()
            .filter_map(|(column, theta)| means[1].get(column).map(|phi| sum(*theta, *phi)))
            .collect();
        Self {
            layout,
            ring_means: [full(0), full(1)],
            pair_total: Interval::mean(&mut pairs),
            any: [mean_of(0), mean_of(1)],
        }
    }

    /// By how much the two polarisations' means over a full ring differ from each other, dB; 0 where that is unknown.
    fn imbalance_db(&self) -> f64 {
        match self.ring_means {
            [Some(a), Some(b)]
                if a.state == State::Measured
                    && b.state == State::Measured
                    && a.point > 0.0
                    && b.point > 0.0 =>
            {
                level::db_from_ratio(a.point / b.point).abs()
            }
            _ => 0.0,
        }
    }

    /// What each polarisation's ring holds.
    fn halves(&self) -> Vec<Option<Interval>> {
        if self.layout == Layout::TotalOnly {
            return vec![self.any[0]];
        }
        let total = self.pair_total.or_else(|| match self.any {
            [Some(a), Some(b)] => Some(sum(a, b)),
            _ => None,
        });
        match total {
            Some(total) => {
                let half = scaled(total, 0.5);
                vec![Some(half), Some(half)]
            }
            // One polarisation alone: its mean over a full ring is half of the total.
            None => self.ring_means.to_vec(),
        }
    }
}

fn sum(a: Interval, b: Interval) -> Interval {
    Interval {
        point: a.point + b.point,
        lower: a.lower + b.lower,
        upper: a.upper.zip(b.upper).map(|(x, y)| x + y),
        state: joined(a.state, b.state),
    }
}

fn scaled(a: Interval, factor: f64) -> Interval {
    Interval {
        point: a.point * factor,
        lower: a.lower * factor,
        upper: a.upper.map(|u| u * factor),
        state: a.state,
    }
}

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
    /// # Errors
    /// Domain: components that do not come in pairs.
    pub fn settle(
        self,
        grid: &EqualAngleGrid,
        values: &mut Array3<Complex64>,
        states: &mut Array3<State>,
    ) -> Result<()> {
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
        Ok(())
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
