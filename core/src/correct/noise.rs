//! What is known of the noise in a sphere's readings, once its floor was taken off.

use crate::correct::RangeLoss;
use crate::correct::detector::{
    LOG_VARIANCE, noise_from_log, noise_from_log_of, noise_shown_by_log, relative_variance_of_log,
    wave_shown_by_log, wave_variance,
};
use crate::error::{Error, Result};
use crate::model::{Polarisation, Sphere, State};
use crate::unit::level;
use ndarray::{Array3, Axis};
use std::fmt;
use std::str::FromStr;

/// What a receiver averages.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(rename_all = "kebab-case"))]
#[non_exhaustive]
pub enum Detector {
    /// Power: what is shown is the sum of signal and noise.
    #[default]
    Rms,
    /// The logarithm (log average, video average on a decibel scale): see [`crate::correct::detector`].
    Log,
}

/// What the device sends while it is measured.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(rename_all = "kebab-case"))]
#[non_exhaustive]
pub enum Signal {
    /// A continuous wave, or what is narrow within the receiver's bandwidth.
    #[default]
    Cw,
    /// A signal that is itself like Gaussian noise within the receiver's bandwidth.
    NoiseLike,
}

macro_rules! words {
    ($type:ident, $what:literal, $($variant:ident = $word:literal),+) => {
        impl $type {
            /// The word used in options and JSON.
            #[must_use]
            pub const fn as_str(self) -> &'static str {
                match self { $(Self::$variant => $word),+ }
            }
        }

        impl fmt::Display for $type {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str(self.as_str())
            }
        }

        impl FromStr for $type {
            type Err = Error;

            fn from_str(text: &str) -> Result<Self> {
                match text {
                    $($word => Ok(Self::$variant),)+
                    _ => Err(Error::usage(format!("there is no {} {text:?}", $what))
                        .hint(concat!($what, ":" $(, " ", $word)+))),
                }
            }
        }
    };
}

words!(Detector, "detector", Rms = "rms", Log = "log");
words!(Signal, "signal", Cw = "cw", NoiseLike = "noise-like");

/// Power of the noise floor of one polarisation at one frequency.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct Level {
    /// Mean power, W, as an rms detector shows it.
    pub power_w: f64,
    /// Its standard uncertainty, W; `None`: not known.
    pub standard_w: Option<f64>,
}

impl Level {
    /// A level whose uncertainty is known or not.
    #[must_use]
    pub const fn new(power_w: f64, standard_w: Option<f64>) -> Self {
        Self {
            power_w,
            standard_w,
        }
    }

    fn scaled(self, factor: f64) -> Self {
        Self::new(self.power_w * factor, self.standard_w.map(|u| u * factor))
    }
}

/// Where the number of averages comes from.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
#[cfg_attr(feature = "serde", serde(rename_all = "kebab-case"))]
#[non_exhaustive]
pub enum AveragesFrom {
    /// A person or the file said it.
    Said,
    /// The scatter of the noise-only readings.
    Scatter,
    /// Nobody said it: one, the worst case.
    Assumed,
}

/// The noise of a sphere whose floor was taken off.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct Noise {
    /// Floor by frequency, then polarisation, in the quantity of the sphere.
    pub levels: Vec<Vec<Level>>,
    /// Independent averages in a reading.
    pub averages: f64,
    /// Where that number comes from.
    pub averages_from: AveragesFrom,
    /// What the receiver averages.
    pub detector: Detector,
    /// What the device sends.
    pub signal: Signal,
    /// True where the floor was estimated from the very readings.
    pub is_estimated: bool,
    /// What the receiver showed, before the floor was taken off: frequency × polarisation × direction.
    pub raw: Array3<f64>,
}

impl Noise {
    /// The floor of a polarisation; `None` for indices out of range.
    #[must_use]
    pub fn level(&self, frequency: usize, polarisation: usize) -> Option<Level> {
        self.levels.get(frequency)?.get(polarisation).copied()
    }

