//! Whether two results hold the same, bit for bit.

use crate::intake::Intake;
use crate::model::{Mark, Polarisation, Reading, Readings, Value};
use crate::unit::Frequency;

/// What may differ.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Order {
    /// Nothing: readings in their order, with their lines.
    Kept,
    /// Order and lines of the readings.
    Free,
}

/// A reading as a key that sorts: frequency, angles, polarisation, value, mark, line.
type Key = (
    Option<Frequency>,
    u64,
    u64,
    Polarisation,
    [u64; 2],
    Mark,
    u32,
);

/// The first difference between two results, in words; findings are left out.
pub(super) fn difference(a: &Intake, b: &Intake, order: Order) -> Option<String> {
    if a.curve != b.curve {
        return Some("the curve differs".to_string());
    }
    match (&a.readings, &b.readings) {
        (Some(a), Some(b)) => readings(a, b, order),
        (None, None) => None,
        _ => Some("one gives readings, and one none".to_string()),
    }
}

fn readings(a: &Readings, b: &Readings, order: Order) -> Option<String> {
    if a.quantity() != b.quantity() {
        return Some(format!("{} became {}", a.quantity(), b.quantity()));
    }
    if a.len() != b.len() {
        return Some(format!("{} readings became {}", a.len(), b.len()));
    }
    let (left, right) = (keys(a, order), keys(b, order));
    if let Some((left, right)) = left.iter().zip(&right).find(|(l, r)| l != r) {
        return Some(format!("{} became {}", show(left), show(right)));
    }
    let metadata = |r: &Readings| {
        let mut pairs = r.metadata().to_vec();
        if order == Order::Free {
            pairs.sort();
        }
        pairs
    };
    (metadata(a) != metadata(b)).then(|| "the metadata differ".to_string())
}

fn keys(readings: &Readings, order: Order) -> Vec<Key> {
    let key = |r: Reading| {
        let value = match r.value {
            Value::Power(p) => [p.to_bits(), 0],
            Value::Field(e) => [e.re.to_bits(), e.im.to_bits()],
        };
        let frequency = readings.frequencies().get(r.frequency).copied().flatten();
        let line = if order == Order::Kept { r.line } else { 0 };
        let angles = (r.theta_deg.to_bits(), r.phi_deg.to_bits());
        (
            frequency,
            angles.0,
            angles.1,
            r.polarisation,
            value,
            r.mark,
            line,
        )
    };
    let mut keys: Vec<Key> = readings.iter().map(key).collect();
    if order == Order::Free {
        keys.sort_unstable();
    }
    keys
}

fn show((frequency, theta, phi, polarisation, value, mark, line): &Key) -> String {
    let frequency = frequency.map_or("no frequency".to_string(), |f| f.to_string());
    let [re, im] = value.map(f64::from_bits);
    format!(
        "(θ {}°, φ {}°, {frequency}, {polarisation}, value {re:e} {im:e}, {mark:?}, line {line})",
        f64::from_bits(*theta),
        f64::from_bits(*phi)
    )
}
