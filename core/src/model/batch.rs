//! A batch of readings in columns: for adapters that read many rows of one shape at a time.

use crate::error::{Error, Result};
use crate::limits::Limits;
use crate::model::readings::{Reading, Readings, Value};
use crate::model::sample::{Mark, Polarisation};
use crate::unit::angle;
use num_complex::Complex64;

/// Readings without marks, column by column. All columns have the same length; `imaginary` is as long as the others for
/// complex quantities, and empty for the rest.
#[derive(Clone, Copy, Debug, Default)]
pub struct Batch<'b> {
    /// θ as read, degrees.
    pub theta_deg: &'b [f64],
    /// φ as read, degrees.
    pub phi_deg: &'b [f64],
    /// Indices into [`Readings::frequencies`].
    pub frequency: &'b [u32],
    /// Polarisations.
    pub polarisation: &'b [Polarisation],
    /// Linear values, or real parts.
    pub value: &'b [f64],
    /// Imaginary parts.
    pub imaginary: &'b [f64],
    /// Source lines.
    pub line: &'b [u32],
}

impl Batch<'_> {
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
    pub fn append(&mut self, batch: &Batch<'_>) -> Result<()> {
        if !batch.is_rectangular() {
            return Err(Error::usage("the columns of a batch differ in length"));
        }
        if !self.takes_all(batch) {
            return self.append_one_by_one(batch);
        }
        self.theta_deg.extend_from_slice(batch.theta_deg);
        self.phi_deg.extend_from_slice(batch.phi_deg);
        self.frequency.extend_from_slice(batch.frequency);
        self.polarisation.extend_from_slice(batch.polarisation);
        self.value.extend_from_slice(batch.value);
        self.imaginary.extend_from_slice(batch.imaginary);
        self.line.extend_from_slice(batch.line);
        if !self.mark.is_empty() {
            self.mark.resize(self.value.len(), Mark::Exact);
        }
        if !self.time_s.is_empty() {
            self.time_s.resize(self.value.len(), f64::NAN);
        }
        Ok(())
    }

    /// Appends all readings of another, whose frequencies are found or added here. False, with nothing appended, where the quantities
    /// differ, or both together are beyond a limit.
    pub fn absorb(&mut self, other: &Self, limits: &Limits) -> bool {
        let fits = self.quantity == other.quantity
            && self.value.len() + other.value.len() <= self.max_readings;
        let known = self.frequencies.len();
        let indices: Option<Vec<u32>> = fits
            .then(|| {
                other
                    .frequencies
                    .iter()
                    .map(|f| u32::try_from(self.frequency_index(*f, limits).ok()?).ok())
                    .collect()
            })
            .flatten();
        let Some(indices) = indices else {
            self.frequencies.truncate(known);
            return false;
        };
        if !(self.mark.is_empty() && other.mark.is_empty()) {
            self.mark.resize(self.value.len(), Mark::Exact);
            self.mark.extend_from_slice(&other.mark);
            self.mark
                .resize(self.value.len() + other.value.len(), Mark::Exact);
        }
        if !(self.time_s.is_empty() && other.time_s.is_empty()) {
            self.time_s.resize(self.value.len(), f64::NAN);
            self.time_s.extend_from_slice(&other.time_s);
            self.time_s
                .resize(self.value.len() + other.value.len(), f64::NAN);
        }
        self.theta_deg.extend_from_slice(&other.theta_deg);
        self.phi_deg.extend_from_slice(&other.phi_deg);
        // Every index of a reading is one of its own frequencies.
        self.frequency
            .extend(other.frequency.iter().map(|f| indices[*f as usize]));
        self.polarisation.extend_from_slice(&other.polarisation);
        self.value.extend_from_slice(&other.value);
        self.imaginary.extend_from_slice(&other.imaginary);
        self.line.extend_from_slice(&other.line);
        true
    }

    /// Keeps the first readings, and takes the others away.
    pub fn truncate(&mut self, count: usize) {
        self.theta_deg.truncate(count);
        self.phi_deg.truncate(count);
        self.frequency.truncate(count);
        self.polarisation.truncate(count);
        self.value.truncate(count);
        self.imaginary.truncate(count);
        self.mark.truncate(count);
        self.line.truncate(count);
        self.time_s.truncate(count);
    }

    /// True where every reading of a batch would be taken. Whole columns are looked at without a branch a reading.
    fn takes_all(&self, batch: &Batch<'_>) -> bool {
        let complex = self.quantity.is_complex();
        let lowest = if self.quantity.is_sensitivity() {
            f64::from_bits(1)
        } else {
            0.0
        };
        let largest = batch.frequency.iter().fold(0, |most, f| most.max(*f)) as usize;
        // Counted rather than asked for one by one: so several are looked at at a time.
        let finite = |column: &[f64]| count(column, |v| v.is_finite()) == column.len() as u64;
        let values = if complex {
            finite(batch.value)
                && finite(batch.imaginary)
                && batch.imaginary.len() == batch.len()
                && !batch.polarisation.contains(&Polarisation::Total)
        } else {
            let inside = count(batch.value, |v| (v >= lowest) & (v < f64::INFINITY));
            batch.imaginary.is_empty() && inside == batch.len() as u64
        };
        let thetas = count(batch.theta_deg, |theta| angle::can_fold(theta, 0.0));
        let phis = count(batch.phi_deg, |phi| angle::can_fold(0.0, phi));
        let directions = thetas == batch.len() as u64 && phis == batch.len() as u64;
        values
            && directions
            && self.value.len() + batch.len() <= self.max_readings
            && (batch.is_empty() || largest < self.frequencies.len())
    }

    fn append_one_by_one(&mut self, batch: &Batch<'_>) -> Result<()> {
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

#[inline(always)]
fn count(column: &[f64], is: impl Fn(f64) -> bool) -> u64 {
    column.iter().map(|v| u64::from(is(*v))).sum()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::quantity::Quantity;

    const THREE: Batch<'static> = Batch {
        theta_deg: &[30.0; 3],
        phi_deg: &[0.0, 1.0, 2.0],
        frequency: &[0; 3],
        polarisation: &[Polarisation::Theta; 3],
        value: &[1.0, 1.0, 2.0],
        imaginary: &[],
        line: &[1, 2, 3],
    };

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
                let value = [1.0, value, 2.0];
                let batch = Batch {
                    value: &value,
                    ..THREE
                };
                let (mut appended, mut pushed) = (readings(quantity), readings(quantity));
                let first = appended.append(&batch).map_err(|e| e.to_string());
                let second = pushed.append_one_by_one(&batch).map_err(|e| e.to_string());
                assert_eq!(first, second, "{quantity} {value:?}");
                assert_eq!(appended.len(), pushed.len(), "{quantity} {value:?}");
            }
        }
        let refused = |batch: Batch<'_>| readings(Quantity::Eirp).append(&batch).is_err();
        assert!(!refused(THREE));
        assert!(refused(Batch {
            frequency: &[0, 1, 0],
            ..THREE
        }));
        assert!(refused(Batch {
            frequency: &[0, 0],
            ..THREE
        }));
        assert!(refused(Batch {
            theta_deg: &[0.0, 361.0, 0.0],
            ..THREE
        }));
    }
}
