//! A batch of readings in columns: for adapters that read many rows of one shape at a time.

use crate::error::{Error, Result};
use crate::model::readings::{Reading, Readings, Value};
use crate::model::sample::{Mark, Polarisation};
use crate::unit::angle;
use num_complex::Complex64;

/// Readings without marks, column by column. All columns have the same length; `imaginary` is as long as the others for
/// complex quantities, and empty for the rest.
#[derive(Clone, Debug, Default)]
pub struct Batch {
    /// θ as read, degrees.
    pub theta_deg: Vec<f64>,
    /// φ as read, degrees.
    pub phi_deg: Vec<f64>,
    /// Indices into [`Readings::frequencies`].
    pub frequency: Vec<u32>,
    /// Polarisations.
    pub polarisation: Vec<Polarisation>,
    /// Linear values, or real parts.
    pub value: Vec<f64>,
    /// Imaginary parts.
    pub imaginary: Vec<f64>,
    /// Source lines.
    pub line: Vec<u32>,
}

impl Batch {
    /// Number of readings.
    #[must_use]
    pub fn len(&self) -> usize {
        self.value.len()
    }

    /// True where there is none.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.value.is_empty()
    }

    /// Takes all readings out, and keeps the room.
    pub fn clear(&mut self) {
        self.theta_deg.clear();
        self.phi_deg.clear();
        self.frequency.clear();
        self.polarisation.clear();
        self.value.clear();
        self.imaginary.clear();
        self.line.clear();
    }

    fn is_rectangular(&self) -> bool {
        let imaginary = self.imaginary.len();
        [
            self.theta_deg.len(),
            self.phi_deg.len(),
            self.frequency.len(),
            self.polarisation.len(),
            self.line.len(),
        ]
        .iter()
        .all(|length| *length == self.len())
            && (imaginary == 0 || imaginary == self.len())
    }
}

impl Readings {
    /// Appends a batch: as [`Readings::push`] of each of its readings with [`Mark::Exact`], in order.
    ///
    /// # Errors
    /// Those of [`Readings::push`] for the first reading that is not taken; those before it are appended. Usage: columns of
    /// different lengths.
    pub fn append(&mut self, batch: &Batch) -> Result<()> {
        if !batch.is_rectangular() {
            return Err(Error::usage("the columns of a batch differ in length"));
        }
        if !self.takes_all(batch) {
            return self.append_one_by_one(batch);
        }
        self.theta_deg.extend_from_slice(&batch.theta_deg);
        self.phi_deg.extend_from_slice(&batch.phi_deg);
        self.frequency.extend_from_slice(&batch.frequency);
        self.polarisation.extend_from_slice(&batch.polarisation);
        self.value.extend_from_slice(&batch.value);
        self.imaginary.extend_from_slice(&batch.imaginary);
        self.line.extend_from_slice(&batch.line);
        if !self.mark.is_empty() {
            self.mark.resize(self.value.len(), Mark::Exact);
        }
        Ok(())
    }

    /// True where every reading of a batch would be taken. Whole columns are looked at without a branch a reading.
    fn takes_all(&self, batch: &Batch) -> bool {
        let complex = self.quantity.is_complex();
        let lowest = if self.quantity.is_sensitivity() {
            f64::from_bits(1)
        } else {
            0.0
        };
        let largest = batch.frequency.iter().copied().max().unwrap_or(0) as usize;
        let finite = |column: &[f64]| column.iter().fold(true, |all, v| all & v.is_finite());
        let values = if complex {
            finite(&batch.value)
                && finite(&batch.imaginary)
                && batch.imaginary.len() == batch.len()
                && !batch.polarisation.contains(&Polarisation::Total)
        } else {
            let inside = |all, v: &f64| all & (*v >= lowest) & (*v < f64::INFINITY);
            batch.imaginary.is_empty() && batch.value.iter().fold(true, inside)
        };
        let directions = batch
            .theta_deg
            .iter()
            .zip(&batch.phi_deg)
            .fold(true, |all, (t, p)| all & angle::can_fold(*t, *p));
        values
            && directions
            && self.value.len() + batch.len() <= self.max_readings
            && (batch.is_empty() || largest < self.frequencies.len())
    }

    fn append_one_by_one(&mut self, batch: &Batch) -> Result<()> {
        for at in 0..batch.len() {
            self.push(Reading {
                frequency: batch.frequency[at] as usize,
                theta_deg: batch.theta_deg[at],
                phi_deg: batch.phi_deg[at],
                polarisation: batch.polarisation[at],
                value: match batch.imaginary.get(at) {
                    Some(im) => Value::Field(Complex64::new(batch.value[at], *im)),
                    None => Value::Power(batch.value[at]),
                },
                mark: Mark::Exact,
                line: batch.line[at],
            })?;
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::limits::Limits;
    use crate::model::quantity::Quantity;

    fn batch(values: &[f64]) -> Batch {
        let n = values.len();
        Batch {
            theta_deg: vec![30.0; n],
            phi_deg: (0..n).map(|p| p as f64).collect(),
            frequency: vec![0; n],
            polarisation: vec![Polarisation::Theta; n],
            value: values.to_vec(),
            imaginary: Vec::new(),
            line: (1..).take(n).collect(),
        }
    }

    fn readings(quantity: Quantity) -> Readings {
        let limits = Limits::small();
        let mut readings = Readings::new("t", quantity, &limits);
        assert_eq!(readings.frequency_index(None, &limits).ok(), Some(0));
        readings
    }

    /// Appending gives what pushing gives, whatever the values.
    #[test]
    fn as_pushing_one_by_one() {
        let odd = [
            1.0,
            0.0,
            5e-324,
            -0.0,
            -1.0,
            f64::NAN,
            f64::INFINITY,
            f64::NEG_INFINITY,
        ];
        for quantity in [Quantity::Eirp, Quantity::Eis, Quantity::Gain] {
            for value in odd {
                let batch = batch(&[1.0, value, 2.0]);
                let (mut appended, mut pushed) = (readings(quantity), readings(quantity));
                let first = appended.append(&batch).map_err(|e| e.to_string());
                let second = pushed.append_one_by_one(&batch).map_err(|e| e.to_string());
                assert_eq!(first, second, "{quantity} {value}");
                assert_eq!(appended.len(), pushed.len(), "{quantity} {value}");
            }
        }
        let mut wrong = batch(&[1.0, 2.0]);
        wrong.frequency[1] = 1;
        assert!(readings(Quantity::Eirp).append(&wrong).is_err());
        wrong.frequency.pop();
        assert!(readings(Quantity::Eirp).append(&wrong).is_err());
        let mut outside = batch(&[1.0, 2.0]);
        outside.theta_deg[1] = 361.0;
        assert!(readings(Quantity::Eirp).append(&outside).is_err());
    }
}
