//! Readings: what an adapter hands over, before there is a grid.

use crate::error::{Error, Result};
use crate::limits::Limits;
use crate::model::quantity::Quantity;
use crate::model::sample::{Mark, Polarisation};
use crate::place::Place;
use crate::unit::Frequency;
use num_complex::Complex64;

/// Value of a reading: a power-like number in the quantity's linear unit (W or ratio), or a complex field.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Value {
    /// Watts, or a linear ratio for gains.
    Power(f64),
    /// Complex field in the scale of the quantity.
    Field(Complex64),
}

/// One reading: one polarisation in one direction at one frequency.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reading {
    /// Index into [`Readings::frequencies`].
    pub frequency: usize,
    /// θ as read, degrees, −180…360.
    pub theta_deg: f64,
    /// φ as read, degrees, −360…720.
    pub phi_deg: f64,
    /// Polarisation.
    pub polarisation: Polarisation,
    /// Value in linear units.
    pub value: Value,
    /// How the value is meant.
    pub mark: Mark,
    /// Source line, from 1; 0 where there is none.
    pub line: u32,
}

/// Columns of readings of one quantity from one source. Order carries no meaning.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Readings {
    pub(super) source: String,
    pub(super) quantity: Quantity,
    pub(super) frequencies: Vec<Option<Frequency>>,
    pub(super) metadata: Vec<(String, String)>,
    pub(super) theta_deg: Vec<f64>,
    pub(super) phi_deg: Vec<f64>,
    pub(super) frequency: Vec<u32>,
    pub(super) polarisation: Vec<Polarisation>,
    /// Linear unit, or real part.
    pub(super) value: Vec<f64>,
    /// Imaginary part; empty for power-like quantities.
    pub(super) imaginary: Vec<f64>,
    /// Marks; empty while every value is exact.
    pub(super) mark: Vec<Mark>,
    /// Source lines.
    pub(super) line: Vec<u32>,
    /// Times, seconds; NaN where unknown, empty while none is known.
    pub(super) time_s: Vec<f64>,
    /// Limit that was set before the first reading.
    pub(super) max_readings: usize,
}

impl Readings {
    /// No readings yet, of `quantity`, from a source of this name.
    #[must_use]
    pub fn new(source: &str, quantity: Quantity, limits: &Limits) -> Self {
        Self {
            source: source.to_string(),
            quantity,
            frequencies: Vec::new(),
            metadata: Vec::new(),
            theta_deg: Vec::new(),
            phi_deg: Vec::new(),
            frequency: Vec::new(),
            polarisation: Vec::new(),
            value: Vec::new(),
            imaginary: Vec::new(),
            mark: Vec::new(),
            line: Vec::new(),
            time_s: Vec::new(),
            max_readings: limits.max_readings,
        }
    }

    /// Index of a frequency, adding it when it is new. `None` is a frequency that is unknown.
    ///
    /// # Errors
    /// Limit, beyond `limits.max_frequencies`.
    pub fn frequency_index(
        &mut self,
        frequency: Option<Frequency>,
        limits: &Limits,
    ) -> Result<usize> {
        // Files run through their frequencies in blocks or in turn: look from the last one used.
        if let Some(at) = self.frequencies.iter().rposition(|f| *f == frequency) {
            return Ok(at);
        }
        if self.frequencies.len() >= limits.max_frequencies {
            return Err(Error::limit(format!(
                "more than {} different frequencies",
                limits.max_frequencies
            ))
            .hint("raise the limit, or check that the frequency column is one"));
        }
        self.frequencies.push(frequency);
        Ok(self.frequencies.len() - 1)
    }

    /// Makes room for `more` readings, at most up to the limit. For what an adapter knows from the size of its source; a count
    /// that a file claims is not to be trusted.
    pub fn reserve(&mut self, more: usize) {
        let more = more.min(self.max_readings.saturating_sub(self.value.len()));
        self.theta_deg.reserve(more);
        self.phi_deg.reserve(more);
        self.frequency.reserve(more);
        self.polarisation.reserve(more);
        self.value.reserve(more);
        self.line.reserve(more);
        if self.quantity.is_complex() {
            self.imaginary.reserve(more);
        }
    }

