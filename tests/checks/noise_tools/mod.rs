//! Spheres with noise, drawn and reduced.

use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;
use rand_distr::{Distribution, Gamma, StandardNormal};
use spheresum_core::correct::{Detector, Floor, FloorSource, Signal};
use spheresum_core::figure::Figure;
use spheresum_core::reduce::{ReduceOptions, Reduction, reduce_readings};
use spheresum_core::table::EmbeddedSphere;
use spheresum_core::unit::level;
use spheresum_core::{Limits, Polarisation, Reading, Readings, Value};
use std::fmt;

/// The clean spheres.
pub const SPHERES: [&str; 4] = [
    "ds1_isotropic_15deg",
    "ds2_xdipole_15deg",
    "ds3_halfwave_30deg",
    "ds4_beam_15deg",
];

/// Share of the noise that is in theta; the rest is in phi.
const IN_THETA: f64 = 0.6;

/// How well the floor is known.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Floored {
    Exactly,
    /// From so many readings, each with the averages of the others.
    ByReadings(u32),
}

#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Case {
    pub sphere: &'static str,
    pub snr_db: f64,
    pub averages: u32,
    pub signal: Signal,
    pub floored: Floored,
}

impl fmt::Display for Case {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self {
            sphere,
            snr_db,
            averages,
            signal,
            floored,
        } = self;
        write!(f, "{sphere} {snr_db} dB n={averages} {signal} {floored:?}")
    }
}

/// What was stated of the TRP, over all trials.
pub struct Stated {
    /// Share of intervals that hold the truth.
    pub covered: f64,
    /// Bias of the mean, in watts and then in decibels.
    pub bias_db: f64,
    /// Standard deviation of that mean.
    pub bias_standard_db: f64,
    /// (ΣwP)²/Σ(wP)² of the clean sphere with its noise.
    pub effective: f64,
}

/// One reading in W of a signal and noise.
pub fn reading(
    signal_w: f64,
    noise_w: f64,
    averages: u32,
    signal: Signal,
    random: &mut ChaCha8Rng,
) -> f64 {
    let n = f64::from(averages);
    let mut gamma = |shape: f64| {
        if shape > 0.0 {
            Gamma::new(shape, 1.0).unwrap().sample(random)
        } else {
            0.0
        }
    };
    if signal == Signal::NoiseLike {
        return (signal_w + noise_w) / n * gamma(n);
    }
    // The averages' common phase may be turned so that all of the wave is in one of the 2n components.
    let others = gamma(n - 1.0);
    let mut normal = || -> f64 { StandardNormal.sample(random) };
    let (re, im) = (normal() / 2f64.sqrt(), normal() / 2f64.sqrt());
    let wave = (n * signal_w / noise_w).sqrt();
    noise_w / n * ((wave + re).powi(2) + im * im + others)
}

impl Case {
    pub fn clean(&self) -> Readings {
        EmbeddedSphere::of(self.sphere).unwrap().readings().unwrap()
    }

    /// TRP of the clean sphere on its grid, W.
    pub fn truth_w(&self) -> f64 {
        let clean = self.clean();
        trp_w(&reduce_readings(&[clean], &options(None), &Limits::default()).unwrap())
    }

    /// Noise of theta and phi, W.
    pub fn floor_w(&self, truth_w: f64) -> [f64; 2] {
        let all = truth_w / level::ratio_from_db(self.snr_db);
        [IN_THETA * all, (1.0 - IN_THETA) * all]
    }

    /// Readings with noise.
    pub fn drawn(&self, clean: &Readings, floor_w: [f64; 2], random: &mut ChaCha8Rng) -> Readings {
        let limits = Limits::default();
        let mut noisy = Readings::new("noisy", clean.quantity(), &limits);
        for frequency in clean.frequencies() {
            noisy.frequency_index(*frequency, &limits).unwrap();
        }
        for one in clean.iter() {
            let Value::Power(power) = one.value else {
                panic!("a power")
            };
            let of = floor_w[usize::from(one.polarisation == Polarisation::Phi)];
            let value = Value::Power(reading(power, of, self.averages, self.signal, random));
            noisy.push(Reading { value, ..one }).unwrap();
        }
        noisy
    }

