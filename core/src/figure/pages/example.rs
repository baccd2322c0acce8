//! Spheres of known patterns, for the examples on the pages: they run the whole line, and nothing else uses this.

use crate::error::Result;
use crate::limits::Limits;
use crate::model::{EqualAngleGrid, Mark, Polarisation, Quantity, Reading, Readings, Value};
use crate::reduce::{NamedOptions, Reduction, reduce_readings};
use crate::table::pattern::Pattern;

/// A pattern on a grid with a step of `step_deg` in θ and φ, a divisor of 180, reduced with options by name. `value` gives what is
/// read, W or a ratio, from the power in a polarisation relative to the peak of both together; what is not finite is a bound.
///
/// # Errors
/// As [`EqualAngleGrid::try_new`], [`NamedOptions::set`] and [`reduce_readings`].
pub fn reduced(
    quantity: Quantity,
    pattern: Pattern,
    step_deg: u32,
    value: impl Fn(f64) -> f64,
    options: &[(&str, &str)],
) -> Result<Reduction> {
    let mut named = NamedOptions::new();
    for (name, of) in options {
        named.set(name, of)?;
    }
    let step_deg = step_deg.max(1) as usize;
    let grid = EqualAngleGrid::try_new(180 / step_deg, 360 / step_deg, 0.0)?;
    let limits = Limits::default();
    let mut readings = Readings::new("example", quantity, &limits);
    let frequency = readings.frequency_index(None, &limits)?;
    for ring in 0..grid.rings() {
        for column in 0..grid.phi_count() {
            let (theta_deg, phi_deg) = (grid.theta_deg(ring), grid.phi_deg(column));
            let powers = pattern.power(theta_deg, phi_deg).map(&value);
            for (polarisation, value) in [Polarisation::Theta, Polarisation::Phi]
                .into_iter()
                .zip(powers)
            {
                readings.push(Reading {
                    frequency,
                    theta_deg,
                    phi_deg,
                    polarisation,
                    value: Value::Power(value),
                    mark: if value.is_finite() {
                        Mark::Exact
                    } else {
                        Mark::AtLeast
                    },
                    line: 0,
                })?;
            }
        }
    }
    reduce_readings(&[readings], &named.build()?, &limits)
}

/// Value of a figure of the only frequency.
#[must_use]
pub fn value(reduction: &Reduction, name: &str) -> Option<f64> {
    let channel = reduction.channels.first()?;
    channel.figure(name)?.value
}

/// True where there is a number, within 1e-9 of what is expected.
#[must_use]
pub fn near(found: Option<f64>, expected: f64) -> bool {
    found.is_some_and(|x| (x - expected).abs() < 1e-9)
}
