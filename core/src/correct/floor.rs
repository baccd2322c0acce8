//! Taking the noise floor off: what is left of each reading is the signal's.

use crate::correct::detector::{LOG_VARIANCE, wave_estimate, wave_from_log, wave_shown_by_log};
use crate::correct::floor_levels::{averages_of, levels};
use crate::correct::noise::{Detector, Level, Noise, Signal};
use crate::correct::noise_only::NoiseOnly;
use crate::error::{Error, Result};
use crate::history::Step;
use crate::model::{Bound, Data, Grid, Quantity, Sphere, State};
use crate::unit::{level, sum};
use std::fmt;
use std::str::FromStr;

/// Where the floor comes from.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum FloorSource {
    /// One level a polarisation, for every frequency, dBm as the receiver shows it, in the quantity of the readings.
    Levels {
        /// Of the theta polarisation.
        theta_dbm: f64,
        /// Of the phi polarisation.
        phi_dbm: f64,
        /// Independent averages in each level; `None`: its uncertainty is not known.
        averages: Option<f64>,
    },
    /// Readings that were taken while the device was silent.
    Readings(Box<NoiseOnly>),
    /// The lowest readings of the very measurement: an upper limit of the floor, where any signal is left in them.
    Estimated,
}

/// A floor, and how it and the signal are shown.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct Floor {
    /// Where it comes from.
    pub source: FloorSource,
    /// What the receiver averages.
    pub detector: Detector,
    /// What the device sends.
    pub signal: Signal,
    /// Independent averages in a reading of the measurement; `None`: nobody said it.
    pub averages: Option<f64>,
}

impl Floor {
    /// A floor.
    #[must_use]
    pub fn new(source: FloorSource, detector: Detector, signal: Signal) -> Self {
        Self {
            source,
            detector,
            signal,
            averages: None,
        }
    }

    /// With the number of independent averages in each reading of the measurement.
    #[must_use]
    pub fn with_averages(mut self, averages: Option<f64>) -> Self {
        self.averages = averages;
        self
    }

    /// The quantity that the floor is of; `None`: that of the readings.
    #[must_use]
    pub fn quantity(&self) -> Option<Quantity> {
        match &self.source {
            FloorSource::Readings(noise) => Some(noise.quantity()),
            _ => None,
        }
    }
}

impl FromStr for FloorSource {
    type Err = Error;

    /// From a level in dBm for both polarisations, from `theta=DBM,phi=DBM`, or `estimated`.
    fn from_str(text: &str) -> Result<Self> {
        let wrong = || {
            Error::usage(format!("{text:?} is no noise floor"))
                .hint("write a level in dBm, theta=DBM,phi=DBM, estimated, or name a file of noise-only readings")
        };
        let number = |text: &str| -> Result<f64> {
            let value: f64 = text.trim().parse().map_err(|_| wrong())?;
            (-400.0..=100.0)
                .contains(&value)
                .then_some(value)
                .ok_or_else(wrong)
        };
        if text == "estimated" {
            return Ok(Self::Estimated);
        }
        let (mut theta, mut phi) = (None, None);
        if !text.contains('=') {
            let both = number(text)?;
            (theta, phi) = (Some(both), Some(both));
        } else {
            for part in text.split(',') {
                let (name, value) = part.split_once('=').ok_or_else(wrong)?;
                let slot = match name.trim() {
                    "theta" => &mut theta,
                    "phi" => &mut phi,
                    _ => return Err(wrong()),
                };
                if slot.replace(number(value)?).is_some() {
                    return Err(wrong());
                }
            }
        }
        match (theta, phi) {
            (Some(_), None) | (None, Some(_)) => {
                let lacks = if theta.is_some() { "phi" } else { "theta" };
                Err(Error::usage(format!(
                    "the floor of the {lacks} polarisation is missing in {text:?}"
                ))
                .hint("write theta=DBM,phi=DBM, or one level for both"))
            }
            (Some(theta_dbm), Some(phi_dbm)) => Ok(Self::Levels {
                theta_dbm,
                phi_dbm,
                averages: None,
            }),
            _ => Err(wrong()),
        }
    }
}

impl fmt::Display for FloorSource {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Levels {
                theta_dbm, phi_dbm, ..
            } => write!(f, "theta={theta_dbm},phi={phi_dbm}"),
            Self::Readings(noise) => f.write_str(noise.source()),
            Self::Estimated => f.write_str("estimated"),
        }
    }
}

/// A sphere whose floor was taken off, and what is known of its noise.
#[derive(Clone, Debug)]
#[non_exhaustive]
pub struct Quiet {
    /// The sphere.
    pub sphere: Sphere,
    /// Its noise.
    pub noise: Noise,
    /// The step for the history.
    pub step: Step,
}

