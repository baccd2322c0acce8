//! What noise does to the TRP of a channel, and the verdict.

use super::options::NoiseOptions;
use super::spread::Spread;
use crate::correct::noise::AveragesFrom;
use crate::correct::{Detector, Noise, Signal};
use crate::figure::{Channel, NoiseEffect, Part};
use crate::model::Polarisation;
use crate::reduce::Verdict;
use crate::uncertainty::dwell::{self, Slower};
use crate::uncertainty::{COVERAGE_FACTOR, db};
use crate::unit::{level, sum};

/// The floor of a polarisation.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
#[non_exhaustive]
pub struct FloorLevel {
    /// The polarisation.
    pub polarisation: Polarisation,
    /// Its floor as EIRP, dBm.
    pub floor_dbm: f64,
    /// Standard uncertainty of the floor, dB; `None`: not known, or a quarter of the floor and more.
    pub standard_uncertainty_db: Option<f64>,
    /// Its share of the variance that averages down, per cent.
    pub variance_share_percent: Option<f64>,
}

/// A direction whose readings weigh much in the uncertainty.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
#[non_exhaustive]
pub struct Dominant {
    /// θ of the ring, degrees.
    pub theta_deg: f64,
    /// The ring's share of the variance that averages down, per cent.
    pub variance_share_percent: f64,
}

/// What noise does to the TRP of a channel.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
#[non_exhaustive]
pub struct NoiseReport {
    /// Verdict on the channel.
    pub verdict: Verdict,
    /// What the receiver averages.
    pub detector: Detector,
    /// What the device sends.
    pub signal: Signal,
    /// Independent averages in a reading.
    pub averages: f64,
    /// Where that number comes from.
    pub averages_from: AveragesFrom,
    /// True where the floor was estimated from the very readings.
    pub is_estimated: bool,
    /// The floor of each polarisation.
    pub floor: Vec<FloorLevel>,
    /// TRP in W, which may be below zero.
    pub value_w: f64,
    /// TRP with the floor left in, dBm.
    pub shown_dbm: Option<f64>,
    /// By how much that is too high, dB (too low where negative, as a log detector shows it); `None` where nothing is left above zero.
    pub bias_db: Option<f64>,
    /// What is left of the bias: what the floor's own standard uncertainty does, dB; `None`: not known, or a quarter of the TRP and more.
    pub bias_left_db: Option<f64>,
    /// Standard uncertainty of the TRP by the noise of the readings, W.
    pub noise_standard_w: f64,
    /// That by the floor's own uncertainty, W; `None`: not known.
    pub floor_standard_w: Option<f64>,
    /// How far all readings together lie below what noise alone would show, dB; `None` where their scatter explains it, or they do not.
    pub below_noise_db: Option<f64>,
    /// Half-width of the interval by noise, without that by gaps, dB; `None` where its lower end is not above zero.
    pub half_width_db: Option<f64>,
    /// Share of the TRP that comes from samples below the floor, per cent.
    pub below_floor_percent: Option<f64>,
    /// The lowest TRP that this setup can see, dBm.
    pub lowest_visible_dbm: Option<f64>,
    /// The target of a slower sweep, dB.
    pub target_db: f64,
    /// What it takes to reach it.
    pub slower: Option<Slower>,
    /// What the slower sweep would take, minutes.
    pub slower_min: Option<f64>,
    /// Time that dwelling longer only where it matters would take, over that of dwelling everywhere alike.
    pub dwell_ratio: Option<f64>,
    /// The rings that weigh most in the uncertainty.
    pub dominant: Vec<Dominant>,
}

/// Detection limit over the standard uncertainty of nothing: 5 % false alarms and 5 % misses, 2 × 1.645 (Currie 1968, from memory).
const DETECTION: f64 = 3.29;

