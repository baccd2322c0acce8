//! From complex field to power.

use crate::error::Result;
use crate::history::Step;
use crate::model::{Data, FieldScale, Grid, Quantity, Sphere};

/// Wave impedance of free space as the file format defines it, Ω (rounded from 376.730 313 668 Ω, CODATA 2018).
pub const ETA0_OHM: f64 = 376.730;

/// Turns a complex sphere into powers; leaves any other sphere as it is.
///
/// √W: EIRP = |E|². Volt: EIRP = 4π|rE|²/η0. Without a scale the squares stand for themselves, as
/// [`Quantity::Relative`]. At a pole each polarisation gets half of the total.
///
/// # Errors
/// None on a sphere that was built by its constructor, unless |E|² overflows (Usage).
pub fn to_power(sphere: Sphere) -> Result<(Sphere, Option<Step>)> {
    let Quantity::Field(scale) = sphere.quantity() else {
        return Ok((sphere, None));
    };
    let mut parts = sphere.into_parts();
    let (quantity, factor, said) = match scale {
        FieldScale::SqrtWatt => (Quantity::Eirp, 1.0, "EIRP = |E|²"),
        FieldScale::Volt => (
            Quantity::Eirp,
            4.0 * std::f64::consts::PI / ETA0_OHM,
            "EIRP = 4π|rE|²/η0",
        ),
        FieldScale::Relative => (Quantity::Relative, 1.0, "|E|² without a scale: ratios only"),
    };
    if let Data::Field(field) = &parts.data {
        let mut power = field.map(|e| factor * (e.re * e.re + e.im * e.im));
        if let Grid::EqualAngle(grid) = &parts.grid {
            let m = grid.phi_count();
            for ((f, p, d), value) in power.indexed_iter_mut() {
                if grid.is_pole(d / m) && p == 0 {
                    let other = field[(f, 1, d)];
                    *value = (*value + factor * (other.re * other.re + other.im * other.im)) / 2.0;
                }
            }
            // The total at a pole does not depend on φ; both polarisations hold half of it.
            let frequencies = power.dim().0;
            for f in 0..frequencies {
                for ring in [0, grid.intervals()] {
                    for d in ring * m..(ring + 1) * m {
                        let half = power[(f, 0, ring * m)];
                        power[(f, 0, d)] = half;
                        power[(f, 1, d)] = half;
                    }
                }
            }
        }
        parts.data = Data::Power(power);
    }
    parts.quantity = quantity;
    let mut step = Step::new("power");
    step.note(said);
    Ok((parts.build()?, Some(step)))
}
