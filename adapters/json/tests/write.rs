//! What is written reads back as the same readings, to the bit.
#![cfg_attr(test, allow(clippy::unwrap_used, clippy::expect_used, clippy::panic))]

use spheresum_adapter_json::{JsonAdapter, to_json};
use spheresum_core::intake::{Adapter, ReadOptions, Source};
use spheresum_core::model::FieldScale;
use spheresum_core::unit::frequency::FrequencyUnit;
use spheresum_core::{
    Complex64, Frequency, Group, Limits, Mark, Polarisation, Quantity, Reading, Readings, Value,
};
use std::path::PathBuf;

fn read(text: &str) -> Readings {
    let limits = Limits::default();
    let source = Source::from_text("t", text, &limits).unwrap();
    JsonAdapter::new()
        .read(&source, &limits, &ReadOptions::default())
        .unwrap_or_else(|e| panic!("{e}\n{text}"))
        .readings
        .unwrap()
}

/// Everything of a reading but its line, with bits for numbers, so that −0 differs from 0.
type Bits = (
    Option<u64>,
    [u64; 2],
    Polarisation,
    [u64; 2],
    Mark,
    Option<u64>,
);

fn bits(readings: &Readings) -> Vec<Bits> {
    readings
        .iter()
        .enumerate()
        .map(|(at, r)| {
            let frequency = readings.frequencies()[r.frequency];
            let value = match r.value {
                Value::Power(p) => [p.to_bits(), 0],
                Value::Field(e) => [e.re.to_bits(), e.im.to_bits()],
            };
            (
                frequency.map(Frequency::microhertz),
                [r.theta_deg.to_bits(), r.phi_deg.to_bits()],
                r.polarisation,
                value,
                r.mark,
                readings.time_s(at).map(f64::to_bits),
            )
        })
        .collect()
}

fn same_when_read_back(readings: &Readings) -> String {
    let text = to_json(readings).unwrap();
    let back = read(&text);
    assert_eq!(back.quantity(), readings.quantity());
    assert_eq!(back.metadata(), readings.metadata());
    assert_eq!(bits(&back), bits(readings));
    // Written again, it is the same text.
    assert_eq!(to_json(&back).unwrap(), text);
    text
}

/// A small deterministic generator, so that a failure repeats.
struct Rolls(u64);

impl Rolls {
    fn next(&mut self) -> u64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        self.0 ^ (self.0 >> 31)
    }

    fn below(&mut self, n: u64) -> u64 {
        (self.next() >> 33) % n
    }

    /// A finite double of any size and sign.
    fn double(&mut self) -> f64 {
        let value = f64::from_bits(self.next());
        if value.is_finite() { value } else { -0.0 }
    }

    fn angle(&mut self, from: f64, to: f64) -> f64 {
        match self.below(4) {
            0 => 0.0,
            1 => -0.0,
            2 => (self.below(36) * 10) as f64,
            _ => from + (to - from) * (self.next() >> 11) as f64 / (1_u64 << 53) as f64,
        }
    }
}

fn reading(rolls: &mut Rolls, quantity: Quantity, frequencies: usize) -> Reading {
    let polarisation = match rolls.below(3) {
        0 => Polarisation::Theta,
        1 => Polarisation::Phi,
        _ if quantity.is_complex() => Polarisation::Theta,
        _ => Polarisation::Total,
    };
    let (value, mark) = match (quantity.is_complex(), rolls.below(6)) {
        (true, _) => (
            Value::Field(Complex64::new(rolls.double(), rolls.double())),
            Mark::Exact,
        ),
        (false, 0) if quantity.is_sensitivity() => (Value::Power(f64::INFINITY), Mark::AtLeast),
        (false, roll) => {
            let power = rolls.double().abs();
            let power = match power == 0.0 && quantity.is_sensitivity() {
                true => 1e-12,
                false => power,
            };
            let mark =
                [Mark::AtMost, Mark::AtLeast, Mark::Exact][usize::try_from(roll / 2).unwrap()];
            (Value::Power(power), mark)
        }
    };
    Reading {
        frequency: usize::try_from(rolls.below(frequencies as u64)).unwrap(),
        theta_deg: rolls.angle(-180.0, 360.0),
        phi_deg: rolls.angle(-360.0, 720.0),
        polarisation,
        value,
        mark,
        line: 0,
    }
}

