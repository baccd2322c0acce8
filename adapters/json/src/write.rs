//! Readings as a document, which reads back as the same readings.

use crate::model::SCHEMA_WORD;
use spheresum_core::model::FieldScale;
use spheresum_core::{Error, Frequency, Mark, Quantity, Reading, Readings, Result, Value};
use std::collections::HashMap;
use std::fmt::Write as _;

/// The document of readings, as JSON text with a line feed at the end: one reading a line.
///
/// Values are written in the linear unit they are held in, with the fewest digits that read back as the same bits; frequencies
/// as exact decimals of hertz. Reading the document gives the same readings in the same order, but for their source and lines.
/// Metadata keep their order, except that values of one key come together.
///
/// # Errors
/// Unsupported: a quantity that no column name has, such as relative powers. Usage: there is no reading.
pub fn to_json(readings: &Readings) -> Result<String> {
    let names = Names::of(readings.quantity())?;
    if readings.is_empty() {
        return Err(
            Error::usage("there are no readings to write").hint("write at least one reading")
        );
    }
    let mut text = format!(
        "{{\n\"schema\": {},\n\"quantity\": {},\n",
        quoted(SCHEMA_WORD),
        quoted(names.word)
    );
    metadata(&mut text, readings.metadata());
    text.push_str("\"blocks\": [");
    let at = |reading: &Reading| {
        readings
            .frequencies()
            .get(reading.frequency)
            .copied()
            .flatten()
    };
    // The frequency of all readings stands at their block.
    let one = readings.get(0).and_then(|first| at(&first));
    let one = one.filter(|one| readings.iter().all(|r| at(&r) == Some(*one)));
    // Whether the frequency is known: a block's readings have all one, or none.
    let mut block: Option<bool> = None;
    let mut row = Row::default();
    for (index, reading) in readings.iter().enumerate() {
        let frequency = at(&reading);
        let time_s = readings.time_s(index);
        if row.takes(&reading, time_s) {
            row.more(&names, &reading);
            continue;
        }
        row.flush(&mut text);
        if block != Some(frequency.is_some()) {
            text.push_str(if block.is_some() { "\n]},\n{" } else { "\n{" });
            if let Some(one) = one {
                let _ = write!(text, "\"frequency_hz\": {}, ", hz(one));
            }
            text.push_str("\"readings\": [\n");
            block = Some(frequency.is_some());
        } else {
            text.push_str(",\n");
        }
        row.time_s = time_s;
        row.begin(&names, &reading, frequency.filter(|_| one.is_none()));
    }
    row.flush(&mut text);
    text.push_str("\n]}\n]\n}\n");
    Ok(text)
}

/// The words of a quantity: its own, and that of its unit.
struct Names {
    word: &'static str,
    tail: &'static str,
}

impl Names {
    fn of(quantity: Quantity) -> Result<Self> {
        let tail = match quantity {
            Quantity::Eirp
            | Quantity::Eis
            | Quantity::ReceivedPower
            | Quantity::InstrumentLevel => "_w",
            Quantity::Gain => "_1",
            Quantity::Field(FieldScale::SqrtWatt) => "_sqrtw",
            Quantity::Field(FieldScale::Volt) => "_v",
            Quantity::Field(FieldScale::Relative) => "",
            other => {
                return Err(Error::unsupported(format!(
                    "a readings document holds no {other} values"
                ))
                .hint("write the readings that they were made from"));
            }
        };
        Ok(Self {
            word: quantity.as_str(),
            tail,
        })
    }
}

/// One direction at one frequency, being written.
#[derive(Default)]
struct Row {
    text: String,
    last: Option<Reading>,
    time_s: Option<f64>,
}

impl Row {
    /// True for a reading that stands beside the last one: same frequency, direction and time, a polarisation behind its own.
    fn takes(&self, reading: &Reading, time_s: Option<f64>) -> bool {
        self.last.is_some_and(|last| {
            self.time_s.map(f64::to_bits) == time_s.map(f64::to_bits)
                && last.frequency == reading.frequency
                && last.theta_deg.to_bits() == reading.theta_deg.to_bits()
                && last.phi_deg.to_bits() == reading.phi_deg.to_bits()
                && last.polarisation < reading.polarisation
        })
    }