    /// The floor as it is known.
    pub fn known(&self, floor_w: [f64; 2], random: &mut ChaCha8Rng) -> Floor {
        let (levels, averages) = match self.floored {
            Floored::Exactly => (floor_w, None),
            Floored::ByReadings(count) => {
                let together = f64::from(count * self.averages);
                let known = floor_w
                    .map(|w| w / together * Gamma::new(together, 1.0).unwrap().sample(random));
                (known, Some(together))
            }
        };
        let source = FloorSource::Levels {
            theta_dbm: level::dbm_from_w(levels[0]),
            phi_dbm: level::dbm_from_w(levels[1]),
            averages,
        };
        Floor::new(source, Detector::Rms, self.signal).with_averages(Some(f64::from(self.averages)))
    }

    /// Share of the intervals of a figure that hold what the clean sphere gives.
    pub fn covered(&self, figure: &str, trials: usize) -> f64 {
        let clean = self.clean();
        let floor_w = self.floor_w(self.truth_w());
        let mut random = ChaCha8Rng::seed_from_u64(868_301);
        let limits = Limits::default();
        let of = |readings: Readings, floor: Option<Floor>| {
            let mut options = options(floor);
            options.figures = Some(vec![figure.to_string()]);
            let reduction = reduce_readings(&[readings], &options, &limits).unwrap();
            reduction.channels[0].figure(figure).unwrap().clone()
        };
        let truth = of(clean.clone(), None).value.unwrap();
        let held = (0..trials).filter(|_| {
            let noisy = self.drawn(&clean, floor_w, &mut random);
            let found = of(noisy, Some(self.known(floor_w, &mut random)));
            let low = found.interval_lower.is_none_or(|l| l <= truth);
            low && found.interval_upper.is_some_and(|h| truth <= h)
        });
        held.count() as f64 / trials as f64
    }

    pub fn simulate(&self, trials: usize) -> Stated {
        let (clean, truth) = (self.clean(), self.truth_w());
        let floor_w = self.floor_w(truth);
        let mut random = ChaCha8Rng::seed_from_u64(868_300);
        let (mut covered, mut values) = (0, Vec::new());
        for _ in 0..trials {
            let noisy = self.drawn(&clean, floor_w, &mut random);
            let floor = self.known(floor_w, &mut random);
            let reduction =
                reduce_readings(&[noisy], &options(Some(floor)), &Limits::default()).unwrap();
            let figure = trp(&reduction);
            let (low, high) = (figure.interval_lower, figure.interval_upper);
            let truth_dbm = level::dbm_from_w(truth);
            covered += usize::from(
                low.is_none_or(|l| l <= truth_dbm) && high.is_some_and(|h| truth_dbm <= h),
            );
            values.push(trp_w(&reduction));
        }
        let count = trials as f64;
        let mean = values.iter().sum::<f64>() / count;
        let variance = values.iter().map(|v| (v - mean).powi(2)).sum::<f64>() / (count - 1.0);
        let db = |w: f64| 10.0 * (w / truth).log10();
        Stated {
            covered: covered as f64 / count,
            bias_db: db(mean),
            bias_standard_db: db(truth + (variance / count).sqrt()),
            effective: effective(&clean, floor_w),
        }
    }
}

/// (ΣwP)²/Σ(wP)², by the sine weights of the directions.
fn effective(clean: &Readings, floor_w: [f64; 2]) -> f64 {
    let (mut first, mut second) = (0.0, 0.0);
    for one in clean.iter() {
        let Value::Power(power) = one.value else {
            continue;
        };
        let of = floor_w[usize::from(one.polarisation == Polarisation::Phi)];
        let weighted = one.theta_deg.to_radians().sin() * (power + of);
        first += weighted;
        second += weighted * weighted;
    }
    first * first / second
}

pub fn options(floor: Option<Floor>) -> ReduceOptions {
    let mut options = ReduceOptions::default();
    options.figures = Some(vec!["trp".to_string()]);
    options.floor = floor;
    options
}

pub fn trp(reduction: &Reduction) -> &Figure {
    reduction.channels[0].figure("trp").unwrap()
}

/// The TRP in W, below zero too.
pub fn trp_w(reduction: &Reduction) -> f64 {
    let figure = trp(reduction);
    match (figure.value, figure.interval_lower, figure.interval_upper) {
        (Some(dbm), ..) => level::w_from_dbm(dbm),
        _ => reduction.channels[0]
            .noise
            .as_ref()
            .map_or(0.0, |n| n.value_w),
    }
}
