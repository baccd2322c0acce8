//! What noise does to a channel, in words.

use super::number::{Toward, short, two};
use super::table::{facts, heading};
use spheresum_core::correct::noise::AveragesFrom;
use spheresum_core::figure::Figure;
use spheresum_core::reduce::NoiseReport;
use spheresum_core::uncertainty::dwell::Slower;

/// The noise of a channel.
pub fn noise(report: &NoiseReport) -> String {
    let mut rows = vec![
        ("verdict", report.verdict.as_str().to_string()),
        ("floor", floor(report)),
        ("averages", averages(report)),
        ("bias", bias(report)),
        ("interval", interval(report)),
    ];
    if let Some(percent) = report.below_floor_percent {
        let text = format!("{percent:.1} % of the TRP come from samples below the floor");
        rows.push(("below the floor", text));
    }
    if let Some(lowest) = report.lowest_visible_dbm {
        let text = format!(
            "{} dBm is the lowest TRP that this setup can see",
            two(lowest, Toward::Up)
        );
        rows.push(("sees down to", text));
    }
    if let Some(text) = slower(report) {
        rows.push(("next", text));
    }
    if let Some(text) = dominant(report) {
        rows.push(("dominant", text));
    }
    format!("{}{}", heading("Noise", 4), facts(&rows, 4))
}

/// The interval of a figure; nothing where there is none.
pub fn of_figure(figure: &Figure) -> String {
    if figure.coverage.is_none() {
        return String::new();
    }
    let end = |end: Option<f64>, toward| end.map_or_else(|| "–".to_string(), |x| two(x, toward));
    format!(
        "{} … {}",
        end(figure.interval_lower, Toward::Down),
        end(figure.interval_upper, Toward::Up)
    )
}

fn floor(report: &NoiseReport) -> String {
    let each: Vec<String> = report
        .floor
        .iter()
        .map(|f| {
            let u = f
                .standard_uncertainty_db
                .map_or_else(String::new, |u| format!(" ± {u:.2} dB"));
            format!("{} {:.2} dBm{u}", f.polarisation, f.floor_dbm)
        })
        .collect();
    let how = if report.is_estimated {
        ", estimated from the lowest readings"
    } else {
        ""
    };
    format!(
        "{} as EIRP{how}; detector {}, signal {}",
        each.join(", "),
        report.detector,
        report.signal
    )
}

fn averages(report: &NoiseReport) -> String {
    let from = match report.averages_from {
        AveragesFrom::Said => "",
        AveragesFrom::Scatter => ", by the scatter of the noise-only readings",
        _ => ", assumed: nobody said it",
    };
    format!(
        "{} in a reading{from}",
        short((report.averages * 100.0).round() / 100.0)
    )
}

fn bias(report: &NoiseReport) -> String {
    let Some(bias) = report.bias_db else {
        return "nothing is left above the floor".to_string();
    };
    let left = match (report.bias_left_db, report.floor_standard_w) {
        (Some(left), _) => format!("± {left:.2} dB after it, by the floor's own uncertainty"),
        (None, Some(_)) => {
            "the floor's own uncertainty is a quarter of what is left, and more".to_string()
        }
        (None, None) => "what the floor's own uncertainty leaves is not known".to_string(),
    };
    format!("{bias:+.2} dB before the floor is taken off, {left}")
}

fn interval(report: &NoiseReport) -> String {
    report.half_width_db.map_or_else(
        || "the lower end of the TRP is not above zero".to_string(),
        |width| format!("the TRP may lie {width:.2} dB lower by noise (95 %), gaps aside"),
    )
}

fn slower(report: &NoiseReport) -> Option<String> {
    let target = short(report.target_db);
    Some(match report.slower? {
        Slower::Factor(factor) if factor <= 1.0 => {
            format!(
                "within {target} dB (standard uncertainty) already: {} of the present dwell would do",
                percent(factor)
            )
        }
        Slower::Factor(factor) => {
            let time = report
                .slower_min
                .map_or_else(String::new, |m| format!(" ({m:.0} minutes)"));
            let saved = report.dwell_ratio.map_or_else(String::new, |r| {
                format!(
                    "; {} of that time, dwelling longer only where it matters",
                    percent(r)
                )
            });
            format!("{factor:.1} times as slowly for {target} dB{time}{saved}")
        }
        Slower::Floor {
            floor_averages,
            factor,
        } => {
            let sweep = match factor > 1.0 {
                true => format!(", then sweep {factor:.1} times as slowly"),
                false => String::new(),
            };
            format!(
                "no slower sweep reaches {target} dB: measure the floor with {floor_averages:.1} times as many averages{sweep}"
            )
        }
        _ => return None,
    })
}

fn percent(share: f64) -> String {
    format!("{:.0} %", 100.0 * share)
}

fn dominant(report: &NoiseReport) -> Option<String> {
    let polarisations: Vec<String> = report
        .floor
        .iter()
        .filter_map(|f| {
            Some(format!(
                "{} {:.0} %",
                f.polarisation, f.variance_share_percent?
            ))
        })
        .collect();
    let rings: Vec<String> = report
        .dominant
        .iter()
        .map(|d| {
            format!(
                "θ {}° {:.0} %",
                short(d.theta_deg),
                d.variance_share_percent
            )
        })
        .collect();
    (!rings.is_empty()).then(|| {
        format!(
            "{}; {} of the noise variance",
            polarisations.join(", "),
            rings.join(", ")
        )
    })
}
