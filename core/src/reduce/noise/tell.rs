//! Remarks on the noise of a run, with what to do next.

use super::options::NoiseOptions;
use super::report::{NoiseReport, rank};
use crate::correct::noise::AveragesFrom;
use crate::correct::{Detector, Signal};
use crate::finding::Finding;
use crate::reduce::{ChannelResult, Verdict};
use crate::uncertainty::dwell::Slower;

/// Fewer averages of logarithms bend too much for the estimate of a wave near the noise.
const FEW_LOGS: f64 = 4.0;

/// Remarks on the noise of all channels: of the verdict, the worst channel is told.
pub(in crate::reduce) fn findings(
    channels: &[ChannelResult],
    options: &NoiseOptions,
) -> Vec<Finding> {
    let mut found = Vec::new();
    let reports = || channels.iter().filter_map(|c| c.noise.as_ref());
    // A channel of which nothing is left is worse than any bias.
    let bias = |r: &NoiseReport| r.bias_db.map_or(f64::INFINITY, f64::abs);
    let worst = channels
        .iter()
        .filter_map(|c| Some((c, c.noise.as_ref()?)))
        .max_by(|(_, a), (_, b)| {
            let by_verdict = rank(a.verdict).cmp(&rank(b.verdict));
            by_verdict.then(bias(a).total_cmp(&bias(b)))
        });
    let Some((channel, worst)) = worst else {
        return found;
    };
    let at = match channel.frequency_hz {
        Some(f) if channels.len() > 1 => format!(" at {f}"),
        _ => String::new(),
    };
    found.extend(of_verdict(worst, &at, options));
    if let Some((channel, below_db)) = channels
        .iter()
        .filter_map(|c| Some((c, c.noise.as_ref()?.below_noise_db?)))
        .max_by(|a, b| a.1.total_cmp(&b.1))
    {
        let at = channel
            .frequency_hz
            .filter(|_| channels.len() > 1)
            .map_or_else(String::new, |f| format!(" at {f}"));
        found.push(
            Finding::warning(
                "floor-too-high",
                format!("the readings{at} lie {below_db:.2} dB below the floor, beyond their scatter: it is not the floor of these readings"),
            )
            .effect_db(below_db)
            .advice("measure it again, taken as the readings are: same attenuation, bandwidth, detector and range loss, and no signal in it"),
        );
    }
    if worst.averages_from == AveragesFrom::Assumed {
        found.push(
            Finding::warning(
                "averages-assumed",
                "nobody said how many averages a reading has: one was assumed, so that the uncertainty by noise is at most what is given",
            )
            .advice("give --averages N, or a line `# averages: N` in the file of the readings; what the floor's file says is of the floor alone"),
        );
    }
    let is_log_wave = worst.detector == Detector::Log && worst.signal == Signal::Cw;
    if is_log_wave && worst.averages < FEW_LOGS && worst.verdict != Verdict::Clear {
        found.push(
            Finding::note(
                "log-few-averages",
                format!("{} averages of a log detector say little of a wave near the noise: its TRP may be off by some tenths of a decibel more than the interval", worst.averages),
            )
            .advice("average four times and more, or use an rms detector"),
        );
    }
    if reports().any(|r| r.floor_standard_w.is_none() && !r.is_estimated) {
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

/// What the verdict on the worst channel rests on.
fn of_verdict(worst: &NoiseReport, at: &str, options: &NoiseOptions) -> Option<Finding> {
    let advice = next(worst, options);
    let Some(bias) = worst.bias_db else {
        let upper = worst.value_w
            + crate::uncertainty::COVERAGE_FACTOR
                * libm::hypot(
                    worst.noise_standard_w,
                    worst.floor_standard_w.unwrap_or(0.0),
                );
        let limit = if upper > 0.0 {
            ": only an upper end of the TRP can be given"
        } else {
            ""
        };
        return Some(
            Finding::warning(
                "noise-limited",
                format!("nothing of the signal is left above the noise{at}{limit}"),
            )
            .advice(advice),
        );
    };
    let reads = format!(
        "with the floor left in it would read {:.2} dB {}",
        bias.abs(),
        if bias < 0.0 { "low" } else { "high" }
    );
    match worst.verdict {
        Verdict::NoiseLimited => Some(
            Finding::warning(
                "noise-limited",
                format!("noise limits the TRP{at}: {reads}, and what is left is uncertain"),
            )
            .effect_db(bias)
            .advice(advice),
        ),
        Verdict::Corrected => Some(
            Finding::note(
                "noise-corrected",
                format!("the TRP{at} was corrected for noise: {reads}"),
            )
            .effect_db(bias)
            .advice(advice),
        ),
        _ => None,
    }
}

/// What to do next, in a sentence or two.
fn next(report: &NoiseReport, options: &NoiseOptions) -> String {
    let target = format!("{} dB", options.target_db);
    let first = match report.slower {
        _ if report.is_estimated => "measure the floor with the device silent".to_string(),
        _ if report.below_noise_db.is_some() => {
            "measure the floor again before anything else".to_string()
        }
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
        Some(Slower::Floor {
            floor_averages,
            factor,
        }) => {
            let sweep = match factor > 1.0 {
                true => format!(", and then sweep {factor:.1} times as slowly"),
                false => String::new(),
            };
            format!(
                "no slower sweep reaches {target}: measure the floor again with {floor_averages:.1} times as many averages{sweep}"
            )
        }
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

#[cfg(test)]
mod tests;