    fn begin(&mut self, names: &Names, reading: &Reading, frequency: Option<Frequency>) {
        self.text.push('{');
        if let Some(frequency) = frequency {
            let _ = write!(self.text, "\"frequency_hz\": {}, ", hz(frequency));
        }
        let _ = write!(
            self.text,
            "\"theta_deg\": {}, \"phi_deg\": {}",
            number(reading.theta_deg),
            number(reading.phi_deg)
        );
        self.more(names, reading);
    }

    fn more(&mut self, names: &Names, reading: &Reading) {
        let Names { word, tail } = names;
        let polarisation = reading.polarisation;
        let _ = match reading.value {
            Value::Power(power) => write!(
                self.text,
                ", \"{word}_{polarisation}{tail}\": {}",
                marked(power, reading.mark)
            ),
            Value::Field(field) => write!(
                self.text,
                ", \"{word}_{polarisation}_re{tail}\": {}, \"{word}_{polarisation}_im{tail}\": {}",
                number(field.re),
                number(field.im)
            ),
        };
        self.last = Some(*reading);
    }

    fn flush(&mut self, text: &mut String) {
        if self.last.take().is_some() {
            text.push_str(&self.text);
            if let Some(time_s) = self.time_s {
                let _ = write!(text, ", \"time_s\": {}", number(time_s));
            }
            text.push('}');
            self.text.clear();
        }
    }
}

/// A finite number with the fewest digits that read back as the same bits.
fn number(value: f64) -> String {
    let text = format!("{value:?}");
    match text.strip_suffix(".0") {
        Some(whole) => whole.to_string(),
        None => text,
    }
}

fn marked(power: f64, mark: Mark) -> String {
    match mark {
        Mark::AtLeast if power == f64::INFINITY => "\"inf\"".to_string(),
        Mark::Exact => number(power),
        Mark::AtMost => format!("\"<{}\"", number(power)),
        Mark::AtLeast => format!("\">{}\"", number(power)),
    }
}

/// Hertz as an exact decimal.
fn hz(frequency: Frequency) -> String {
    let all = frequency.microhertz();
    let (whole, rest) = (all / 1_000_000, all % 1_000_000);
    let text = format!("{whole}.{rest:06}");
    text.trim_end_matches('0').trim_end_matches('.').to_string()
}

fn quoted(text: &str) -> String {
    serde_json::Value::from(text).to_string()
}

/// Remarks; a key with several values has a list of them.
fn metadata(text: &mut String, pairs: &[(String, String)]) {
    if pairs.is_empty() {
        return;
    }
    let mut keys: Vec<&str> = Vec::new();
    let mut by_key: HashMap<&str, Vec<String>> = HashMap::new();
    for (key, value) in pairs {
        let values = by_key.entry(key).or_default();
        if values.is_empty() {
            keys.push(key);
        }
        values.push(quoted(value));
    }
    let members: Vec<String> = keys
        .iter()
        .map(|key| {
            let values = by_key.remove(key).unwrap_or_default();
            match values.as_slice() {
                [one] => format!("  {}: {one}", quoted(key)),
                several => format!("  {}: [{}]", quoted(key), several.join(", ")),
            }
        })
        .collect();
    let _ = writeln!(text, "\"metadata\": {{\n{}\n}},", members.join(",\n"));
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_short_and_exact() {
        for (value, text) in [
            (0.0, "0"),
            (-0.0, "-0"),
            (0.1, "0.1"),
            (90.0, "90"),
            (1e-11, "1e-11"),
            (5e-324, "5e-324"),
            (1.7976931348623157e308, "1.7976931348623157e308"),
            (0.015_009_976_074_844_049, "0.015009976074844049"),
        ] {
            assert_eq!(number(value), text);
            assert!(crate::pieces::is_number(text));
        }
    }

    #[test]
    fn frequencies_are_exact() {
        let of = |text: &str| {
            Frequency::parse(text, spheresum_core::unit::frequency::FrequencyUnit::Hz).map(hz)
        };
        for text in [
            "868300000",
            "28000000000.000001",
            "0.000001",
            "18000000000000.5",
        ] {
            assert_eq!(of(text).as_deref(), Some(text));
        }
    }
}
