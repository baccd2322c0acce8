//! Assembly of complex fields.

use crate::assemble::field_pole::FieldPoles;
use crate::assemble::slots::{Cache, Slot, Slots};
use crate::error::Result;
use crate::finding::Finding;
use crate::model::{Data, Grid, Quantity, Readings, Sphere, State, Value};
use ndarray::Array3;
use num_complex::Complex64;

/// Assembles complex readings; repeats are averaged as vectors.
///
/// # Errors
/// Domain: components that do not come in pairs at a pole.
pub(crate) fn assemble(
    runs: &[Readings],
    quantity: Quantity,
    slots: &Slots<'_>,
    findings: &mut Vec<Finding>,
) -> Result<Sphere> {
    let shape = slots.shape();
    let mut inner: Vec<((usize, usize, usize), Complex64)> = Vec::new();
    let mut poles = FieldPoles::default();
    for run in runs {
        let map = slots.frequency_map(run);
        let mut cached = Cache::default();
        for reading in run.iter() {
            let Value::Field(value) = reading.value else {
                continue;
            };
            let Some((slot, flipped)) = cached.slot(slots, reading.theta_deg, reading.phi_deg)
            else {
                continue;
            };
            let value = if flipped { -value } else { value };
            let frequency = map.get(reading.frequency).copied().unwrap_or(0);
            let Some(polarisation) = slots.polarisation(reading.polarisation) else {
                continue;
            };
            match slot {
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
        findings.extend(poles.settle(grid, &mut values, &mut states)?);
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
