//! The result of a comparison in one plain sentence.

use crate::compare::figures::{ComparedChannel, ComparedFigure};
use crate::compare::{frequency_text, range_factor_free_space, share_lost_percent};
use crate::figure::{Figure, headline};
use crate::reduce::{Reduction, Verdict};
use crate::unit::level;

/// Differences below this are told as none, dB: they do not show in two decimals.
const SAME_DB: f64 = 0.005;

const NOT_ASSESSED: &str = "Whether the measurement can tell the two apart is not assessed.";

/// The sentence on the headline figure: of the only channel, or of the average over channels.
pub(super) fn of(
    reference: &str,
    test: &str,
    a: &Reduction,
    b: &Reduction,
    channels: &[ComparedChannel],
    summary: &[ComparedFigure],
) -> String {
    let name = headline(a.quantity);
    let average = format!("{name}_average");
    let over_all = summary.iter().find(|f| f.name == average);
    let (figure, at) = match (channels, over_all) {
        ([only], _) => (
            only.figure(name),
            format!("at {}", frequency_text(only.frequency_hz)),
        ),
        (_, Some(average)) => (
            Some(average),
            format!("on average over {} frequencies", channels.len()),
        ),
        ([first, ..], None) => (
            first.figure(name),
            format!("at {}", frequency_text(first.frequency_hz)),
        ),
        ([], None) => (None, String::new()),
    };
    // Without the headline the first figure that both have speaks.
    let figure = figure.or_else(|| channels.first().and_then(|c| c.figures.first()));
    let Some(figure) = figure else {
        return format!("{test} and {reference} have no figure in common.");
    };
    let label = label(&figure.name);
    if let (Some(d), Some(x), Some(y)) = (figure.difference_db, figure.reference, figure.test) {
        let numbers = format!("{label} {y:.2} against {x:.2} {}", figure.unit.symbol());
        return format!(
            "{}{}{} {NOT_ASSESSED}",
            told(reference, test, &figure.name, d, &at, &numbers),
            bounded(figure, d),
            worst_channel(channels, name, d)
        );
    }
    let limited: Vec<&str> = [(reference, a), (test, b)]
        .into_iter()
        .filter(|(_, r)| r.verdict == Verdict::NoiseLimited)
        .map(|(name, _)| name)
        .collect();
    if !limited.is_empty() {
        return in_noise(reference, test, figure, &limited, &at);
    }
    without_value(
        reference,
        test,
        figure,
        find(a, &figure.name),
        find(b, &figure.name),
        &at,
    )
}

/// What is missing, filled or marked can move the difference, if it shows.
fn bounded(figure: &ComparedFigure, d: f64) -> String {
    let shows = |bound: Option<f64>| bound.is_none_or(|b| (b - d).abs() >= SAME_DB);
    let (low, high) = (figure.difference_lower_db, figure.difference_upper_db);
    if !shows(low) && !shows(high) {
        return String::new();
    }
    match (low, high) {
        (Some(low), Some(high)) => format!(
            " What was not measured as a value can move the difference between {} and {} dB.",
            down(low),
            up(high)
        ),
        _ => " What was not measured as a value leaves the difference open on one side at least."
            .to_string(),
    }
}

/// The frequency that differs most from what the sentence says, if it shows.
fn worst_channel(channels: &[ComparedChannel], name: &str, d: f64) -> String {
    const SHOWS_DB: f64 = 0.1;
    let of = |c: &ComparedChannel| c.figure(name).and_then(|f| f.difference_db);
    let worst = channels
        .iter()
        .filter_map(|c| of(c).map(|x| (x, c)))
        .reduce(|a, b| {
            if (b.0 - d).abs() > (a.0 - d).abs() {
                b
            } else {
                a
            }
        });
    match worst {
        Some((x, channel)) if channels.len() > 1 && (x - d).abs() >= SHOWS_DB => format!(
            " At {} it differs by {x:+.2} dB.",
            frequency_text(channel.frequency_hz)
        ),
        _ => String::new(),
    }
}

/// Two decimals, never above the number.
fn down(value: f64) -> String {
    format!("{:.2}", libm::floor(value * 100.0) / 100.0)
}

/// Two decimals, never below the number.
fn up(value: f64) -> String {
    format!("{:.2}", libm::ceil(value * 100.0) / 100.0)
}

fn find<'a>(reduction: &'a Reduction, name: &str) -> Option<&'a Figure> {
    let of_channels = reduction.channels.iter().find_map(|c| c.figure(name));
    of_channels.or_else(|| reduction.summary.iter().find(|f| f.name == name))
}

