//! The floor of each frequency and polarisation of a sphere, from where it is given.

use crate::correct::detector::{noise_from_log, noise_from_log_of, relative_variance_of_log};
use crate::correct::floor::{Floor, FloorSource};
use crate::correct::noise::{AveragesFrom, Detector, Level};
use crate::error::{Error, Result};
use crate::model::{Polarisation, Sphere, State};
use crate::unit::{level, sum};

/// Averages in a reading of the measurement, and who says so.
pub(super) fn averages_of(floor: &Floor) -> (f64, AveragesFrom) {
    if let Some(said) = floor.averages {
        return (said, AveragesFrom::Said);
    }
    if let FloorSource::Readings(noise) = &floor.source {
        if let Some(said) = noise.averages() {
            return (said, AveragesFrom::Said);
        }
        if let Some(n) = noise.averages_by_scatter(floor.detector) {
            return (n, AveragesFrom::Scatter);
        }
    }
    (1.0, AveragesFrom::Assumed)
}

/// The floor of each frequency and polarisation of a sphere.
pub(super) fn levels(sphere: &Sphere, floor: &Floor, averages: f64) -> Result<Vec<Vec<Level>>> {
    let of_log = |shown: f64, averages: Option<f64>| match (floor.detector, averages) {
        (Detector::Rms, _) => shown,
        (Detector::Log, None) => noise_from_log(shown),
        (Detector::Log, Some(averages)) => noise_from_log_of(shown, averages),
    };
    let relative = |averages: f64| match floor.detector {
        Detector::Rms => libm::sqrt(1.0 / averages),
        Detector::Log => libm::sqrt(relative_variance_of_log(averages)),
    };
    let mut all = Vec::with_capacity(sphere.frequencies().len());
    for (f, frequency) in sphere.frequencies().iter().enumerate() {
        let one = |p: usize, polarisation: Polarisation| -> Result<Level> {
            match &floor.source {
                FloorSource::Levels {
                    theta_dbm,
                    phi_dbm,
                    averages,
                } => {
                    let of = |dbm: f64| {
                        let power_w = of_log(level::w_from_dbm(dbm), *averages);
                        Level::new(power_w, averages.map(|n| power_w * relative(n)))
                    };
                    Ok(match polarisation {
                        Polarisation::Theta => of(*theta_dbm),
                        Polarisation::Phi => of(*phi_dbm),
                        Polarisation::Total => plus(of(*theta_dbm), of(*phi_dbm)),
                    })
                }
                FloorSource::Readings(noise) => {
                    let n = noise.averages().unwrap_or(averages);
                    let of = |p| noise.level(p, *frequency, floor.detector, n);
                    let found = match polarisation {
                        Polarisation::Total => of(Polarisation::Total).or_else(|| {
                            of(Polarisation::Theta)
                                .zip(of(Polarisation::Phi))
                                .map(|(a, b)| plus(a, b))
                        }),
                        one => of(one),
                    };
                    found.ok_or_else(|| {
                        let at = frequency.map_or_else(String::new, |f| format!(" at {f}"));
                        Error::domain(format!(
                            "there are no noise-only readings of the {polarisation} polarisation{at}"
                        ))
                        .hint("measure the floor of every polarisation at every frequency")
                        .at(crate::Place::in_source(noise.source()))
                    })
                }
                FloorSource::Estimated => Ok(Level::new(of_log(lowest(sphere, f, p), None), None)),
            }
        };
        let polarisations = sphere.layout().polarisations().iter().enumerate();
        all.push(
            polarisations
                .map(|(p, which)| one(p, *which))
                .collect::<Result<_>>()?,
        );
    }
    Ok(all)
}

fn plus(a: Level, b: Level) -> Level {
    let standard = a.standard_w.zip(b.standard_w);
    Level::new(
        a.power_w + b.power_w,
        standard.map(|(a, b)| libm::hypot(a, b)),
    )
}

/// Share of the readings that the estimate rests on.
const LOWEST: f64 = 0.05;

/// Mean of the lowest twentieth of the readings of a polarisation (three at least), poles left out: no floor is higher, but for the scatter
/// of the readings.
fn lowest(sphere: &Sphere, f: usize, p: usize) -> f64 {
    let Some(values) = sphere.power() else {
        return 0.0;
    };
    let grid = sphere.grid().equal_angle();
    let states = sphere.states();
    let mut read: Vec<f64> = (0..sphere.grid().len())
        .filter(|d| states[(f, p, *d)] == State::Measured)
        .filter(|d| grid.is_none_or(|g| !g.is_pole(d / g.phi_count())))
        .map(|d| values[(f, p, d)])
        .collect();
    read.sort_by(f64::total_cmp);
    let count = libm::ceil(LOWEST * read.len() as f64).max(3.0) as usize;
    read.truncate(count);
    sum::mean(&read).unwrap_or(0.0)
}
