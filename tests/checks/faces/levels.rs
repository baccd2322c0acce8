//! Levels and differences for the command: spheres that say the same in every direction.
//!
//! One level is an isotropic source, or a gain, which the command reads and gives back in its own unit. Two powers are the two
//! polarisations of a source: their sum is its TRP. Ratios in turn along φ are a gain: their mean is the average gain. A difference is
//! two isotropic sources that are compared.

use spheresum_core::table::{Amount, Answer, Asked, Case, Check, Input, Kind, Row, Symbol};
use std::fmt::Write as _;

/// Columns of φ; any number of ratios that divides it has its mean.
const COLUMNS: usize = 24;

/// A file, and the figure in which the answer `name` comes out.
pub struct Asking {
    pub file: String,
    pub figure: &'static str,
    pub name: &'static str,
}

/// True where a row of levels or of a difference can be asked of the command.
pub fn has(case: &Case, row: &Row) -> bool {
    match (&case.input, &row.check) {
        (
            Input::Levels(levels),
            Check::Gives {
                of: Asked::One(of), ..
            }
            | Check::Never {
                of: Asked::One(of), ..
            },
        ) => asking(levels).is_some_and(|a| a.name == of),
        (Input::Difference { .. }, _) => true,
        _ => false,
    }
}

/// The sphere of some levels.
pub fn asking(levels: &[Amount]) -> Option<Asking> {
    let power = levels.first()?.unit.kind() == Kind::Power;
    let unit = match levels.first()?.unit {
        Symbol::Dbm => "dbm",
        Symbol::Watt => "w",
        Symbol::Milliwatt => "mw",
        Symbol::Db => "dbi",
        Symbol::One => "lin",
        _ => return None,
    };
    if levels.iter().any(|l| l.unit != levels[0].unit) {
        return None;
    }
    let of = |n: usize| levels[n % levels.len()].value;
    match (power, levels.len()) {
        (true, 1) => Some(Asking {
            file: isotropic(levels[0].value, unit),
            figure: "trp",
            name: "value",
        }),
        (true, 2) => Some(Asking {
            file: sphere(&format!("eirp_theta_{unit},eirp_phi_{unit}"), |_| {
                format!("{},{}", of(0), of(1))
            }),
            figure: "trp",
            name: "sum",
        }),
        (false, count) if COLUMNS.is_multiple_of(count) => Some(Asking {
            file: sphere(&format!("gain_total_{unit}"), |column| {
                of(column).to_string()
            }),
            figure: "average_gain",
            name: if count == 1 { "value" } else { "mean" },
        }),
        _ => None,
    }
}

/// A source with the same EIRP in every direction.
pub fn isotropic(value: f64, unit: &str) -> String {
    sphere(&format!("eirp_total_{unit}"), |_| value.to_string())
}

/// A file of a 15° grid with the same row in every ring.
fn sphere(heading: &str, values: impl Fn(usize) -> String) -> String {
    let mut text = format!("theta_deg,phi_deg,{heading}\n");
    for theta_deg in (0..=180).step_by(15) {
        for column in 0..COLUMNS {
            writeln!(text, "{theta_deg},{},{}", 15 * column, values(column)).unwrap();
        }
    }
    text
}

/// What a compared figure says of its difference.
pub fn of_difference(figure: &serde_json::Value) -> Vec<Answer> {
    let mut answers = Vec::new();
    let number = |key: &str| figure[key].as_f64();
    if let Some(lost) = number("share_lost_percent") {
        answers.push(Answer::value("power-change", -lost, Symbol::Percent));
    }
    if let Some(factor) = number("range_factor_free_space") {
        answers.push(Answer::value(
            "range-factor-free-space",
            factor,
            Symbol::One,
        ));
    }
    if let Some(factor) = number("range_factor") {
        answers.push(Answer::value("range-factor", factor, Symbol::One));
        // A covered area grows with the square of the range.
        answers.push(Answer::value("area-factor", factor * factor, Symbol::One));
    }
    answers
}
