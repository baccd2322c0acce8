//! One figure in words.

use super::number::{Toward, two};
use spheresum_core::figure::{self, Figure, FigureState, Unit};

/// Bounds nearer to the value than this are the value, dB or %.
const SAME: f64 = 1e-9;

/// What a figure is, one line.
pub fn meaning(name: &str) -> &'static str {
    match name {
        "trp_average" => "mean of the milliwatts over the frequencies",
        "trp_lowest" => "lowest TRP of the frequencies",
        "tis_average" => "harmonic mean over the frequencies",
        "tis_highest" => "worst TIS of the frequencies",
        _ => figure::specs()
            .iter()
            .find(|s| s.name == name)
            .map_or("", |s| s.meaning),
    }
}

/// The value with its unit, or what stands for it.
pub fn value(figure: &Figure) -> String {
    let unit = figure.unit.symbol();
    match figure.state {
        FigureState::Value => figure.value.map_or_else(String::new, |v| {
            format!("{} {unit}", two(v, Toward::Nearest))
        }),
        FigureState::Refused => "refused".to_string(),
        // A sensitivity whose 1/EIS is not above 0 is bounded on the better side only.
        _ if is_sensitivity(figure) => match figure.lower {
            Some(lower) => format!("> {} {unit}", two(lower, Toward::Down)),
            None => "no link".to_string(),
        },
        FigureState::Zero => match figure.unit {
            Unit::Dbm => "0 W".to_string(),
            Unit::Percent => "0.00 %".to_string(),
            _ => "0 (linear)".to_string(),
        },
        _ => match figure.upper {
            Some(upper) => format!("< {} {unit}", two(upper, Toward::Up)),
            None => "not above 0".to_string(),
        },
    }
}

fn is_sensitivity(figure: &Figure) -> bool {
    // Only sensitivities have no upper bound and yet a lower one where the linear value is not above 0.
    figure::specs()
        .iter()
        .find(|s| s.name == figure.name)
        .is_some_and(|s| (s.applies)(spheresum_core::Quantity::Eis))
}

/// The bounds, rounded outward; nothing where they are the value itself, or are told by it.
pub fn bounds(figure: &Figure) -> String {
    match figure.state {
        FigureState::Value | FigureState::Refused => {}
        FigureState::Zero if figure.upper.is_some() && !is_sensitivity(figure) => {}
        _ => return String::new(),
    }
    let text = between(figure.lower, figure.value, figure.upper);
    if !text.is_empty() {
        return text;
    }
    let told = |bound: Option<f64>| bound.is_some();
    let open = figure.bounds_assume.is_some() && !told(figure.lower) && !told(figure.upper);
    if open && figure.state == FigureState::Value {
        "unknown".to_string()
    } else {
        String::new()
    }
}

/// `low … high`, `≥ low`, `≤ high`, or nothing where both are the value.
pub fn between(lower: Option<f64>, value: Option<f64>, upper: Option<f64>) -> String {
    let is_value = |bound: f64| value.is_some_and(|v| (bound - v).abs() < SAME);
    match (lower, upper) {
        (Some(low), Some(high)) if is_value(low) && is_value(high) => String::new(),
        (Some(low), Some(high)) => {
            format!("{} … {}", two(low, Toward::Down), two(high, Toward::Up))
        }
        (Some(low), None) => format!("≥ {}", two(low, Toward::Down)),
        (None, Some(high)) => format!("≤ {}", two(high, Toward::Up)),
        (None, None) => String::new(),
    }
}

/// The direction it belongs to.
pub fn direction(figure: &Figure) -> String {
    match (figure.theta_deg, figure.phi_deg) {
        (Some(theta), Some(phi)) => at(theta, phi),
        _ => String::new(),
    }
}

/// A direction.
pub fn at(theta_deg: f64, phi_deg: f64) -> String {
    use super::number::short;
    format!("θ {}° φ {}°", short(theta_deg), short(phi_deg))
}

/// The bounds of a refused figure, in words.
fn bound_words(figure: &Figure) -> String {
    let unit = figure.unit.symbol();
    match (figure.lower, figure.upper) {
        (Some(low), Some(high)) => format!(
            "what was measured allows {} to {} {unit}",
            two(low, Toward::Down),
            two(high, Toward::Up)
        ),
        (Some(low), None) => format!(
            "what was measured shows at least {} {unit}",
            two(low, Toward::Down)
        ),
        (None, Some(high)) => format!(
            "what was measured shows at most {} {unit}",
            two(high, Toward::Up)
        ),
        (None, None) => "no bound is known".to_string(),
    }
}

/// A line for standard error on a figure that a run stands or falls with.
pub fn refusal_line(run: &str, figure: &Figure) -> String {
    let why = figure
        .reason
        .as_deref()
        .unwrap_or("the data cannot support it");
    format!(
        "{run}: {} is refused: {why}; {}",
        figure.name,
        bound_words(figure)
    )
}
