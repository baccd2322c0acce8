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

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::correct::NoiseOnly;
    use crate::correct::noise::Signal;
    use crate::correct::testing::{mhz, same, silent, sphere, within};
    use crate::error::Group;
    use crate::model::{Layout, Quantity};
    use crate::unit::Frequency;
    use Polarisation::{Phi, Theta, Total};
    use std::f64::consts::FRAC_PI_4;

    fn of_levels(detector: Detector, averages: Option<f64>) -> Floor {
        let source = FloorSource::Levels {
            theta_dbm: -90.0,
            phi_dbm: -80.0,
            averages,
        };
        Floor::new(source, detector, Signal::Cw)
    }

    fn of_readings(noise: NoiseOnly) -> Floor {
        let source = FloorSource::Readings(Box::new(noise));
        Floor::new(source, Detector::Rms, Signal::Cw)
    }

    fn eirp(layout: Layout, frequencies: &[Option<Frequency>]) -> Sphere {
        sphere(Quantity::Eirp, layout, (2, 3), frequencies, |_| 1e-9)
    }

    #[track_caller]
    fn is(level: Level, power_w: f64, standard_w: f64) {
        same(level.power_w, power_w);
        same(level.standard_w.unwrap(), standard_w);
    }

    /// Eight readings of a(1 ± 0.2): 8·0.04/7 of the squared mean, and so 21.875 averages (closed form).
    fn scattered(a: f64) -> Vec<f64> {
        [0.8 * a, 1.2 * a].repeat(4)
    }

    #[test]
    fn who_says_the_averages() {
        let (said, scatter, assumed) = (
            AveragesFrom::Said,
            AveragesFrom::Scatter,
            AveragesFrom::Assumed,
        );
        let plain = of_levels(Detector::Rms, Some(9.0));
        assert_eq!(averages_of(&plain), (1.0, assumed));
        assert_eq!(averages_of(&plain.with_averages(Some(4.0))), (4.0, said));
        let values = scattered(1e-12);
        let read = |text| of_readings(silent(text, &[(None, Theta, &values)]));
        let (found, from) = averages_of(&read(None));
        same(found, 21.875);
        assert_eq!(from, scatter);
        // What the floor's file says is of the floor alone.
        assert_eq!(averages_of(&read(Some("16"))), (1.0, assumed));
        let few = of_readings(silent(None, &[(None, Theta, &[1e-12])]));
        assert_eq!(averages_of(&few), (1.0, assumed));
    }

    #[test]
    fn levels_that_are_given() {
        let both = eirp(Layout::ThetaPhi, &[None, mhz("868")]);
        let found = levels(&both, &of_levels(Detector::Rms, Some(4.0)), 1.0).unwrap();
        assert_eq!(found.len(), 2);
        for one in &found {
            // Of four averages N/√4.
            is(one[0], 1e-12, 0.5e-12);
            is(one[1], 1e-11, 0.5e-11);
        }
        // A total has both: 11 pW, and the root of the sum of squares.
        let total = eirp(Layout::TotalOnly, &[None]);
        let found = levels(&total, &of_levels(Detector::Rms, Some(4.0)), 1.0).unwrap();
        is(found[0][0], 1.1e-11, 0.5e-12 * libm::sqrt(101.0));
        // Two averages of logarithms show π/4 of the power, and scatter by (4/π)² − 1 of its square (closed form).
        let found = levels(&both, &of_levels(Detector::Log, Some(2.0)), 1.0).unwrap();
        let power = 1e-12 / FRAC_PI_4;
        let relative = libm::sqrt(1.0 / (FRAC_PI_4 * FRAC_PI_4) - 1.0);
        is(found[1][0], power, power * relative);
        // Of a number that nobody said the uncertainty is not known; a logarithm shows e^−γ of it.
        let found = levels(&total, &of_levels(Detector::Log, None), 4.0).unwrap();
        same(found[0][0].power_w, 1.1e-11 * 1.781_072_417_990_198);
        assert_eq!(found[0][0].standard_w, None);
    }

    #[test]
    fn levels_that_were_read() {
        let (low, high) = (mhz("860"), mhz("870"));
        let values = scattered(2e-12);
        let noise = |text, few: bool| {
            let theta: &[f64] = if few { &values[..2] } else { &values };
            silent(text, &[(None, Theta, theta), (low, Phi, &[5e-12, 7e-12])])
        };
        let sphere = eirp(Layout::ThetaPhi, &[low]);
        let find = |noise, averages| levels(&sphere, &of_readings(noise), averages).unwrap();
        // N/√(readings × averages): what the file says, then what its scatter tells, then that of the readings.
        is(find(noise(Some("2"), false), 9.0)[0][0], 2e-12, 0.5e-12);
        let found = find(noise(None, false), 9.0);
        is(found[0][0], 2e-12, 2e-12 / libm::sqrt(175.0));
        is(found[0][1], 6e-12, 6e-12 / libm::sqrt(43.75));
        is(find(noise(None, true), 8.0)[0][0], 2e-12, 0.5e-12);

        let error = levels(
            &eirp(Layout::ThetaPhi, &[high]),
            &of_readings(noise(None, false)),
            1.0,
        )
        .unwrap_err();
        assert_eq!(
            error.message(),
            "there are no noise-only readings of the phi polarisation at 870 MHz; there are some at 860 MHz"
        );
        assert_eq!(error.group(), Group::Domain);
        let theta = silent(None, &[(None, Theta, &[1e-12])]);
        let error = levels(&eirp(Layout::ThetaPhi, &[None]), &of_readings(theta), 1.0).unwrap_err();
        assert_eq!(
            error.message(),
            "there are no noise-only readings of the phi polarisation"
        );
    }

    #[test]
    fn a_total_is_read_or_the_sum() {
        let apart = silent(None, &[(None, Theta, &[3e-12]), (None, Phi, &[4e-12])]);
        let whole = eirp(Layout::TotalOnly, &[None]);
        let found = levels(&whole, &of_readings(apart), 4.0).unwrap();
        // N/√4 each, 1.5 pW and 2 pW: 2.5 pW.
        is(found[0][0], 7e-12, 2.5e-12);
        let groups: [(Option<Frequency>, Polarisation, &[f64]); 2] =
            [(None, Theta, &[3e-12]), (None, Total, &[9e-12])];
        let found = levels(&whole, &of_readings(silent(None, &groups)), 9.0).unwrap();
        is(found[0][0], 9e-12, 3e-12);
    }

    /// Eight rings of twelve columns between the poles. Theta at the second frequency rises from 1 pW by 1 pW a direction, from the end; the
    /// poles and one missing sample are far below, all else is far above.
    fn rising() -> Sphere {
        let frequencies = [mhz("860"), mhz("870")];
        let whole = sphere(
            Quantity::Eirp,
            Layout::ThetaPhi,
            (9, 12),
            &frequencies,
            |at| match at {
                (1, 0, 0..=11 | 108..) => 1e-15,
                (1, 0, 60) => 1e-15,
                (1, 0, d) => (108 - d) as f64 * 1e-12,
                _ => 1e-6,
            },
        );
        let mut parts = whole.into_parts();
        parts.states[(1, 0, 60)] = State::Missing;
        parts.build().unwrap()
    }

    #[test]
    fn the_lowest_twentieth() {
        let whole = rising();
        // ⌈0.05·95⌉ = 5 readings, 1 to 5 pW.
        let (mean, share, count) = lowest(&whole, 1, 0);
        same(mean, 3e-12);
        same(share, 5.0 / 95.0);
        assert_eq!(count, 5.0);
        let (mean, share, count) = lowest(&whole, 1, 1);
        same(mean, 1e-6);
        same(share, 5.0 / 96.0);
        assert_eq!(count, 5.0);
        // Three at least.
        let small = sphere(
            Quantity::Eirp,
            Layout::TotalOnly,
            (2, 4),
            &[None],
            |(_, _, d)| (1 + d) as f64,
        );
        assert_eq!(lowest(&small, 0, 0), (6.0, 0.75, 3.0));
    }

    #[test]
    fn an_estimate_is_an_upper_limit() {
        // Mean of the lowest, 1.645 deviations higher, over what noise leaves of the weakest readings.
        let whole = rising();
        let of = |detector, averages| {
            let floor = Floor::new(FloorSource::Estimated, detector, Signal::Cw);
            let found = levels(&whole, &floor, averages).unwrap();
            assert_eq!(found[1][0].standard_w, None);
            found[1][0].power_w
        };
        let wanted = |effective: f64| {
            let raised = 3e-12 * (1.0 + 1.645 / libm::sqrt(5.0 * effective));
            raised / mean_of_weakest(effective, 5.0 / 95.0)
        };
        same(of(Detector::Rms, 4.0), wanted(4.0));
        // One average is an exponential variable, whose weakest share q has the mean 1 + (1 − q)·ln(1 − q)/q (closed form).
        let q: f64 = 5.0 / 95.0;
        let weakest = 1.0 + (1.0 - q) * libm::log1p(-q) / q;
        let by_hand = 3e-12 * (1.0 + 1.645 / libm::sqrt(5.0)) / weakest;
        within(of(Detector::Rms, 1.0), by_hand, 1e-3);
        // Logarithms scatter π²/6 as much, but one is no less than one.
        let e_gamma = 1.781_072_417_990_198;
        same(of(Detector::Log, 4.0), e_gamma * wanted(4.0 / LOG_VARIANCE));
        same(of(Detector::Log, 1.0), e_gamma * wanted(1.0));
    }
}
