//! When readings were taken: optional, and used for drift alone.

use crate::error::{Error, Result};
use crate::model::readings::Readings;

impl Readings {
    /// Says when the reading that was pushed last was taken, in seconds from any start that the whole source shares.
    ///
    /// # Errors
    /// Usage: no reading yet, or a time that is not finite.
    pub fn set_last_time_s(&mut self, time_s: f64) -> Result<()> {
        if !time_s.is_finite() {
            return Err(Error::usage(format!("{time_s} s is not a time")));
        }
        if self.is_empty() {
            return Err(Error::usage("a time comes after its reading"));
        }
        self.time_s.resize(self.value.len(), f64::NAN);
        if let Some(last) = self.time_s.last_mut() {
            *last = time_s;
        }
        Ok(())
    }

    /// When a reading was taken, seconds; `None` where nothing says so.
    #[must_use]
    pub fn time_s(&self, index: usize) -> Option<f64> {
        self.time_s.get(index).copied().filter(|t| t.is_finite())
    }

    /// First and last known time, seconds; `None` where there is none.
    #[must_use]
    pub fn time_span_s(&self) -> Option<(f64, f64)> {
        let known = self.time_s.iter().filter(|t| t.is_finite());
        known.fold(None, |span, t| match span {
            None => Some((*t, *t)),
            Some((first, last)) => Some((first.min(*t), last.max(*t))),
        })
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use crate::limits::Limits;
    use crate::model::{Batch, Mark, Polarisation, Quantity, Reading, Readings, Value};

    fn reading(line: u32) -> Reading {
        Reading {
            frequency: 0,
            theta_deg: 0.0,
            phi_deg: 0.0,
            polarisation: Polarisation::Total,
            value: Value::Power(1.0),
            mark: Mark::Exact,
            line,
        }
    }

    fn readings(count: u32, timed: &[u32]) -> Readings {
        let limits = Limits::small();
        let mut readings = Readings::new("t", Quantity::Eirp, &limits);
        readings.frequency_index(None, &limits).unwrap();
        for line in 0..count {
            readings.push(reading(line)).unwrap();
            if timed.contains(&line) {
                readings.set_last_time_s(f64::from(line) - 7.5).unwrap();
            }
        }
        readings
    }

    #[test]
    fn times_stay_with_their_readings() {
        let all = |r: &Readings| (0..r.len()).map(|at| r.time_s(at)).collect::<Vec<_>>();
        let mut one = readings(4, &[1]);
        assert_eq!(all(&one), [None, Some(-6.5), None, None]);
        assert_eq!(one.time_span_s(), Some((-6.5, -6.5)));
        let batch = Batch {
            theta_deg: &[0.0; 2],
            phi_deg: &[0.0; 2],
            frequency: &[0; 2],
            polarisation: &[Polarisation::Total; 2],
            value: &[1.0; 2],
            imaginary: &[],
            line: &[1; 2],
        };
        one.append(&batch).unwrap();
        assert_eq!(all(&one), [None, Some(-6.5), None, None, None, None]);
        for (first, second, both) in [
            (&[][..], &[0, 1][..], [None, None, Some(-7.5), Some(-6.5)]),
            (&[0], &[], [Some(-7.5), None, None, None]),
            (&[], &[], [None; 4]),
        ] {
            let mut joined = readings(2, first);
            assert!(joined.absorb(&readings(2, second), &Limits::small()));
            assert_eq!(all(&joined), both);
            joined.truncate(1);
            assert_eq!(all(&joined), both[..1]);
        }
        assert_eq!(readings(3, &[]).time_span_s(), None);
    }

    #[test]
    fn a_time_is_finite_and_has_a_reading() {
        let limits = Limits::small();
        let mut none = Readings::new("t", Quantity::Eirp, &limits);
        assert!(none.set_last_time_s(1.0).is_err());
        assert!(readings(1, &[]).set_last_time_s(f64::NAN).is_err());
        assert!(readings(1, &[]).set_last_time_s(f64::INFINITY).is_err());
    }
}
