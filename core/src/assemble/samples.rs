//! Hand-made readings that the tests of assembly share.

#![allow(clippy::unwrap_used)]

use crate::assemble::{Assembled, DEFAULT_SNAP_DEG, assemble};
use crate::finding::Finding;
use crate::limits::Limits;
use crate::model::{Mark, Polarisation, Quantity, Reading, Readings, Value};
use crate::unit::Frequency;

/// Readings that grow by one call a reading.
pub(crate) struct Made {
    pub readings: Readings,
    pub frequency: Option<Frequency>,
}

impl Made {
    pub fn new(source: &str, quantity: Quantity) -> Self {
        Self {
            readings: Readings::new(source, quantity, &Limits::default()),
            frequency: None,
        }
    }

    /// A reading on the next line.
    pub fn push(&mut self, at: (f64, f64), polarisation: Polarisation, value: Value, mark: Mark) {
        let frequency = self
            .readings
            .frequency_index(self.frequency, &Limits::default())
            .unwrap();
        let line = u32::try_from(self.readings.len() + 1).unwrap();
        self.readings
            .push(Reading {
                frequency,
                theta_deg: at.0,
                phi_deg: at.1,
                polarisation,
                value,
                mark,
                line,
            })
            .unwrap();
    }

    /// An exact power.
    pub fn exact(&mut self, at: (f64, f64), polarisation: Polarisation, power: f64) {
        self.push(at, polarisation, Value::Power(power), Mark::Exact);
    }
}

/// Assembles with the usual options.
pub(crate) fn assembled(runs: &[Readings]) -> Assembled {
    assemble(runs, DEFAULT_SNAP_DEG, &Limits::default()).unwrap()
}

/// The finding of a code.
pub(crate) fn coded<'a>(findings: &'a [Finding], code: &str) -> Option<&'a Finding> {
    findings.iter().find(|f| f.code == code)
}

/// Within the last digits of each other.
pub(crate) fn near(got: f64, want: f64) {
    assert!(
        (got - want).abs() <= 1e-12 * want.abs().max(1.0),
        "{got} is not {want}"
    );
}