/// What noise does to a channel; `None` where it has no TRP or no floor.
pub(in crate::reduce) fn report(
    channel: &Channel<'_>,
    options: &NoiseOptions,
) -> Option<NoiseReport> {
    let noise = channel.setting.noise.as_ref()?;
    let whole = channel.whole(Part::Total).ok()?;
    let effect = whole.noise?;
    let value = whole.value;
    let common = effect.floor.unwrap_or(0.0);
    let u = libm::hypot(effect.noise, common);
    let low = value - COVERAGE_FACTOR * u;
    let half_width_db = (low > 0.0).then(|| level::db_from_ratio(value / low));
    let bias_db =
        (value > 0.0 && effect.shown > 0.0).then(|| level::db_from_ratio(effect.shown / value));
    let spread = Spread::of(channel, noise);
    let slower = dwell::slower(value, effect.noise, common, options.target_db);
    let minutes = match (slower, options.sweep_min) {
        (Some(Slower::Factor(factor)), Some(minutes)) => Some(factor * minutes),
        _ => None,
    };
    let nothing = libm::hypot(effect.least, common);
    Some(NoiseReport {
        verdict: verdict(noise, bias_db, half_width_db, options),
        detector: noise.detector,
        signal: noise.signal,
        averages: noise.averages,
        averages_from: noise.averages_from,
        is_estimated: noise.is_estimated,
        floor: floors(channel, noise, &spread),
        value_w: value,
        shown_dbm: (effect.shown > 0.0).then(|| level::dbm_from_w(effect.shown)),
        bias_db,
        bias_left_db: effect.floor.and_then(|f| db(f, value)),
        noise_standard_w: effect.noise,
        floor_standard_w: effect.floor,
        below_noise_db: below_noise(channel, noise, &effect, value + IMPOSSIBLE * u),
        half_width_db,
        below_floor_percent: below_floor(&effect, value),
        lowest_visible_dbm: (nothing > 0.0).then(|| level::dbm_from_w(DETECTION * nothing)),
        target_db: options.target_db,
        slower,
        slower_min: minutes,
        dwell_ratio: dwell::shared_out(&spread.samples),
        dominant: spread.dominant(channel),
    })
}

/// A TRP so many standard uncertainties below zero is not the chance of its noise: 0.13 % (closed form, normal distribution).
const IMPOSSIBLE: f64 = 3.0;

/// How far what was shown lies below what the floor alone would show, where even the `highest` TRP is below zero.
fn below_noise(
    channel: &Channel<'_>,
    noise: &Noise,
    effect: &NoiseEffect,
    highest: f64,
) -> Option<f64> {
    if highest >= 0.0 {
        return None;
    }
    let all: Vec<f64> = (0..channel.sphere.layout().polarisations().len())
        .filter_map(|p| noise.level(channel.frequency, p))
        .map(|l| l.power_w)
        .collect();
    let alone = sum::in_order(&all) * noise.shown_of_noise();
    (effect.shown > 0.0).then(|| level::db_from_ratio(alone / effect.shown))
}

fn below_floor(effect: &NoiseEffect, value: f64) -> Option<f64> {
    // No negative zero.
    (value > 0.0).then(|| 100.0 * effect.below_floor / value + 0.0)
}

fn verdict(
    noise: &Noise,
    bias_db: Option<f64>,
    half_width_db: Option<f64>,
    options: &NoiseOptions,
) -> Verdict {
    match (bias_db, half_width_db) {
        _ if noise.is_estimated => Verdict::NoiseLimited,
        (Some(bias), Some(width)) if width <= options.limit_db => {
            if bias.abs() <= options.clear_db {
                Verdict::Clear
            } else {
                Verdict::Corrected
            }
        }
        _ => Verdict::NoiseLimited,
    }
}

/// The worst verdict of several.
pub(in crate::reduce) fn worst(verdicts: impl Iterator<Item = Verdict>) -> Verdict {
    verdicts
        .max_by_key(|v| rank(*v))
        .unwrap_or(Verdict::NotAssessed)
}

/// The worse, the higher.
pub(super) const fn rank(verdict: Verdict) -> u8 {
    match verdict {
        Verdict::Clear => 0,
        Verdict::Corrected => 1,
        Verdict::NotAssessed => 2,
        Verdict::NoiseLimited => 3,
    }
}

fn floors(channel: &Channel<'_>, noise: &Noise, spread: &Spread) -> Vec<FloorLevel> {
    let polarisations = channel.sphere.layout().polarisations().iter().enumerate();
    let whole = sum::in_order(&spread.by_polarisation);
    polarisations
        .filter_map(|(p, polarisation)| {
            let of = noise.level(channel.frequency, p)?;
            let share = spread.by_polarisation.get(p).filter(|_| whole > 0.0);
            Some(FloorLevel {
                polarisation: *polarisation,
                floor_dbm: level::dbm_from_w(of.power_w),
                standard_uncertainty_db: of.standard_w.and_then(|u| db(u, of.power_w)),
                variance_share_percent: share.map(|v| 100.0 * v / whole),
            })
        })
        .collect()
}

#[cfg(test)]
mod tests;
