//! Port data as text.

use super::number::{Toward, two};
use super::table::{Align, Table, facts};
use super::{count, frequency, paragraph};
use spheresum_core::model::{Parameter, PortMatrix, PortPair, PortUnit};
use spheresum_core::unit::level;

/// Network parameters: ports, references, frequencies, and the span of each pair.
pub fn ports(matrix: &PortMatrix) -> String {
    let letter = matrix.parameter().letter();
    let mut out = facts(
        &[
            ("ports", matrix.ports().to_string()),
            (
                "parameter",
                format!("{letter} ({})", name(matrix.parameter())),
            ),
            ("frequencies", frequencies(matrix)),
            ("reference", references(matrix)),
        ],
        2,
    );
    let mut table = Table::new(&[
        ("", Align::Left),
        ("lowest", Align::Right),
        ("highest", Align::Right),
        ("unit", Align::Left),
        ("", Align::Left),
    ]);
    for pair in matrix.pairs() {
        let (lowest, highest, unit) = span(matrix, pair);
        let what = match (matrix.parameter(), pair.is_reflection()) {
            (Parameter::S, true) => format!("reflection at port {}", pair.to),
            (Parameter::S, false) => format!("from port {} to port {}", pair.from, pair.to),
            _ => String::new(),
        };
        let element = format!("|{letter}{pair}|");
        table.row(vec![element, lowest, highest, unit, what]);
    }
    out.push_str(&table.render(4));
    if matrix.parameter() == Parameter::S && matrix.ports() > 1 {
        out.push_str(&paragraph(
            "It can be a range loss: --range FILE --range-path theta=Sij,phi=Sij names the transfer of each polarisation.",
            2,
        ));
    }
    out
}

fn name(parameter: Parameter) -> &'static str {
    match parameter {
        Parameter::S => "scattering",
        Parameter::Z => "impedance",
        Parameter::Y => "admittance",
        Parameter::H => "hybrid",
        Parameter::G => "inverse hybrid",
        _ => "network parameter",
    }
}

fn frequencies(matrix: &PortMatrix) -> String {
    let all = matrix.frequencies();
    match (all.first(), all.last()) {
        (Some(first), Some(last)) if all.len() > 1 => format!(
            "{}, {} … {}",
            all.len(),
            frequency(Some(*first)),
            frequency(Some(*last))
        ),
        (first, _) => frequency(first.copied()),
    }
}

fn references(matrix: &PortMatrix) -> String {
    let all = matrix.reference_ohm();
    match all.split_first() {
        Some((first, rest)) if rest.iter().all(|r| r == first) => format!("{first} Ω"),
        _ => {
            let each: Vec<String> = all.iter().map(|r| format!("{r} Ω")).collect();
            format!("{}, {}", count(all.len(), "port"), each.join(", "))
        }
    }
}

/// Lowest and highest magnitude of a pair: waves in dB, others in their unit.
fn span(matrix: &PortMatrix, pair: PortPair) -> (String, String, String) {
    let start = (f64::INFINITY, f64::NEG_INFINITY);
    let (low, high) = matrix
        .magnitudes(pair)
        .fold(start, |(low, high), (_, m)| (low.min(m), high.max(m)));
    if matrix.parameter() == Parameter::S {
        let db = |magnitude: f64| {
            if magnitude > 0.0 {
                two(level::db_from_wave(magnitude), Toward::Nearest)
            } else {
                "-∞".to_string()
            }
        };
        return (db(low), db(high), "dB".to_string());
    }
    let unit = match matrix.parameter().unit(pair) {
        PortUnit::One => "",
        unit => unit.symbol(),
    };
    (digits(low), digits(high), unit.to_string())
}

/// Four digits, with an exponent where a plain number would be long.
fn digits(value: f64) -> String {
    let rounded: f64 = format!("{value:.3e}").parse().unwrap_or(value);
    if rounded == 0.0 || (1e-4..1e6).contains(&rounded) {
        format!("{rounded}")
    } else {
        format!("{rounded:e}")
    }
}

#[cfg(test)]
mod tests {
    use super::digits;

    #[test]
    fn four_digits() {
        for (value, want) in [
            (0.0, "0"),
            (111.803_398, "111.8"),
            (0.020_024_98, "0.02002"),
            (1.234_56e-7, "1.235e-7"),
            (9.999_96e5, "1e6"),
        ] {
            assert_eq!(digits(value), want);
        }
    }
}
