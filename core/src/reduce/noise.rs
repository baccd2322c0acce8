//! What noise does to a run: verdict, and what to do next.

use crate::correct::noise::AveragesFrom;
use crate::correct::{Detector, Noise, Signal};
use crate::error::{Error, Result};
use crate::figure::{Channel, NoiseEffect, Part};
use crate::finding::{Finding, Severity};
use crate::model::{Polarisation, Sphere};
use crate::reduce::Verdict;
use crate::uncertainty::dwell::{self, Slower};
use crate::uncertainty::{COVERAGE_FACTOR, db};
use crate::unit::{level, sum};

/// What is asked about noise.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct NoiseOptions {
    /// Largest raw bias of a run that is `clear`, dB.
    pub clear_db: f64,
    /// Largest half-width of the interval of a run that is not `noise-limited`, dB.
    pub limit_db: f64,
    /// Standard uncertainty by noise that a slower sweep should reach, dB.
    pub target_db: f64,
    /// What the present sweep takes, minutes.
    pub sweep_min: Option<f64>,
}

impl Default for NoiseOptions {
    /// 0.1 dB, 1 dB, 0.25 dB, and no time.
    fn default() -> Self {
        Self {
            clear_db: 0.1,
            limit_db: 1.0,
            target_db: 0.25,
            sweep_min: None,
        }
    }
}

impl NoiseOptions {
    /// # Errors
    /// Usage: a threshold that is not above zero.
    pub(super) fn check(&self) -> Result<()> {
        for (name, value) in [
            ("--noise-clear", Some(self.clear_db)),
            ("--noise-limit", Some(self.limit_db)),
            ("--target-uncertainty", Some(self.target_db)),
            ("--sweep-minutes", self.sweep_min),
        ] {
            if value.is_some_and(|v| !(v > 0.0 && v < 1e6)) {
                return Err(Error::usage(format!("{name} is not above zero")));
            }
        }
        Ok(())
    }
}