    /// Appends a reading.
    ///
    /// # Errors
    /// - Input: an angle out of range, a value that is not finite or is negative, a mark on a field;
    /// - Usage: a frequency index not handed out by [`Readings::frequency_index`], a value whose kind is not the quantity's;
    /// - Limit: too many readings.
    ///
    /// A sensitivity may be ∞ with [`Mark::AtLeast`]: link lost, level unknown.
    #[inline]
    pub fn push(&mut self, reading: Reading) -> Result<()> {
        let (value, imaginary) = match reading.value {
            Value::Power(p) => (p, None),
            Value::Field(e) => (e.re, Some(e.im)),
        };
        if !self.takes(&reading) {
            return Err(self.refusal(&reading));
        }
        if reading.mark != Mark::Exact && self.mark.is_empty() {
            self.mark.resize(self.value.len(), Mark::Exact);
        }
        if reading.mark != Mark::Exact || !self.mark.is_empty() {
            self.mark.push(reading.mark);
        }
        self.theta_deg.push(reading.theta_deg);
        self.phi_deg.push(reading.phi_deg);
        self.frequency
            .push(u32::try_from(reading.frequency).unwrap_or(u32::MAX));
        self.polarisation.push(reading.polarisation);
        self.value.push(value);
        if let Some(imaginary) = imaginary {
            self.imaginary.push(imaginary);
        }
        self.line.push(reading.line);
        if !self.time_s.is_empty() {
            self.time_s.push(f64::NAN);
        }
        Ok(())
    }

    /// Appends a reading at a frequency, whose index it need not know; a new frequency is added with its reading, or not at all. Gives
    /// the index of the frequency.
    ///
    /// # Errors
    /// As [`Readings::frequency_index`] and [`Readings::push`].
    pub(crate) fn push_at(
        &mut self,
        frequency: Option<Frequency>,
        reading: Reading,
        limits: &Limits,
    ) -> Result<usize> {
        let known = self.frequencies.len();
        let index = self.frequency_index(frequency, limits)?;
        let pushed = self.push(Reading {
            frequency: index,
            ..reading
        });
        if pushed.is_err() {
            self.frequencies.truncate(known);
        }
        pushed.map(|()| index)
    }

    /// True for a reading that [`Readings::refusal`] has nothing against.
    #[inline]
    fn takes(&self, reading: &Reading) -> bool {
        let value = match reading.value {
            Value::Power(p) => {
                let sensitivity = self.quantity.is_sensitivity();
                let lost_link = sensitivity && p == f64::INFINITY && reading.mark == Mark::AtLeast;
                let finite = p.is_finite() && p >= 0.0 && !(sensitivity && p == 0.0);
                !self.quantity.is_complex() && (finite || lost_link)
            }
            Value::Field(e) => {
                let marked =
                    reading.mark != Mark::Exact || reading.polarisation == Polarisation::Total;
                self.quantity.is_complex() && e.re.is_finite() && e.im.is_finite() && !marked
            }
        };
        value
            && self.value.len() < self.max_readings
            && reading.frequency < self.frequencies.len()
            && crate::unit::angle::can_fold(reading.theta_deg, reading.phi_deg)
    }

    /// Why a reading is not taken.
    #[cold]
    fn refusal(&self, reading: &Reading) -> Error {
        let mut place = Place::in_source(&self.source);
        if reading.line > 0 {
            place = place.with_line(u64::from(reading.line));
        }
        self.reason(reading).at(place)
    }

