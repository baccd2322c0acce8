//! Fields and lines that hold numbers.

use crate::read::numbers::plain;
use spheresum_core::intake::text::{Separator, field, number};

/// The separators that are tried, in the order in which equals are preferred.
pub(super) const SEPARATORS: [Separator; 5] = [
    Separator::Tab,
    Separator::Semicolon,
    Separator::Pipe,
    Separator::Comma,
    Separator::Blank,
];

/// The number a field is, under either decimal sign where commas do not separate.
pub(super) fn value(text: &str, separator: Separator) -> Option<f64> {
    let (_, text) = field::mark(text);
    let text = plain(text);
    number::whole(&text, b'.').or_else(|| match separator {
        Separator::Comma => None,
        _ => number::whole(&text, b','),
    })
}

/// True for a field that may stand in a column of numbers.
pub(super) fn is_numeric(text: &str, separator: Separator) -> bool {
    value(text, separator).is_some()
        || !text.is_empty() && (field::is_missing(text) || field::infinity(text).is_some())
}

/// True where numbers rise or fall by equal steps.
pub(super) fn in_steps(values: &[f64]) -> bool {
    let (Some(first), Some(second)) = (values.first(), values.get(1)) else {
        return false;
    };
    let step = second - first;
    step != 0.0
        && values
            .windows(2)
            .all(|w| (w[1] - w[0] - step).abs() <= 1e-6 * step.abs())
}
