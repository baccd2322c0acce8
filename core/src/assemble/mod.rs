//! Assembly: readings become a sphere.
//!
//! Directions are folded and snapped to the nominal axes, repeats are averaged in the quantity that integrates, poles become
//! one direction each. Nothing is repaired in silence: every decision is a finding or a line of the history.

mod axis;
mod interval;
mod pole;
mod repeats;

use crate::error::{Error, Result};
use crate::finding::Finding;
use crate::history::Step;
use crate::limits::Limits;
use crate::model::{
    Bound, Data, Direction, EqualAngleGrid, Grid, Layout, ListedGrid, Polarisation, Quantity,
    Readings, Sphere, State, Value,
};
use crate::unit::{Frequency, angle};
use interval::Interval;
use ndarray::Array3;
use num_complex::Complex64;
use std::collections::BTreeMap;

/// Largest distance of a direction from the nominal axis, unless another is asked for, degrees.
pub const DEFAULT_SNAP_DEG: f64 = 0.1;

/// A sphere, with what was done and found on the way.
#[derive(Clone, Debug)]
#[non_exhaustive]
pub struct Assembled {
    /// The sphere.
    pub sphere: Sphere,
    /// Remarks.
    pub findings: Vec<Finding>,
    /// The step for the history.
    pub step: Step,
}

/// Assembles the readings of one run, from one source or several, into a sphere.
///
/// `snap_deg` is the largest distance from the nominal axes. A grid that is not equal-angle becomes a listed grid.
///
/// # Errors
/// - Usage: no readings at all, sources of different quantities, a snap distance that is not positive;
/// - Limit: more samples than `limits.max_samples`;
/// - Domain: readings of a field in one direction or polarisation only at a pole, where they cannot be turned.
pub fn assemble(runs: &[Readings], snap_deg: f64, limits: &Limits) -> Result<Assembled> {
    let quantity = common_quantity(runs)?;
    if !(snap_deg > 0.0 && snap_deg <= 10.0) {
        return Err(Error::usage(format!(
            "snap distance {snap_deg}° is not in 0…10°"
        )));
    }
    let mut step = Step::new("assemble").option("snap-deg", Some(snap_deg));
    let mut findings = Vec::new();
    let frequencies = union_of_frequencies(runs);
    let layout = choose_layout(runs, &mut findings);
    let grid = match axis::find(runs, snap_deg) {
        Ok(found) => {
            step.note(format!(
                "equal-angle grid: θ step {}°, φ step {}°, largest deviation {:.3}°",
                found.grid.theta_step_deg(),
                found.grid.phi_step_deg(),
                found.deviation_deg
            ));
            Grid::EqualAngle(found.grid)
        }
        Err(reason) => {
            step.note(format!("listed grid: {reason}"));
            Grid::Listed(listed(runs, &reason))
        }
    };
    let samples = frequencies
        .len()
        .checked_mul(layout.polarisations().len())
        .and_then(|n| n.checked_mul(grid.len()));
    if samples.is_none_or(|n| n > limits.max_samples) {
        return Err(Error::limit(format!(
            "the sphere has more than {} samples",
            limits.max_samples
        ))
        .hint("raise the limit on samples, or reduce fewer frequencies at a time"));
    }
    let slots = Slots {
        grid: &grid,
        layout,
        frequencies: &frequencies,
    };
    let sphere = if quantity.is_complex() {
        fields(runs, quantity, &slots, &mut findings)?
    } else {
        powers(runs, quantity, &slots, &mut findings)?
    };
    Ok(Assembled {
        sphere,
        findings,
        step,
    })
}

fn common_quantity(runs: &[Readings]) -> Result<Quantity> {
    let first = runs
        .iter()
        .find(|r| !r.is_empty())
        .ok_or_else(|| Error::usage("there are no readings to assemble"))?;
    match runs
        .iter()
        .find(|r| !r.is_empty() && r.quantity() != first.quantity())
    {
        Some(other) => Err(Error::usage(format!(
            "{} holds {} and {} holds {}",
            first.source(),
            first.quantity(),
            other.source(),
            other.quantity()
        ))
        .hint("the files of one run hold one quantity")),
        None => Ok(first.quantity()),
    }
}

/// All frequencies in ascending order, an unknown one first.
fn union_of_frequencies(runs: &[Readings]) -> Vec<Option<Frequency>> {
    let mut all: Vec<Option<Frequency>> = Vec::new();
    for run in runs.iter().filter(|r| !r.is_empty()) {
        all.extend(run.frequencies());
    }
    all.sort_unstable();
    all.dedup();
    all
}

