//! Spheres, readings and floors that the tests of corrections and of noise share: written sample by sample.

#![allow(clippy::unwrap_used)]

use crate::correct::noise::{AveragesFrom, Level};
use crate::correct::{Detector, Noise, NoiseOnly, Signal};
use crate::limits::Limits;
use crate::model::{
    Data, EqualAngleGrid, Grid, Layout, Mark, Polarisation, Quantity, Reading, Readings, Sphere,
    State, Value,
};
use crate::unit::Frequency;
use crate::unit::frequency::FrequencyUnit;
use ndarray::Array3;

/// A frequency in MHz.
pub(crate) fn mhz(text: &str) -> Option<Frequency> {
    Some(Frequency::parse(text, FrequencyUnit::Mhz).unwrap())
}

/// Asserts that two numbers agree to a relative 1e-12, or to the bit where one is zero.
#[track_caller]
pub(crate) fn same(found: f64, wanted: f64) {
    within(found, wanted, 1e-12);
}

/// Asserts that two numbers agree to a relative tolerance.
#[track_caller]
pub(crate) fn within(found: f64, wanted: f64, tolerance: f64) {
    let apart = (found - wanted).abs();
    assert!(
        apart <= tolerance * wanted.abs(),
        "found {found:e}, wanted {wanted:e}"
    );
}

/// A sphere of N intervals and M columns from φ = 0, every sample measured.
pub(crate) fn sphere(
    quantity: Quantity,
    layout: Layout,
    (n, m): (usize, usize),
    frequencies: &[Option<Frequency>],
    power: impl Fn((usize, usize, usize)) -> f64,
) -> Sphere {
    let grid = EqualAngleGrid::try_new(n, m, 0.0).unwrap();
    let polarisations = layout.polarisations().len();
    let shape = (frequencies.len(), polarisations, (n + 1) * m);
    Sphere::try_new(
        quantity,
        Grid::EqualAngle(grid),
        layout,
        frequencies.to_vec(),
        Data::Power(Array3::from_shape_fn(shape, power)),
        Array3::from_elem(shape, State::Measured),
        Vec::new(),
    )
    .unwrap()
}

/// The noise of a sphere that shows `raw` in every sample.
pub(crate) fn noise(
    levels: Vec<Vec<Level>>,
    averages: f64,
    detector: Detector,
    signal: Signal,
    raw: Array3<f64>,
) -> Noise {
    Noise {
        levels,
        averages,
        averages_from: AveragesFrom::Said,
        detector,
        signal,
        is_estimated: false,
        raw,
    }
}

/// Readings of groups (frequency, polarisation, values in W), all in one direction, on lines from 1.
pub(crate) fn readings(
    quantity: Quantity,
    groups: &[(Option<Frequency>, Polarisation, &[f64])],
) -> Readings {
    let limits = Limits::default();
    let mut all = Readings::new("silent.csv", quantity, &limits);
    for (frequency, polarisation, values) in groups {
        let frequency = all.frequency_index(*frequency, &limits).unwrap();
        for value in *values {
            let line = u32::try_from(all.len() + 1).unwrap();
            all.push(Reading {
                frequency,
                theta_deg: 90.0,
                phi_deg: 0.0,
                polarisation: *polarisation,
                value: Value::Power(*value),
                mark: Mark::Exact,
                line,
            })
            .unwrap();
        }
    }
    all
}

/// The same as noise-only readings, with what the file says of averages.
pub(crate) fn silent(
    averages: Option<&str>,
    groups: &[(Option<Frequency>, Polarisation, &[f64])],
) -> NoiseOnly {
    let mut all = readings(Quantity::Eirp, groups);
    if let Some(text) = averages {
        all.add_metadata("averages", text);
    }
    NoiseOnly::of(&all).unwrap()
}