    /// Variance of a sample (value after the floor was taken off, and what was shown), W². It is the unbiased estimate from the
    /// reading, and may be negative for a wave: only sums of many mean something.
    ///
    /// | signal, detector | variance | source |
    /// |---|---|---|
    /// | wave, rms | (2NP − N²)/n, of mean (N² + 2NS)/n | F12; closed form, noncentral χ² of 2n degrees of freedom |
    /// | noise-like, rms | P²/(n + 1), of mean (S + N)²/n | F12; closed form, gamma of shape n |
    /// | wave, log | (S/(1 − e^(−s)))²·Var(ln X)/n, s = S/N | first order of P = S·exp(E₁(s)) |
    /// | noise-like, log | P²·r/(1 + r), of mean r·(S + N)² | [`relative_variance_of_log`] r of n averages; closed form |
    #[must_use]
    pub fn variance(&self, level: Level, value: f64, shown: f64) -> f64 {
        let (noise, n) = (level.power_w, self.averages);
        match (self.detector, self.signal) {
            (Detector::Rms, Signal::Cw) => noise * (2.0 * shown - noise) / n,
            (Detector::Rms, Signal::NoiseLike) => shown * shown / (n + 1.0),
            (Detector::Log, Signal::Cw) => wave_variance(value, noise) / n,
            (Detector::Log, Signal::NoiseLike) => {
                let (power, of_one) = (value + noise, relative_variance_of_log(n));
                power * power * of_one / (1.0 + of_one)
            }
        }
    }

    /// The power, W, of which a log reading of something noise-like is an average, without bias in watts where the number of averages
    /// is known.
    pub(super) fn power_of_log(&self, shown: f64) -> f64 {
        match self.known_averages() {
            None => noise_from_log(shown),
            Some(averages) => noise_from_log_of(shown, averages),
        }
    }

    /// The number of averages, unless it was assumed.
    pub(super) fn known_averages(&self) -> Option<f64> {
        (self.averages_from != AveragesFrom::Assumed).then_some(self.averages)
    }

    /// What the receiver showed of a sample; of one that was filled, what it would have shown.
    #[must_use]
    pub fn shown(&self, at: (usize, usize, usize), value: f64, state: State) -> f64 {
        match (state, self.raw.get(at), self.level(at.0, at.1)) {
            (State::Filled | State::Missing, _, Some(level)) => {
                let (noise, both) = (level.power_w, value + level.power_w);
                match (self.detector, self.signal) {
                    (Detector::Rms, _) => both,
                    (Detector::Log, Signal::Cw) => wave_shown_by_log(value.max(0.0), noise),
                    (Detector::Log, Signal::NoiseLike) => both * noise_shown_by_log(),
                }
            }
            (_, Some(raw), _) => *raw,
            _ => value,
        }
    }

    /// Share of its power that noise alone shows.
    #[must_use]
    pub fn shown_of_noise(&self) -> f64 {
        match self.detector {
            Detector::Rms => 1.0,
            Detector::Log => noise_shown_by_log(),
        }
    }

    /// Variance that a sample has at least, W²: that of noise alone.
    #[must_use]
    pub fn least_variance(&self, level: Level) -> f64 {
        let of_log = if self.detector == Detector::Log {
            LOG_VARIANCE
        } else {
            1.0
        };
        level.power_w * level.power_w * of_log / self.averages
    }

    /// Behind the range loss, which multiplies signal and noise alike.
    ///
    /// # Errors
    /// As [`RangeLoss::at`].
    pub fn through(mut self, loss: &RangeLoss, sphere: &Sphere) -> Result<Self> {
        for (f, frequency) in sphere.frequencies().iter().enumerate() {
            for (p, polarisation) in sphere.layout().polarisations().iter().enumerate() {
                let which = match polarisation {
                    Polarisation::Total => Polarisation::Theta,
                    other => *other,
                };
                let factor = level::ratio_from_db(loss.at(which, *frequency)?);
                if let Some(one) = self.levels.get_mut(f).and_then(|l| l.get_mut(p)) {
                    *one = one.scaled(factor);
                }
                let mut plane = self.raw.index_axis_mut(Axis(0), f);
                plane
                    .index_axis_mut(Axis(0), p)
                    .mapv_inplace(|v| v * factor);
            }
        }
        Ok(self)
    }
}

#[cfg(test)]
mod tests;
