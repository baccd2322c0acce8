//! Remarks on the noise of a run, with what to do next.

use super::options::NoiseOptions;
use super::report::NoiseReport;
use crate::correct::noise::AveragesFrom;
use crate::finding::Finding;
use crate::reduce::Verdict;
use crate::uncertainty::dwell::Slower;

/// Remarks on the noise of all channels: the worst is told.
pub(in crate::reduce) fn findings(reports: &[NoiseReport], options: &NoiseOptions) -> Vec<Finding> {
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
