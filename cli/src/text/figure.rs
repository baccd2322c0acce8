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
        _ if figure.unit == Unit::Dbm && is_sensitivity(figure) => match figure.lower {
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

#[cfg(test)]
mod tests {
    use super::*;

    fn words(unit: Unit, linear: f64, lower: Option<f64>, upper: Option<f64>) -> (String, String) {
        let figure = Figure::from_linear("trp", unit, linear, lower, upper);
        (value(&figure), bounds(&figure))
    }

    #[test]
    fn powers_in_every_state() {
        let one = |linear, lower, upper| words(Unit::Dbm, linear, lower, upper);
        let text = |a: &str, b: &str| (a.to_string(), b.to_string());
        assert_eq!(one(1e-3, Some(1e-3), Some(1e-3)), text("0.00 dBm", ""));
        // 0.9 mW is −0.4576 dBm, 1.1 mW is 0.4139 dBm.
        assert_eq!(
            one(1e-3, Some(0.9e-3), Some(1.1e-3)),
            text("0.00 dBm", "-0.46 … 0.42")
        );
        assert_eq!(one(1e-3, Some(0.9e-3), None), text("0.00 dBm", "≥ -0.46"));
        assert_eq!(one(1e-3, None, Some(1.1e-3)), text("0.00 dBm", "≤ 0.42"));
        assert_eq!(one(0.0, None, None), text("0 W", ""));
        assert_eq!(one(0.0, None, Some(1.1e-3)), text("0 W", "≤ 0.42"));
        assert_eq!(one(-1e-6, None, Some(1.1e-3)), text("< 0.42 dBm", ""));
        assert_eq!(one(-1e-6, None, None), text("not above 0", ""));
        assert_eq!(words(Unit::Percent, 0.0, None, None), text("0.00 %", ""));
    }

    #[test]
    fn sensitivities_without_a_link() {
        // Lost everywhere at −80 dBm or better: the TIS is worse than that.
        let figure = Figure::from_reciprocal("tis", 0.0, Some(0.0), Some(1e11));
        assert_eq!(value(&figure), "> -80.00 dBm");
        assert_eq!(bounds(&figure), "");
        let figure = Figure::from_reciprocal("tis", 0.0, Some(0.0), None);
        assert_eq!(value(&figure), "no link");
    }

    #[test]
    fn a_refusal_tells_its_bound() {
        let mut figure = Figure::refused("trp", Unit::Dbm, "a reason");
        assert_eq!(value(&figure), "refused");
        assert_eq!(
            refusal_line("a", &figure),
            "a: trp is refused: a reason; no bound is known"
        );
        figure.lower = Some(1.239);
        assert_eq!(bounds(&figure), "≥ 1.23");
        assert!(refusal_line("a", &figure).ends_with("shows at least 1.23 dBm"));
    }
}
