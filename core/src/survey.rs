//! What a set of readings holds, before it is assembled.

use crate::model::{Mark, Polarisation, Readings, Value};

/// What the readings of one polarisation look like.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct PolarisationSurvey {
    /// The polarisation.
    pub polarisation: Polarisation,
    /// Number of readings.
    pub readings: usize,
    /// Readings marked `<X`.
    pub at_most: usize,
    /// Readings marked `>X`, sensitivities of `inf` included.
    pub at_least: usize,
    /// Smallest and largest finite value: W or ratio, or |E|² of a field. `None` where there is none.
    pub range: Option<(f64, f64)>,
}

/// Surveys the polarisations that occur, theta, phi, total.
#[must_use]
pub fn survey(readings: &Readings) -> Vec<PolarisationSurvey> {
    let mut all =
        [Polarisation::Theta, Polarisation::Phi, Polarisation::Total].map(|polarisation| {
            PolarisationSurvey {
                polarisation,
                readings: 0,
                at_most: 0,
                at_least: 0,
                range: None,
            }
        });
    for reading in readings.iter() {
        let Some(one) = all
            .iter_mut()
            .find(|s| s.polarisation == reading.polarisation)
        else {
            continue;
        };
        one.readings += 1;
        one.at_most += usize::from(reading.mark == Mark::AtMost);
        one.at_least += usize::from(reading.mark == Mark::AtLeast);
        let value = match reading.value {
            Value::Power(p) => p,
            Value::Field(e) => e.re * e.re + e.im * e.im,
        };
        if value.is_finite() {
            let (low, high) = one.range.unwrap_or((value, value));
            one.range = Some((low.min(value), high.max(value)));
        }
    }
    all.into_iter().filter(|s| s.readings > 0).collect()
}