/// Takes the floor off a sphere of powers.
///
/// An rms detector shows S + N, and N is subtracted; a difference below zero stays what it is, so that sums are not biased. A log
/// detector's readings of a wave are solved for S ([`wave_estimate`]); where noise alone shows more than the reading, the sample becomes
/// at-most, at what the wave could be with the reading two standard deviations higher, and counts with an estimate below zero. Of a noise-like signal everything reads low by the same 2.5068 dB. A
/// marked sample keeps its mark and bound.
///
/// The logarithm of a reading scatters, and readings are summed in watts, where so much of the 2.5068 dB is lost again as the averages are
/// few ([`noise_from_log_of`](crate::correct::detector::noise_from_log_of)); where the averages are known, that is taken into account.
///
/// # Errors
/// - Usage: sensitivities, gains or fields; a floor of another quantity;
/// - Domain: no floor for a polarisation or frequency of the sphere.
pub fn take_off(sphere: Sphere, floor: &Floor) -> Result<Quiet> {
    let quantity = sphere.quantity();
    if !matches!(quantity, Quantity::Eirp | Quantity::ReceivedPower) || sphere.power().is_none() {
        return Err(Error::usage(format!(
            "a noise floor is subtracted from powers, and the readings are of {quantity}"
        ))
        .hint("leave out --floor"));
    }
    if floor.quantity().is_some_and(|q| q != quantity) {
        return Err(Error::usage(format!(
            "the noise-only readings are of another quantity than the readings of {quantity}"
        ))
        .hint(
            "take both in the same way: with the same receiver, attenuation, bandwidth and columns",
        ));
    }
    let (averages, averages_from) = averages_of(floor);
    let levels = levels(&sphere, floor, averages)?;
    let mut parts = sphere.into_parts();
    let raw = match &parts.data {
        Data::Power(values) => values.clone(),
        Data::Field(_) => return Err(Error::usage("a noise floor is subtracted from powers")),
    };
    let noise = Noise {
        levels,
        averages,
        averages_from,
        detector: floor.detector,
        signal: floor.signal,
        is_estimated: floor.source == FloorSource::Estimated,
        raw,
    };
    let mut below = 0_usize;
    if let Data::Power(values) = &mut parts.data {
        for ((f, p, d), value) in values.indexed_iter_mut() {
            let Some(of) = level_at(&noise, &parts.grid, quantity, (f, p, d)) else {
                continue;
            };
            match parts.states[(f, p, d)] {
                State::Missing | State::Filled | State::AtMost => continue,
                State::Measured | State::AtLeast => {}
            }
            let at_least = parts.states[(f, p, d)] == State::AtLeast;
            match solve(*value, of, &noise) {
                Solved::Power(power) => *value = power,
                // At least a reading that noise alone exceeds: the wave has no upper bound still.
                Solved::AtMost { estimate, .. } if at_least => *value = estimate,
                Solved::AtMost { estimate, upper } => {
                    *value = estimate;
                    parts.states[(f, p, d)] = State::AtMost;
                    parts.bounds.push(Bound {
                        at: (f, p, d),
                        lower: estimate,
                        upper: Some(upper),
                    });
                    below += 1;
                }
            }
            if at_least {
                let at = (f, p, d);
                let bound = parts.bounds.iter_mut().find(|b| b.at == at);
                if let Some(bound) = bound {
                    bound.lower = match solve(bound.lower, of, &noise) {
                        Solved::Power(power) => power.max(0.0),
                        Solved::AtMost { .. } => 0.0,
                    };
                }
            }
        }
    }
    let mut step = Step::new("floor")
        .option("floor", Some(&floor.source))
        .option("detector", Some(floor.detector))
        .option("signal", Some(floor.signal))
        .option("averages", floor.averages);
    if let FloorSource::Levels { averages: of, .. } = &floor.source {
        step = step.option("floor-averages", *of);
    }
    let polarisations = parts.layout.polarisations();
    for (frequency, levels) in parts.frequencies.iter().zip(&noise.levels) {
        let at = frequency.map_or_else(|| "unknown frequency".to_string(), |f| f.to_string());
        let said: Vec<String> = polarisations
            .iter()
            .zip(levels)
            .map(|(p, l)| format!("{p} {:.2} dBm", level::dbm_from_w(l.power_w)))
            .collect();
        step.note(format!("{at}: {}", said.join(", ")));
    }
    if below > 0 {
        step.note(format!(
            "{below} samples show less than the noise alone, and are at most what their scatter lets them be"
        ));
    }
    Ok(Quiet {
        sphere: parts.build()?,
        noise,
        step,
    })
}

/// What is left of a reading.
enum Solved {
    Power(f64),
    /// Less than noise alone shows: the wave is at most `upper`; sums need the estimate, which is below zero.
    AtMost {
        estimate: f64,
        upper: f64,
    },
}

fn solve(shown: f64, level: Level, noise: &Noise) -> Solved {
    match (noise.detector, noise.signal) {
        (Detector::Rms, _) => Solved::Power(shown - level.power_w),
        (Detector::Log, Signal::NoiseLike) => {
            Solved::Power(noise.power_of_log(shown) - level.power_w)
        }
        (Detector::Log, Signal::Cw) => {
            let estimate = wave_estimate(shown, level.power_w, noise.known_averages());
            if wave_from_log(shown, level.power_w).is_some() {
                return Solved::Power(estimate);
            }
            let scatter = libm::sqrt(LOG_VARIANCE / noise.averages);
            let higher = shown * libm::exp(2.0 * scatter);
            // Even so it may lie below what noise shows: then the wave is at most what moves that by two deviations.
            let alone = wave_shown_by_log(0.0, level.power_w) * libm::exp(2.0 * scatter);
            let upper = wave_from_log(higher, level.power_w)
                .filter(|s| *s > 0.0)
                .or_else(|| wave_from_log(alone, level.power_w))
                .unwrap_or(level.power_w);
            Solved::AtMost { estimate, upper }
        }
    }
}

/// The floor of a sample. At a pole of EIRP each polarisation holds half of the total of both.
fn level_at(
    noise: &Noise,
    grid: &Grid,
    quantity: Quantity,
    (f, p, d): (usize, usize, usize),
) -> Option<Level> {
    let own = noise.level(f, p)?;
    let at_pole = grid
        .equal_angle()
        .is_some_and(|g| g.is_pole(d / g.phi_count()));
    let levels = noise.levels.get(f)?;
    if !at_pole || levels.len() != 2 || quantity != Quantity::Eirp {
        return Some(own);
    }
    let both: Vec<f64> = levels.iter().map(|l| l.power_w).collect();
    Some(Level::new(sum::in_order(&both) / 2.0, None))
}

#[cfg(test)]
mod tests;
