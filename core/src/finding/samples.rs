//! Spheres that the tests of findings share: patterns in closed form, sampled without noise.

#![allow(clippy::unwrap_used)]

use crate::assemble::{DEFAULT_SNAP_DEG, assemble};
use crate::limits::Limits;
use crate::model::{
    EqualAngleGrid, Mark, Polarisation, Quantity, Reading, Readings, Sphere, Value,
};
use crate::table::pattern::{ExponentialBeam, Pattern};

/// (N, M) of a grid.
pub(crate) type Shape = (usize, usize);

/// A beam off every axis of the grid.
pub(crate) fn beam(kappa: f64) -> Pattern {
    Pattern::ExponentialBeam(ExponentialBeam {
        kappa,
        axis_theta_deg: 37.0,
        axis_phi_deg: 61.0,
    })
}

/// Isotropic at 15° and 30°, dipoles, a loop, a Huygens source and a turnstile at 15° and 30°, an off-axis beam (κ = 10) at 15° and 5°.
pub(crate) fn clean_patterns() -> Vec<(String, Pattern, Shape)> {
    let mut all = Vec::new();
    for pattern in [
        Pattern::Isotropic,
        Pattern::ZDipole,
        Pattern::XDipole,
        Pattern::SmallLoop,
        Pattern::HalfWaveDipole,
        Pattern::HuygensX,
        Pattern::Turnstile,
    ] {
        for shape in [(12, 24), (6, 12)] {
            all.push((format!("{pattern:?} {shape:?}"), pattern, shape));
        }
    }
    for shape in [(12, 24), (36, 72)] {
        all.push((format!("beam {shape:?}"), beam(10.0), shape));
    }
    all
}

/// The clean patterns as assembled spheres, EIRP with a peak of 0.1 W.
pub(crate) fn clean() -> Vec<(String, Sphere)> {
    clean_patterns()
        .into_iter()
        .map(|(name, pattern, shape)| (name, of_pattern(pattern, shape)))
        .collect()
}

/// A pattern with a peak of 0.1 W.
pub(crate) fn of_pattern(pattern: Pattern, shape: Shape) -> Sphere {
    sphere_of(Quantity::Eirp, shape, |t, p| {
        pattern.power(t, p).map(|x| 0.1 * x)
    })
}

/// Readings at every direction of the grid in both polarisations, the poles at every φ. Lines count from 1.
pub(crate) fn readings_of(
    quantity: Quantity,
    (n, m): Shape,
    power: impl Fn(f64, f64) -> [f64; 2],
) -> Readings {
    let limits = Limits::default();
    let grid = EqualAngleGrid::try_new(n, m, 0.0).unwrap();
    let mut readings = Readings::new("computed", quantity, &limits);
    for ring in 0..=n {
        for column in 0..m {
            push(
                &mut readings,
                grid.theta_deg(ring),
                grid.phi_deg(column),
                &power,
            );
        }
    }
    readings
}

/// One direction in both polarisations, on the next line.
pub(crate) fn push(
    readings: &mut Readings,
    theta_deg: f64,
    phi_deg: f64,
    power: impl Fn(f64, f64) -> [f64; 2],
) {
    let frequency = readings.frequency_index(None, &Limits::default()).unwrap();
    let line = u32::try_from(1 + readings.len() / 2).unwrap();
    let values = power(theta_deg, phi_deg);
    for (polarisation, value) in [Polarisation::Theta, Polarisation::Phi]
        .into_iter()
        .zip(values)
    {
        readings
            .push(Reading {
                frequency,
                theta_deg,
                phi_deg,
                polarisation,
                value: Value::Power(value),
                mark: Mark::Exact,
                line,
            })
            .unwrap();
    }
}

/// The same, assembled.
pub(crate) fn sphere_of(
    quantity: Quantity,
    shape: Shape,
    power: impl Fn(f64, f64) -> [f64; 2],
) -> Sphere {
    let readings = readings_of(quantity, shape, power);
    assemble(&[readings], DEFAULT_SNAP_DEG, &Limits::default())
        .unwrap()
        .sphere
}