    fn reason(&self, reading: &Reading) -> Error {
        if self.value.len() >= self.max_readings {
            return Error::limit(format!("more than {} readings", self.max_readings))
                .hint("raise the limit on readings, or split the file");
        }
        if reading.frequency >= self.frequencies.len() {
            return Error::usage("frequency index out of range");
        }
        if !crate::unit::angle::can_fold(reading.theta_deg, reading.phi_deg) {
            return Error::input(format!(
                "direction θ = {}°, φ = {}° is out of range",
                reading.theta_deg, reading.phi_deg
            ))
            .hint("θ runs from −180° to 360° (0…180° from +z), φ from −360° to 720°");
        }
        match reading.value {
            Value::Power(_) if self.quantity.is_complex() => {
                Error::usage("power-like and complex values do not mix in one quantity")
            }
            Value::Power(0.0) => Error::input("a sensitivity of 0 W (−∞ dBm) does not exist"),
            Value::Power(p) => Error::input(format!("{p} is not a {}", self.quantity)).hint(
                "powers, gains and sensitivities are finite and not negative in linear units",
            ),
            Value::Field(_) if !self.quantity.is_complex() => {
                Error::usage("power-like and complex values do not mix in one quantity")
            }
            Value::Field(e) if !(e.re.is_finite() && e.im.is_finite()) => {
                Error::input("a field component is not finite")
            }
            Value::Field(_) => Error::input("a complex field has two polarisations and no marks"),
        }
    }

    /// Adds a `key: value` of the file.
    pub fn add_metadata(&mut self, key: &str, value: &str) {
        self.metadata.push((key.to_string(), value.to_string()));
    }

    /// Name of the source.
    #[must_use]
    pub fn source(&self) -> &str {
        &self.source
    }

    /// What the readings are readings of.
    #[must_use]
    pub fn quantity(&self) -> Quantity {
        self.quantity
    }

    /// The frequencies, in the order in which they were first met; `None` is unknown.
    #[must_use]
    pub fn frequencies(&self) -> &[Option<Frequency>] {
        &self.frequencies
    }

    /// `key: value` pairs of the file.
    #[must_use]
    pub fn metadata(&self) -> &[(String, String)] {
        &self.metadata
    }

    /// Number of readings.
    #[must_use]
    pub fn len(&self) -> usize {
        self.value.len()
    }

    /// True where there is no reading.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.value.is_empty()
    }

    /// True where at least one reading is of this polarisation.
    #[must_use]
    pub fn has_polarisation(&self, polarisation: Polarisation) -> bool {
        self.polarisation.contains(&polarisation)
    }

    /// True where at least one reading carries a mark.
    #[must_use]
    pub fn has_marks(&self) -> bool {
        !self.mark.is_empty()
    }

    /// Reading number `index`; `None` beyond the end.
    #[must_use]
    pub fn get(&self, index: usize) -> Option<Reading> {
        let value = *self.value.get(index)?;
        Some(Reading {
            frequency: self.frequency[index] as usize,
            theta_deg: self.theta_deg[index],
            phi_deg: self.phi_deg[index],
            polarisation: self.polarisation[index],
            value: match self.imaginary.get(index) {
                Some(im) => Value::Field(Complex64::new(value, *im)),
                None => Value::Power(value),
            },
            mark: self.mark.get(index).copied().unwrap_or_default(),
            line: self.line[index],
        })
    }

    /// All readings in order.
    pub fn iter(&self) -> impl ExactSizeIterator<Item = Reading> + '_ {
        let columns = self
            .theta_deg
            .iter()
            .zip(&self.phi_deg)
            .zip(self.frequency.iter().zip(&self.polarisation))
            .zip(self.value.iter().zip(&self.line));
        columns
            .enumerate()
            .map(move |(index, (((t, p), (f, pol)), (v, line)))| Reading {
                frequency: *f as usize,
                theta_deg: *t,
                phi_deg: *p,
                polarisation: *pol,
                value: match self.imaginary.get(index) {
                    Some(im) => Value::Field(Complex64::new(*v, *im)),
                    None => Value::Power(*v),
                },
                mark: self.mark.get(index).copied().unwrap_or_default(),
                line: *line,
            })
    }

    /// θ as read, degrees.
    #[must_use]
    pub fn theta_deg(&self) -> &[f64] {
        &self.theta_deg
    }

    /// φ as read, degrees.
    #[must_use]
    pub fn phi_deg(&self) -> &[f64] {
        &self.phi_deg
    }
}
