//! Readings without a signal: what the noise floor is.

use crate::correct::detector::{LOG_VARIANCE, noise_from_log_of, relative_variance_of_log};
use crate::correct::noise::{Detector, Level};
use crate::error::{Error, Result};
use crate::model::{Mark, Polarisation, Quantity, Readings, Value};
use crate::place::Place;
use crate::unit::{Frequency, sum};

/// Fewest readings whose scatter tells the number of averages.
const FEWEST: usize = 8;

/// The readings of a polarisation at a frequency.
#[derive(Clone, Debug, PartialEq)]
struct Group {
    frequency: Option<Frequency>,
    polarisation: Polarisation,
    /// What was shown, W, in ascending order.
    shown_w: Vec<f64>,
}

/// Noise-only readings: the device silent, everything else as in the measurement.
#[derive(Clone, Debug, PartialEq)]
pub struct NoiseOnly {
    source: String,
    quantity: Quantity,
    groups: Vec<Group>,
    averages: Option<f64>,
}

impl NoiseOnly {
    /// From readings of received power or EIRP, wherever they were taken: directions play no part.
    ///
    /// # Errors
    /// Input: another quantity, marked readings, a reading that is not above 0 W, an entry `averages` that is no number.
    pub fn of(readings: &Readings) -> Result<Self> {
        let quantity = readings.quantity();
        let place = |line: u32| {
            let place = Place::in_source(readings.source());
            if line > 0 {
                place.with_line(u64::from(line))
            } else {
                place
            }
        };
        if !matches!(quantity, Quantity::Eirp | Quantity::ReceivedPower) {
            return Err(Error::input(format!("a noise floor is a power, and these are readings of {quantity}"))
                .hint("give readings of received power or EIRP that were taken while the device was silent")
                .at(place(0)));
        }
        let mut groups: Vec<Group> = Vec::new();
        for reading in readings.iter() {
            let power = match (reading.value, reading.mark) {
                (Value::Power(power), Mark::Exact) if power > 0.0 => power,
                _ => {
                    return Err(Error::input("a noise-only reading is marked, or not above 0 W")
                        .hint("take readings with a detector and range that show the noise itself")
                        .at(place(reading.line)));
                }
            };
            let frequency = readings
                .frequencies()
                .get(reading.frequency)
                .copied()
                .flatten();
            let same =
                |g: &&mut Group| g.frequency == frequency && g.polarisation == reading.polarisation;
            match groups.iter_mut().find(same) {
                Some(group) => group.shown_w.push(power),
                None => groups.push(Group {
                    frequency,
                    polarisation: reading.polarisation,
                    shown_w: vec![power],
                }),
            }
        }
        for group in &mut groups {
            group.shown_w.sort_by(f64::total_cmp);
        }
        Ok(Self {
            source: readings.source().to_string(),
            quantity,
            groups,
            averages: said_averages(readings)?,
        })
    }

    /// What the readings are of.
    #[must_use]
    pub fn quantity(&self) -> Quantity {
        self.quantity
    }

    /// Where they were read from.
    #[must_use]
    pub fn source(&self) -> &str {
        &self.source
    }

    /// Averages in a reading, from an entry `averages` of the file.
    #[must_use]
    pub fn averages(&self) -> Option<f64> {
        self.averages
    }

    /// Averages in a reading as their scatter tells: (mean/standard deviation)² of powers, (π²/6)/variance of logarithms, over all
    /// groups of at least eight readings, weighted by their number; `None` without such a group.
    #[must_use]
    pub fn averages_by_scatter(&self, detector: Detector) -> Option<f64> {
        let (mut weights, mut variances) = (Vec::new(), Vec::new());
        for group in self.groups.iter().filter(|g| g.shown_w.len() >= FEWEST) {
            let values: Vec<f64> = match detector {
                Detector::Rms => group.shown_w.clone(),
                Detector::Log => group.shown_w.iter().map(|p| libm::log(*p)).collect(),
            };
            let (mean, variance) = mean_and_variance(&values);
            let relative = match detector {
                Detector::Rms => variance / (mean * mean),
                Detector::Log => variance / LOG_VARIANCE,
            };
            let freedom = values.len() as f64 - 1.0;
            weights.push(freedom);
            variances.push(freedom * relative);
        }
        let relative = sum::in_order(&variances) / sum::in_order(&weights);
        // Scatter below 1 % is that of rounding as well.
        (relative > 1e-4 && relative.is_finite()).then(|| (1.0 / relative).max(1.0))
    }

    /// The floor of a polarisation at a frequency, where each reading has so many averages: the mean, with the standard uncertainty
    /// that so many averages leave. Readings without a frequency stand for all. `None` where there are none.
    #[must_use]
    pub fn level(
        &self,
        polarisation: Polarisation,
        frequency: Option<Frequency>,
        detector: Detector,
        averages: f64,
    ) -> Option<Level> {
        let of = |frequency: Option<Frequency>| {
            let same = |g: &&Group| g.polarisation == polarisation && g.frequency == frequency;
            self.groups.iter().find(same)
        };
        let group = of(frequency).or_else(|| of(None))?;
        let count = group.shown_w.len() as f64;
        let all = count * averages;
        let (power_w, variance) = match detector {
            Detector::Rms => (sum::in_order(&group.shown_w) / count, 1.0 / all),
            Detector::Log => {
                let logs: Vec<f64> = group.shown_w.iter().map(|p| libm::log(*p)).collect();
                let shown = libm::exp(sum::in_order(&logs) / count);
                (noise_from_log_of(shown, all), relative_variance_of_log(all))
            }
        };
        let standard_w = power_w * libm::sqrt(variance);
        Some(Level::new(power_w, Some(standard_w)))
    }

    /// Frequencies of a polarisation's readings, in words.
    pub(super) fn frequencies(&self, polarisation: Polarisation) -> Vec<String> {
        let of = self
            .groups
            .iter()
            .filter(|g| g.polarisation == polarisation);
        of.filter_map(|g| Some(g.frequency?.to_string())).collect()
    }

    /// Number of readings of a polarisation, over all frequencies.
    #[must_use]
    pub fn count(&self, polarisation: Polarisation) -> usize {
        let of = self
            .groups
            .iter()
            .filter(|g| g.polarisation == polarisation);
        of.map(|g| g.shown_w.len()).sum()
    }
}

fn mean_and_variance(values: &[f64]) -> (f64, f64) {
    let count = values.len() as f64;
    let mean = sum::in_order(values) / count;
    let squares: Vec<f64> = values.iter().map(|v| (v - mean) * (v - mean)).collect();
    (mean, sum::in_order(&squares) / (count - 1.0))
}

/// The number of averages in each reading, from an entry `averages` of the file.
///
/// # Errors
/// Input: it is there, and no number from 1 on.
pub(crate) fn said_averages(readings: &Readings) -> Result<Option<f64>> {
    let is = |key: &str| key.eq_ignore_ascii_case("averages");
    let Some((_, value)) = readings.metadata().iter().find(|(key, _)| is(key)) else {
        return Ok(None);
    };
    match value.trim().parse::<f64>() {
        Ok(n) if (1.0..=1e12).contains(&n) => Ok(Some(n)),
        _ => Err(Error::input(format!("averages: {value} is no number of averages"))
            .hint("write the number of independent averages in each reading, 1 or more; or leave the line out")
            .at(Place::in_source(readings.source()))),
    }
}

#[cfg(test)]
mod tests;
