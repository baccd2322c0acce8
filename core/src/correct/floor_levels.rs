//! The floor of each frequency and polarisation of a sphere, from where it is given.

use crate::correct::detector::{
    LOG_VARIANCE, noise_from_log, noise_from_log_of, relative_variance_of_log,
};
use crate::correct::floor::{Floor, FloorSource};
use crate::correct::lowest::mean_of_weakest;
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
        // A floor is often averaged longer than the readings: what its file says is of itself alone.
        let scatter = noise.averages_by_scatter(floor.detector);
        if let (None, Some(n)) = (noise.averages(), scatter) {
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
                    let scatter = || noise.averages_by_scatter(floor.detector);
                    let n = noise.averages().or_else(scatter).unwrap_or(averages);
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
                        let there = noise.frequencies(polarisation);
                        let there = match there.as_slice() {
                            [] => String::new(),
                            some => format!("; there are some at {}", some.join(", ")),
                        };
                        Error::domain(format!(
                            "there are no noise-only readings of the {polarisation} polarisation{at}{there}"
                        ))
                        .hint("measure the floor of every polarisation at every frequency")
                        .at(crate::Place::in_source(noise.source()))
                    })
                }
                FloorSource::Estimated => {
                    let (lowest, share, count) = lowest(sphere, f, p);
                    // Upper limit of what noise of so many averages leaves in the weakest readings. A log detector spreads them more.
                    let effective = match floor.detector {
                        Detector::Rms => averages,
                        Detector::Log => (averages / LOG_VARIANCE).max(1.0),
                    };
                    let scatter = ONE_SIDED / libm::sqrt(count.max(1.0) * effective);
                    let raised = lowest * (1.0 + scatter) / mean_of_weakest(effective, share);
                    Ok(Level::new(of_log(raised, None), None))
                }
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

/// Deviations of a one-sided 95 % limit (closed form: the 0.95 quantile of the normal distribution).
const ONE_SIDED: f64 = 1.645;

/// Mean of the lowest twentieth of the readings of a polarisation (three at least), poles left out, with the share of the readings that it
/// is and their number. Were they all noise, the noise would be higher by what their scatter makes the lowest lower.
fn lowest(sphere: &Sphere, f: usize, p: usize) -> (f64, f64, f64) {
    let Some(values) = sphere.power() else {
        return (0.0, LOWEST, 0.0);
    };
    let grid = sphere.grid().equal_angle();
    let states = sphere.states();
    let mut read: Vec<f64> = (0..sphere.grid().len())
        .filter(|d| states[(f, p, *d)] == State::Measured)
        .filter(|d| grid.is_none_or(|g| !g.is_pole(d / g.phi_count())))
        .map(|d| values[(f, p, d)])
        .collect();
    let all = read.len();
    read.sort_by(f64::total_cmp);
    let count = libm::ceil(LOWEST * all as f64).max(3.0) as usize;
    read.truncate(count);
    let count = read.len() as f64;
    let share = (count / all.max(1) as f64).clamp(1e-3, 1.0);
    (sum::mean(&read).unwrap_or(0.0), share, count)
}