#[test]
fn readings_of_every_quantity() {
    let limits = Limits::default();
    let mut rolls = Rolls(868_300);
    for quantity in [
        Quantity::Eirp,
        Quantity::Eis,
        Quantity::Gain,
        Quantity::ReceivedPower,
        Quantity::InstrumentLevel,
        Quantity::Field(FieldScale::SqrtWatt),
        Quantity::Field(FieldScale::Volt),
        Quantity::Field(FieldScale::Relative),
    ] {
        for round in 0..40 {
            let mut readings = Readings::new("t", quantity, &limits);
            // None, one, several, and known beside unknown. Beyond 9 GHz a double does not hold every microhertz.
            let all = [
                None,
                Some("868300000"),
                Some("28000000000.000001"),
                Some("1.5"),
            ];
            let chosen = [&all[..1], &all[1..2], &all[1..], &all[..]][round % 4];
            for text in chosen {
                let frequency = text.map(|t| Frequency::parse(t, FrequencyUnit::Hz).unwrap());
                readings.frequency_index(frequency, &limits).unwrap();
            }
            if round % 5 == 0 {
                readings.add_metadata("device \"A\"\n", "  blanks, \u{1}, \\ and θ  ");
                readings.add_metadata("frequency", "868.3 MHz, as the file says");
                readings.add_metadata("rows", "84");
                readings.add_metadata("rows", "");
            }
            for _ in 0..=rolls.below(60) {
                let mut one = reading(&mut rolls, quantity, chosen.len());
                // Often the next polarisation of the same direction.
                if let Some(last) = readings
                    .len()
                    .checked_sub(1)
                    .and_then(|at| readings.get(at))
                    && rolls.below(2) == 0
                {
                    one = Reading {
                        frequency: last.frequency,
                        theta_deg: last.theta_deg,
                        phi_deg: last.phi_deg,
                        ..one
                    };
                }
                readings.push(one).unwrap();
                match rolls.below(8) {
                    0 if round % 3 == 0 => readings.set_last_time_s(rolls.double()).unwrap(),
                    1 if round % 3 == 0 => readings.set_last_time_s(7.5).unwrap(),
                    _ => {}
                }
            }
            same_when_read_back(&readings);
        }
    }
}

#[test]
fn every_good_file() {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../tests/data/json/good");
    let mut count = 0;
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.ends_with("range-loss.json") {
            continue;
        }
        let text = std::fs::read_to_string(path).unwrap();
        same_when_read_back(&read(text.trim_start_matches('\u{feff}')));
        count += 1;
    }
    assert_eq!(count, 10);
}

#[test]
fn one_reading_a_line() {
    let limits = Limits::default();
    let mut readings = Readings::new("t", Quantity::Eirp, &limits);
    let mhz = Frequency::parse("868.3", FrequencyUnit::Mhz);
    let frequency = readings.frequency_index(mhz, &limits).unwrap();
    readings.add_metadata("device", "gauge");
    for (phi_deg, polarisation, power, mark) in [
        (0.0, Polarisation::Theta, 0.0015, Mark::Exact),
        (0.0, Polarisation::Phi, 1e-9, Mark::AtMost),
        (22.5, Polarisation::Theta, 2.0, Mark::Exact),
    ] {
        readings
            .push(Reading {
                frequency,
                theta_deg: 90.0,
                phi_deg,
                polarisation,
                value: Value::Power(power),
                mark,
                line: 0,
            })
            .unwrap();
    }
    // The README shows this text.
    let text = r#"{
"schema": "spheresum.readings/1",
"quantity": "eirp",
"metadata": {
  "device": "gauge"
},
"blocks": [
{"frequency_hz": 868300000, "readings": [
{"theta_deg": 90, "phi_deg": 0, "eirp_theta_w": 0.0015, "eirp_phi_w": "<1e-9"},
{"theta_deg": 90, "phi_deg": 22.5, "eirp_theta_w": 2}
]}
]
}
"#;
    assert_eq!(same_when_read_back(&readings), text);
    assert!(include_str!("../README.md").contains(text));
}

#[test]
fn what_cannot_be_written_is_refused() {
    let limits = Limits::default();
    let empty = Readings::new("t", Quantity::Eirp, &limits);
    assert_eq!(to_json(&empty).unwrap_err().group(), Group::Usage);
    let relative = Readings::new("t", Quantity::Relative, &limits);
    assert_eq!(to_json(&relative).unwrap_err().group(), Group::Unsupported);
}