/// The floor of a polarisation.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
#[non_exhaustive]
pub struct FloorLevel {
    /// The polarisation.
    pub polarisation: Polarisation,
    /// Its floor as EIRP, dBm.
    pub floor_dbm: f64,
    /// Standard uncertainty of the floor, dB; `None`: not known.
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
    /// By how much that is too high, dB; `None` where nothing is left above zero.
    pub bias_db: Option<f64>,
    /// What is left of the bias: what the floor's own standard uncertainty does, dB; `None`: not known.
    pub bias_left_db: Option<f64>,
    /// Half-width of the interval by noise, dB; `None` where its lower end is not above zero.
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

/// Most rings that are named.
const MOST_RINGS: usize = 3;

/// What noise does to a channel; `None` where it has no TRP or no floor.
pub(super) fn report(channel: &Channel<'_>, options: &NoiseOptions) -> Option<NoiseReport> {
    let noise = channel.setting.noise.as_ref()?;
    let whole = channel.whole(Part::Total).ok()?;
    let effect = whole.noise?;
    let value = whole.value;
    let common = effect.floor.unwrap_or(0.0);
    let u = libm::hypot(effect.noise, common);
    let low = value - COVERAGE_FACTOR * u;
    let half_width_db = (low > 0.0).then(|| level::db_from_ratio(value / low));
    let bias_db = (value > 0.0).then(|| level::db_from_ratio(effect.shown / value));
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

fn below_floor(effect: &NoiseEffect, value: f64) -> Option<f64> {
    (value > 0.0).then(|| 100.0 * effect.below_floor / value)
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
pub(super) fn worst(verdicts: impl Iterator<Item = Verdict>) -> Verdict {
    let rank = |v: &Verdict| match v {
        Verdict::Clear => 0,
        Verdict::Corrected => 1,
        Verdict::NotAssessed => 2,
        Verdict::NoiseLimited => 3,
    };
    verdicts.max_by_key(rank).unwrap_or(Verdict::NotAssessed)
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

/// How the variance is spread over samples.
struct Spread {
    /// Weight and variance of each sample that counts.
    samples: Vec<(f64, f64)>,
    by_polarisation: Vec<f64>,
    by_ring: Vec<f64>,
}

impl Spread {
    fn of(channel: &Channel<'_>, noise: &Noise) -> Self {
        let weights = channel.setting.weights.whole(channel.setting.rule);
        let m = channel.grid.phi_count();
        let mut spread = Self {
            samples: Vec::new(),
            by_polarisation: Vec::new(),
            by_ring: vec![0.0; weights.len()],
        };
        for p in 0..channel.sphere.layout().polarisations().len() {
            let mut of_polarisation = Vec::new();
            for (ring, w) in weights.iter().enumerate() {
                // A pole is one direction.
                let columns = if channel.grid.is_pole(ring) { 1 } else { m };
                let w = w / (2.0 * columns as f64);
                for column in 0..columns {
                    let at = (channel.frequency, p, ring * m + column);
                    let (Some(level), Some(value), Some(state)) = (
                        noise.level(at.0, p),
                        channel.sphere.power().and_then(|v| v.get(at)),
                        channel.sphere.states().get(at),
                    ) else {
                        continue;
                    };
                    let shown = noise.shown(at, *value, *state);
                    let variance = noise
                        .variance(level, *value, shown)
                        .max(noise.least_variance(level));
                    spread.samples.push((w, variance));
                    of_polarisation.push(w * w * variance);
                    if let Some(of_ring) = spread.by_ring.get_mut(ring) {
                        *of_ring += w * w * variance;
                    }
                }
            }
            spread.by_polarisation.push(sum::in_order(&of_polarisation));
        }
        spread
    }

    /// The rings with the largest shares, largest first.
    fn dominant(&self, channel: &Channel<'_>) -> Vec<Dominant> {
        let whole = sum::in_order(&self.by_ring);
        let mut rings: Vec<Dominant> = self
            .by_ring
            .iter()
            .enumerate()
            .filter(|(_, v)| **v > 0.0)
            .map(|(ring, v)| Dominant {
                theta_deg: channel.grid.theta_deg(ring),
                variance_share_percent: 100.0 * v / whole,
            })
            .collect();
        rings.sort_by(|a, b| {
            b.variance_share_percent
                .total_cmp(&a.variance_share_percent)
        });
        rings.truncate(MOST_RINGS);
        rings
    }
}

/// Readings at a pole differ by so many standard deviations of one of them at most, by noise alone. Noise of few averages is skewed: of a gamma
/// variable of shape 8 (four averages of two polarisations) one reading of 5600 lies five above its mean (closed form), of a normal one
/// of three million.
const DEVIATIONS: f64 = 5.0;

/// What readings at a pole disagree by, where noise explains it, is worth knowing and no warning.
pub(super) fn explain_poles(findings: &mut [Finding], sphere: &Sphere, noise: &Noise) {
    let Some(relative) = largest_at_poles(sphere, noise) else {
        return;
    };
    let lifted = level::db_from_ratio(1.0 + relative);
    // From the lowest to the highest reading.
    let apart = if relative < 1.0 {
        level::db_from_ratio((1.0 + relative) / (1.0 - relative))
    } else {
        f64::INFINITY
    };
    for finding in findings.iter_mut().filter(|f| f.code.starts_with("pole-")) {
        let by_noise = if finding.code == "pole-spread" {
            apart
        } else {
            lifted
        };
        if finding
            .effect_db
            .is_none_or(|effect| effect.abs() <= by_noise)
        {
            explained(finding);
        }
    }
}

/// What even and odd points of a grid disagree by, likewise: each have half of the samples, so that their difference is twice as
/// uncertain as the whole, and half of it is told. The larger of two differences is told, for rings and columns: within three deviations noise
/// explains it.
pub(super) fn explain_coarse(findings: &mut [Finding], reports: &[NoiseReport]) {
    let width = |r: &NoiseReport| {
        let width = r.half_width_db.unwrap_or(f64::INFINITY);
        width * 3.0 / COVERAGE_FACTOR
    };
    let Some(widest) = reports.iter().map(width).reduce(f64::max) else {
        return;
    };
    for finding in findings.iter_mut().filter(|f| f.code == "grid-coarse") {
        if finding
            .effect_db
            .is_none_or(|effect| effect.abs() <= widest)
        {
            explained(finding);
        }
    }
}

fn explained(finding: &mut Finding) {
    finding.severity = Severity::Note;
    finding.advice =
        Some("noise explains it; sweep slower to see whether there is more to it".to_string());
}

/// By which share of the mean noise may lift a single reading at a pole; the most over both poles and all frequencies. `None`
/// without poles.
fn largest_at_poles(sphere: &Sphere, noise: &Noise) -> Option<f64> {
    let grid = sphere.grid().equal_angle()?;
    let m = grid.phi_count();
    let mut most: Option<f64> = None;
    for f in 0..sphere.frequencies().len() {
        for direction in [0, grid.intervals() * m] {
            let (mut shown, mut variance) = (0.0, 0.0);
            for p in 0..sphere.layout().polarisations().len() {
                let at = (f, p, direction);
                if !sphere.states().get(at)?.is_read() {
                    continue;
                }
                let (level, raw) = (noise.level(f, p)?, *noise.raw.get(at)?);
                shown += raw;
                variance += noise
                    .variance(level, *sphere.power()?.get(at)?, raw)
                    .max(noise.least_variance(level));
            }
            if shown > 0.0 {
                let relative = DEVIATIONS * libm::sqrt(variance) / shown;
                most = Some(most.map_or(relative, |m: f64| m.max(relative)));
            }
        }
    }
    most
}

/// Remarks on the noise of all channels: the worst is told.
pub(super) fn findings(reports: &[NoiseReport], options: &NoiseOptions) -> Vec<Finding> {
    let mut found = Vec::new();
    let bias = |r: &&NoiseReport| r.bias_db.unwrap_or(f64::INFINITY);
    let Some(worst) = reports.iter().max_by(|a, b| bias(a).total_cmp(&bias(b))) else {
        return found;
    };
    let advice = next(worst, options);
    match (worst.bias_db, worst.verdict) {
        (Some(bias), Verdict::NoiseLimited) => found.push(
            Finding::warning(
                "noise-limited",
                format!("noise limits the TRP: with the floor left in it would read {bias:.2} dB high, and what is left is uncertain"),
            )
            .effect_db(bias)
            .advice(advice),
        ),
        (Some(bias), Verdict::Corrected) => found.push(
            Finding::note(
                "noise-corrected",
                format!("with the floor left in the TRP would read {bias:.2} dB high"),
            )
            .effect_db(bias)
            .advice(advice),
        ),
        (Some(_), _) => {}
        (None, _) => found.push(
            Finding::warning(
                "noise-limited",
                "nothing of the signal is left above the noise: only an upper end of the TRP can be given",
            )
            .advice(advice),
        ),
    }
    if worst.averages_from == AveragesFrom::Assumed {
        found.push(
            Finding::warning(
                "averages-assumed",
                "nobody said how many averages a reading has: one was assumed, so that the uncertainty by noise is at most what is given",
            )
            .advice("give --averages N, or a line `# averages: N` in the file of the readings"),
        );
    }
    if worst
        .floor
        .iter()
        .any(|f| f.standard_uncertainty_db.is_none())
    {
        found.push(
            Finding::note(
                "floor-uncertainty",
                "the uncertainty of the floor itself is not known, and in no interval",
            )
            .advice("give the floor as noise-only readings, or say with --floor-averages how many averages it rests on"),
        );
    }
    if worst.is_estimated {
        found.push(
            Finding::warning(
                "floor-estimated",
                "the floor was estimated from the lowest readings: it is an upper limit, and some of what was subtracted may be signal",
            )
            .advice("measure the floor with the device silent, and give that file"),
        );
    }
    found
}

/// What to do next, in a sentence or two.
fn next(report: &NoiseReport, options: &NoiseOptions) -> String {
    let target = format!("{} dB", options.target_db);
    let first = match report.slower {
        Some(Slower::Factor(factor)) if factor <= 1.0 => {
            format!("the uncertainty by noise is within {target} already")
        }
        Some(Slower::Factor(factor)) => {
            let time = report
                .slower_min
                .map_or_else(String::new, |m| format!(", {m:.0} minutes"));
            let saved = report
                .dwell_ratio
                .filter(|r| *r < 0.8)
                .map_or_else(String::new, |r| {
                    format!(
                        "; dwelling longer only where it matters takes {:.0} % of that",
                        100.0 * r
                    )
                });
            format!(
                "for a standard uncertainty of {target} by noise sweep {factor:.1} times as slowly{time}{saved}"
            )
        }
        Some(Slower::Floor(times)) => format!(
            "no slower sweep reaches {target}: measure the floor again with {times:.1} times as many averages"
        ),
        None => {
            "sweep ten times as slowly or bring the receiver nearer, and look again".to_string()
        }
    };
    match report.lowest_visible_dbm {
        Some(lowest) => {
            format!("{first}; the lowest TRP that this setup can see is {lowest:.1} dBm")
        }
        None => first,
    }
}