/// Theta and phi where both are there; the total alone where it is all there is.
fn choose_layout(runs: &[Readings], findings: &mut Vec<Finding>) -> Layout {
    let mut has = [false; 3];
    for run in runs {
        for (flag, polarisation) in
            has.iter_mut()
                .zip([Polarisation::Theta, Polarisation::Phi, Polarisation::Total])
        {
            *flag |= run.has_polarisation(polarisation);
        }
    }
    match has {
        [true, true, _] | [_, _, false] => Layout::ThetaPhi,
        [theta, phi, true] => {
            if theta || phi {
                let single = if theta { "theta" } else { "phi" };
                findings.push(
                    Finding::warning(
                        "single-polarisation-unused",
                        format!("readings of {single} alone beside the total were not used"),
                    )
                    .advice("give both polarisations to have them reduced apart"),
                );
            }
            Layout::TotalOnly
        }
    }
}

fn listed(runs: &[Readings], reason: &str) -> ListedGrid {
    let mut directions: Vec<Direction> = folded(runs)
        .map(|f| Direction {
            theta_deg: f.theta_deg,
            phi_deg: f.phi_deg,
        })
        .collect();
    directions.sort_by(|a, b| {
        a.theta_deg
            .total_cmp(&b.theta_deg)
            .then(a.phi_deg.total_cmp(&b.phi_deg))
    });
    directions.dedup();
    ListedGrid::new(directions, reason)
}

fn folded(runs: &[Readings]) -> impl Iterator<Item = angle::Folded> + '_ {
    runs.iter().flat_map(|r| {
        r.theta_deg()
            .iter()
            .zip(r.phi_deg())
            .filter_map(|(t, p)| angle::fold(*t, *p))
    })
}

/// Where a reading belongs.
struct Slots<'a> {
    grid: &'a Grid,
    layout: Layout,
    frequencies: &'a [Option<Frequency>],
}

/// A slot of the sphere: an inner direction, or a pole with the φ it was read at.
enum Slot {
    Inner(usize),
    Pole { north: bool, phi_deg: f64 },
}

