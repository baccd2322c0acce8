//! One value field: missing, marked, infinite, or a number in its unit.

use crate::intake::text::clip::Clip;
use crate::intake::text::explain;
use crate::intake::text::field;
use crate::intake::text::number;
use crate::intake::text::plan::{MAX_DB, Plan, Scale};
use crate::{Error, Mark};

/// A value in linear units (or as written, for fields and losses).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cell {
    /// The value.
    pub value: f64,
    /// How it is meant.
    pub mark: Mark,
    /// It was written as −∞ dB.
    pub zero_power: bool,
}

/// The value a field holds; `None` where it is missing.
///
/// # Errors
/// Input: not such a value.
pub fn read(text: &str, scale: Scale, plan: &Plan) -> Result<Option<Cell>, Error> {
    if field::is_missing(text) {
        return Ok(None);
    }
    let (mark, body) = field::mark(text);
    let takes_marks = !matches!(scale, Scale::Field | Scale::Loss | Scale::NegatedLoss);
    if mark != Mark::Exact && !takes_marks {
        return Err(Error::input(format!("{:?} has a mark, and here none can stand", Clip(text)))
            .hint("the marks < and > belong to powers, gains and sensitivities; leave a missing value empty"));
    }
    if let Some(negative) = field::infinity(body) {
        return infinite(text, negative, mark, scale, plan.is_sensitivity()).map(Some);
    }
    let Some(written) = number::whole(body, plan.decimal) else {
        return Err(explain::not_a_number(body, plan.decimal));
    };
    let Some(value) = scale.linear(written) else {
        return Err(no_such_value(text, written, scale));
    };
    if value == 0.0 && plan.is_sensitivity() {
        return Err(zero_sensitivity(text));
    }
    Ok(Some(Cell {
        value,
        mark,
        zero_power: false,
    }))
}

fn infinite(
    text: &str,
    negative: bool,
    mark: Mark,
    scale: Scale,
    sensitivity: bool,
) -> Result<Cell, Error> {
    match (negative, sensitivity) {
        // Link lost, and the level at which is not known. `>inf` says no more.
        (false, true) if mark != Mark::AtMost => Ok(Cell {
            value: f64::INFINITY,
            mark: Mark::AtLeast,
            zero_power: false,
        }),
        (true, true) => Err(zero_sensitivity(text)),
        (true, false) if scale.is_db() && mark == Mark::Exact => Ok(Cell {
            value: 0.0,
            mark,
            zero_power: true,
        }),
        _ => Err(Error::input(format!("{:?} is no value that can be measured here", Clip(text))).hint(
            "inf belongs to sensitivities (link lost), -inf to powers in decibels (0 W); write > and the level for an overload",
        )),
    }
}

fn zero_sensitivity(text: &str) -> Error {
    Error::input(format!(
        "{:?} is a sensitivity of 0 W, which does not exist",
        Clip(text)
    ))
    .hint("leave a missing value empty; write inf where the link was never held")
}

fn no_such_value(text: &str, written: f64, scale: Scale) -> Error {
    if scale.is_db() {
        return Error::input(format!("{:?} is no level: it is beyond ±{MAX_DB} dB", Clip(text)))
            .hint("a decimal sign may be lost (-12345 for -12.345); or the unit is not the one of the heading");
    }
    Error::input(format!("{:?} is negative, and linear powers and gains are not", Clip(text)))
        .hint(if written > -MAX_DB {
            "if these are decibels, correct the heading; if a noise floor was taken off, export the readings before that"
        } else {
            "check the unit of the column"
        })
}
