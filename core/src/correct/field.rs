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

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::correct::testing::{mhz, same, sphere};
    use crate::model::{EqualAngleGrid, Layout, State};
    use ndarray::Array3;
    use num_complex::Complex64;

    /// Real part 1 + direction + 10·polarisation + 100·frequency, imaginary part a quarter of it less 2.
    fn at((f, p, d): (usize, usize, usize)) -> Complex64 {
        let re = (1 + d + 10 * p + 100 * f) as f64;
        Complex64::new(re, 0.25 * re - 2.0)
    }

    fn squared(of: (usize, usize, usize)) -> f64 {
        at(of).re * at(of).re + at(of).im * at(of).im
    }

    /// Two frequencies, three rings of two columns.
    fn field(scale: FieldScale) -> Sphere {
        let grid = EqualAngleGrid::try_new(2, 2, 0.0).unwrap();
        Sphere::try_new(
            Quantity::Field(scale),
            Grid::EqualAngle(grid),
            Layout::ThetaPhi,
            vec![None, mhz("868")],
            Data::Field(Array3::from_shape_fn((2, 2, 6), at)),
            Array3::from_elem((2, 2, 6), State::Measured),
            Vec::new(),
        )
        .unwrap()
    }

    #[test]
    fn squares_with_half_of_the_total_at_each_pole() {
        for (scale, quantity, factor, said) in [
            (FieldScale::SqrtWatt, Quantity::Eirp, 1.0, "EIRP = |E|²"),
            // 4π/376.730 (closed form).
            (
                FieldScale::Volt,
                Quantity::Eirp,
                12.566_370_614_359_172 / 376.730,
                "EIRP = 4π|rE|²/η0",
            ),
            (
                FieldScale::Relative,
                Quantity::Relative,
                1.0,
                "|E|² without a scale: ratios only",
            ),
        ] {
            let (power, step) = to_power(field(scale)).unwrap();
            assert_eq!(power.quantity(), quantity);
            let step = step.unwrap();
            assert_eq!(
                (step.step.as_str(), step.did),
                ("power", vec![said.to_string()])
            );
            for ((f, p, d), value) in power.power().unwrap().indexed_iter() {
                // A pole's first direction stands for its ring.
                let wanted = match d {
                    2 | 3 => squared((f, p, d)),
                    _ => {
                        let first = if d < 2 { 0 } else { 4 };
                        (squared((f, 0, first)) + squared((f, 1, first))) / 2.0
                    }
                };
                same(*value, factor * wanted);
            }
        }
    }

    #[test]
    fn powers_stay_what_they_are() {
        let eirp = sphere(Quantity::Eirp, Layout::ThetaPhi, (2, 2), &[None], |_| 2.0);
        let (same, step) = to_power(eirp.clone()).unwrap();
        assert_eq!((same, step), (eirp, None));
    }
}
