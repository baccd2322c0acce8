//! Assembly of powers, gains and sensitivities.

use crate::assemble::interval::Interval;
use crate::assemble::slots::{Cache, Slot, Slots, column};
use crate::assemble::{pole, repeats};
use crate::error::Result;
use crate::finding::drift::{Again, drift};
use crate::finding::{Finding, elevation};
use crate::model::{
    Bound, Data, Grid, Layout, Mark, Polarisation, Quantity, Readings, Sphere, State, Value,
};
use crate::unit::level;
use ndarray::Array3;
use std::collections::BTreeMap;

/// Assembles power-like readings; also gives the balance of the polarisations at each pole whose ring is full.
///
/// # Errors
/// Usage, should the parts not make a sphere.
pub(crate) fn assemble(
    runs: &[Readings],
    quantity: Quantity,
    slots: &Slots<'_>,
    findings: &mut Vec<Finding>,
) -> Result<(Sphere, Vec<pole::Balance>)> {
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
            let mut cached = Cache::default();
            for reading in run.iter() {
                let Value::Power(value) = reading.value else {
                    continue;
                };
                let Some((slot, _)) = cached.slot(slots, reading.theta_deg, reading.phi_deg) else {
                    continue;
                };
                let frequency = map.get(reading.frequency).copied().unwrap_or(0);
                let interval = Interval::of_reading(quantity, value, reading.mark);
                let Some(polarisation) = slots.polarisation(reading.polarisation) else {
                    if reading.polarisation == Polarisation::Total
                        && let Slot::Inner(direction) = slot
                    {
                        totals.push((frequency, direction, interval));
                    }
                    continue;
                };
                match slot {
                    Slot::Pole { north, phi_deg } => {
                        poles.push(frequency, north, polarisation, phi_deg, interval)
                    }
                    Slot::Inner(direction) => {
                        let slot = (frequency * shape.1 + polarisation) * directions + direction;
                        if states[slot] == State::Missing {
                            values[slot] = interval.point;
                            states[slot] = interval.state;
                            repeats.first(slot, reading.phi_deg);
                            if interval.state != State::Measured {
                                marked.insert(slot, interval);
                            }
                        } else {
                            repeats.push(slot, reading.phi_deg, interval);
                        }
                    }
                }
            }
        }
        repeats.merge(values, states, &mut marked);
    }
    findings.extend(repeats.finding(quantity, slots.grid, shape));
    findings.extend(repeats.seam(quantity));
    findings.extend(drift(read_again(runs, slots, repeats.often())));
    findings.extend(elevation(runs, repeats.worst_ratio()));
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
    let mut balances = Vec::new();
    if let Grid::EqualAngle(grid) = slots.grid {
        let column_of = |phi| column(grid, phi);
        balances = poles.settle(
            grid,
            slots.layout,
            quantity.needs_range_loss(),
            &column_of,
            &mut values,
            &mut states,
            &mut bounds,
        );
    }
    findings.extend(compare_totals(&totals, &values, &states, slots.layout));
    let sphere = Sphere::try_new(
        quantity,
        slots.grid.clone(),
        slots.layout,
        slots.frequencies.to_vec(),
        Data::Power(values),
        states,
        bounds,
    )?;
    Ok((sphere, balances))
}

/// All readings of slots that were read often, with their lines.
fn read_again(runs: &[Readings], slots: &Slots<'_>, often: &[usize]) -> Vec<Again> {
    let mut found = Vec::new();
    if often.is_empty() {
        return found;
    }
    let shape = slots.shape();
    for (file, run) in runs.iter().enumerate() {
        let map = slots.frequency_map(run);
        let mut cached = Cache::default();
        let exact = run.iter().enumerate().filter(|r| r.1.mark == Mark::Exact);
        for (index, reading) in exact {
            let Value::Power(value) = reading.value else {
                continue;
            };
            let at = cached.slot(slots, reading.theta_deg, reading.phi_deg);
            let (Some((Slot::Inner(direction), _)), Some(polarisation)) =
                (at, slots.polarisation(reading.polarisation))
            else {
                continue;
            };
            let frequency = map.get(reading.frequency).copied().unwrap_or(0);
            let slot = (frequency * shape.1 + polarisation) * shape.2 + direction;
            if often.binary_search(&slot).is_ok() {
                found.push(Again {
                    of: (file, slot),
                    line: reading.line,
                    time_s: run.time_s(index),
                    level_db: level::db_from_ratio(value),
                });
            }
        }
    }
    found
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
            let difference = level::db_from_ratio(total.point / sum).abs();
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