fn told(reference: &str, test: &str, name: &str, d: f64, at: &str, numbers: &str) -> String {
    let size = d.abs();
    if size < SAME_DB {
        return format!("{test} and {reference} are the same within 0.01 dB {at} ({numbers}).");
    }
    let sensitivity = super::figures::is_sensitivity(name);
    let link = if sensitivity { -d } else { d };
    let range = range_factor_free_space(link);
    let worse = link < 0.0;
    let range_text = if (range - 1.0).abs() < 0.005 {
        "in free space the range stays the same within 1 %".to_string()
    } else if worse {
        format!("in free space the range falls to {range:.2} of that of {reference}")
    } else {
        format!("in free space the range grows to {range:.2} times that of {reference}")
    };
    if name.starts_with("trp") {
        let (verb, cost) = if worse {
            (
                "less",
                format!("{:.1} % of the power is lost", share_lost_percent(link)),
            )
        } else {
            (
                "more",
                format!(
                    "the power is {:.2} times as large",
                    level::ratio_from_db(link)
                ),
            )
        };
        return format!(
            "{test} radiates {size:.2} dB {verb} than {reference} {at} ({numbers}): {cost}, and {range_text}."
        );
    }
    if sensitivity {
        let (verb, factor) = if worse {
            ("less", level::ratio_from_db(-link))
        } else {
            ("more", level::ratio_from_db(-link))
        };
        return format!(
            "{test} is {size:.2} dB {verb} sensitive than {reference} {at} ({numbers}): it needs {factor:.2} times the power, and {range_text}."
        );
    }
    let verb = if d < 0.0 { "below" } else { "above" };
    format!("{test} lies {size:.2} dB {verb} {reference} {at} ({numbers}).")
}

/// Noise limits one of the runs or both: what can be said is a bound.
fn in_noise(
    reference: &str,
    test: &str,
    figure: &ComparedFigure,
    limited: &[&str],
    at: &str,
) -> String {
    let label = label(&figure.name);
    let who = limited.join(" and of ");
    let lies = |size: f64, verb: &str| {
        format!("The {label} of {test} lies at least {size:.1} dB {verb} that of {reference} {at}")
    };
    let (low, high) = (figure.difference_lower_db, figure.difference_upper_db);
    match (low, high) {
        // Rounded towards zero: a bound never says more than is known.
        (_, Some(high)) if high <= -0.1 => {
            let size = libm::floor(-high * 10.0) / 10.0;
            format!(
                "{}: noise limits the readings of {who}, so that no more than this bound can be given.",
                lies(size, "below")
            )
        }
        (Some(low), _) if low >= 0.1 => {
            let size = libm::floor(low * 10.0) / 10.0;
            format!(
                "{}: noise limits the readings of {who}, so that no more than this bound can be given.",
                lies(size, "above")
            )
        }
        (Some(low), Some(high)) => format!(
            "Noise limits the readings of {who}: the {label} of {test} lies between {} dB and {} dB over that of {reference} {at}.",
            down(low),
            up(high)
        ),
        _ => format!(
            "Noise limits the readings of {who}: how the {label} of {test} compares with that of {reference} {at} cannot be said."
        ),
    }
}

fn without_value(
    reference: &str,
    test: &str,
    figure: &ComparedFigure,
    a: Option<&Figure>,
    b: Option<&Figure>,
    at: &str,
) -> String {
    let label = label(&figure.name);
    let bound = match (figure.difference_lower_db, figure.difference_upper_db) {
        (Some(low), Some(high)) => format!("the difference lies between {low:.2} and {high:.2} dB"),
        (Some(low), None) => format!("the difference is at least {} dB", down(low)),
        (None, Some(high)) => format!("the difference is at most {} dB", up(high)),
        (None, None) => "no bound of the difference is known".to_string(),
    };
    let (who, why) = if figure.test.is_none() {
        (test, b)
    } else {
        (reference, a)
    };
    let why = why
        .and_then(|f| f.reason.clone())
        .unwrap_or_else(|| "it has no value above zero".to_string());
    format!("The {label} of {who} cannot be given {at} ({why}); {bound}.")
}

fn label(name: &str) -> String {
    let stem = name.split('_').next().unwrap_or(name);
    match stem {
        "trp" | "tis" => stem.to_uppercase(),
        _ => name.replace('_', " "),
    }
}