impl Slots<'_> {
    fn shape(&self) -> (usize, usize, usize) {
        (
            self.frequencies.len(),
            self.layout.polarisations().len(),
            self.grid.len(),
        )
    }

    fn frequency_map(&self, run: &Readings) -> Vec<usize> {
        run.frequencies()
            .iter()
            .map(|f| self.frequencies.binary_search(f).unwrap_or(0))
            .collect()
    }

    fn polarisation(&self, polarisation: Polarisation) -> Option<usize> {
        self.layout
            .polarisations()
            .iter()
            .position(|p| *p == polarisation)
    }

    fn direction(&self, at: &angle::Folded) -> Slot {
        match self.grid {
            Grid::EqualAngle(g) => {
                let ring = (at.theta_deg * g.intervals() as f64 / 180.0).round() as usize;
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

fn column(grid: &EqualAngleGrid, phi_deg: f64) -> usize {
    let step = (phi_deg - grid.phi_start_deg()) * grid.phi_count() as f64 / 360.0;
    // −0.4 … M−0.5 rounds to 0 … M; M is 0 again.
    (step.round().max(0.0) as usize) % grid.phi_count()
}

fn powers(
    runs: &[Readings],
    quantity: Quantity,
    slots: &Slots<'_>,
    findings: &mut Vec<Finding>,
) -> Result<Sphere> {
    let shape = slots.shape();
    let directions = shape.2;
    let mut values = Array3::<f64>::zeros(shape);
    let mut states = Array3::from_elem(shape, State::Missing);
    let mut repeats = repeats::Repeats::default();
    let mut poles = pole::PowerPoles::default();
    let mut totals = Vec::new();
    let mut marked: BTreeMap<usize, Interval> = BTreeMap::new();
    if let (Some(values), Some(states)) = (values.as_slice_mut(), states.as_slice_mut()) {
        for run in runs {
            let map = slots.frequency_map(run);
            let mut cached = FoldCache::default();
            for reading in run.iter() {
                let Value::Power(value) = reading.value else {
                    continue;
                };
                let Some(at) = cached.fold(reading.theta_deg, reading.phi_deg) else {
                    continue;
                };
                let frequency = map.get(reading.frequency).copied().unwrap_or(0);
                let interval = Interval::of_reading(quantity, value, reading.mark);
                let Some(polarisation) = slots.polarisation(reading.polarisation) else {
                    if reading.polarisation == Polarisation::Total
                        && let Slot::Inner(direction) = slots.direction(&at)
                    {
                        totals.push((frequency, direction, interval));
                    }
                    continue;
                };
                match slots.direction(&at) {
                    Slot::Pole { north, phi_deg } => {
                        poles.push(frequency, north, polarisation, phi_deg, interval)
                    }
                    Slot::Inner(direction) => {
                        let slot = (frequency * shape.1 + polarisation) * directions + direction;
                        if states[slot] == State::Missing {
                            values[slot] = interval.point;
                            states[slot] = interval.state;
                            if interval.state != State::Measured {
                                marked.insert(slot, interval);
                            }
                        } else {
                            repeats.push(slot, interval, reading.phi_deg);
                        }
                    }
                }
            }
        }
        repeats.merge(values, states, &mut marked);
    }
    findings.extend(repeats.finding(quantity, slots.grid, shape));
    let mut bounds: Vec<Bound> = marked
        .iter()
        .map(|(slot, interval)| Bound {
            at: (
                slot / directions / shape.1,
                slot / directions % shape.1,
                slot % directions,
            ),
            lower: interval.lower,
            upper: interval.upper,
        })
        .collect();
    if let Grid::EqualAngle(grid) = slots.grid {
        let column_of = |phi| column(grid, phi);
        poles.settle(
            grid,
            slots.layout,
            &column_of,
            &mut values,
            &mut states,
            &mut bounds,
            findings,
        );
    }
    findings.extend(compare_totals(&totals, &values, &states, slots.layout));
    Sphere::try_new(
        quantity,
        slots.grid.clone(),
        slots.layout,
        slots.frequencies.to_vec(),
        Data::Power(values),
        states,
        bounds,
    )
}

/// A `total` column beside θ and φ is a check: their sum must agree with it.
fn compare_totals(
    totals: &[(usize, usize, Interval)],
    values: &Array3<f64>,
    states: &Array3<State>,
    layout: Layout,
) -> Option<Finding> {
    const TOLERANCE_DB: f64 = 0.05;
    if totals.is_empty() || layout != Layout::ThetaPhi {
        return None;
    }
    let mut worst = 0.0_f64;
    let mut count = 0;
    for (f, d, total) in totals {
        let both = states[(*f, 0, *d)] == State::Measured && states[(*f, 1, *d)] == State::Measured;
        let sum = values[(*f, 0, *d)] + values[(*f, 1, *d)];
        if both && total.state == State::Measured && sum > 0.0 && total.point > 0.0 {
            let difference = crate::unit::level::db_from_ratio(total.point / sum).abs();
            count += usize::from(difference > TOLERANCE_DB);
            worst = worst.max(difference);
        }
    }
    (count > 0).then(|| {
        Finding::warning(
            "total-disagrees",
            format!("the total column differs from θ + φ by more than {TOLERANCE_DB} dB in {count} directions, by {worst:.2} dB at most"),
        )
        .effect_db(worst)
        .advice("the reduction uses θ and φ; check which of the columns is right")
    })
}

fn fields(
    runs: &[Readings],
    quantity: Quantity,
    slots: &Slots<'_>,
    findings: &mut Vec<Finding>,
) -> Result<Sphere> {
    let shape = slots.shape();
    let mut inner: Vec<((usize, usize, usize), Complex64)> = Vec::new();
    let mut poles = pole::FieldPoles::default();
    for run in runs {
        let map = slots.frequency_map(run);
        for reading in run.iter() {
            let Value::Field(value) = reading.value else {
                continue;
            };
            let Some(at) = angle::fold(reading.theta_deg, reading.phi_deg) else {
                continue;
            };
            let value = if at.flipped { -value } else { value };
            let frequency = map.get(reading.frequency).copied().unwrap_or(0);
            let Some(polarisation) = slots.polarisation(reading.polarisation) else {
                continue;
            };
            match slots.direction(&at) {
                Slot::Pole { north, phi_deg } => {
                    poles.push(frequency, north, polarisation, phi_deg, value)
                }
                Slot::Inner(direction) => inner.push(((frequency, polarisation, direction), value)),
            }
        }
    }
    // Repeats are averaged as vectors, in an order that does not depend on the rows.
    inner.sort_unstable_by(|a, b| {
        a.0.cmp(&b.0)
            .then(a.1.re.total_cmp(&b.1.re))
            .then(a.1.im.total_cmp(&b.1.im))
    });
    let mut values = Array3::<Complex64>::zeros(shape);
    let mut states = Array3::from_elem(shape, State::Missing);
    let mut repeated = 0;
    for group in inner.chunk_by(|a, b| a.0 == b.0) {
        let mut sum = Complex64::new(0.0, 0.0);
        for (_, value) in group {
            sum += value;
        }
        values[group[0].0] = sum / group.len() as f64;
        states[group[0].0] = State::Measured;
        repeated += usize::from(group.len() > 1);
    }
    if repeated > 0 {
        findings.push(Finding::note(
            "repeats",
            format!("{repeated} samples were read more than once and averaged as vectors"),
        ));
    }
    if let Grid::EqualAngle(grid) = slots.grid {
        poles.settle(grid, &mut values, &mut states)?;
    }
    Sphere::try_new(
        quantity,
        slots.grid.clone(),
        slots.layout,
        slots.frequencies.to_vec(),
        Data::Field(values),
        states,
        Vec::new(),
    )
}

/// Rows of a file often repeat the direction of the row before.
#[derive(Default)]
struct FoldCache {
    last: Option<(u64, u64, angle::Folded)>,
}

impl FoldCache {
    fn fold(&mut self, theta_deg: f64, phi_deg: f64) -> Option<angle::Folded> {
        let key = (theta_deg.to_bits(), phi_deg.to_bits());
        if let Some((t, p, folded)) = self.last
            && (t, p) == key
        {
            return Some(folded);
        }
        let folded = angle::fold(theta_deg, phi_deg)?;
        self.last = Some((key.0, key.1, folded));
        Some(folded)
    }
}
