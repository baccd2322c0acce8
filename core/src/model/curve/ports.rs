//! Port data: complex network parameters against frequency, by port pair.

use crate::error::{Error, Result};
use crate::unit::Frequency;
use num_complex::Complex64;
use std::fmt;

/// Which network parameter a matrix holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
#[non_exhaustive]
pub enum Parameter {
    /// Scattering parameters, ratios of waves at the reference of each port.
    S,
    /// Impedances, ohm.
    Z,
    /// Admittances, siemens.
    Y,
    /// Hybrid parameters of a two-port: H11 in ohm, H12 and H21 ratios, H22 in siemens.
    H,
    /// Inverse hybrid parameters of a two-port: G11 in siemens, G12 and G21 ratios, G22 in ohm.
    G,
}

impl Parameter {
    /// The parameter's letter.
    #[must_use]
    pub const fn letter(self) -> &'static str {
        match self {
            Self::S => "S",
            Self::Z => "Z",
            Self::Y => "Y",
            Self::H => "H",
            Self::G => "G",
        }
    }

    /// True for parameters that only a two-port has.
    #[must_use]
    pub const fn is_two_port_only(self) -> bool {
        matches!(self, Self::H | Self::G)
    }

    /// SI unit of an element.
    #[must_use]
    pub const fn unit(self, pair: PortPair) -> PortUnit {
        match (self, pair.to, pair.from) {
            (Self::Z, ..) | (Self::H, 1, 1) | (Self::G, 2, 2) => PortUnit::Ohm,
            (Self::Y, ..) | (Self::H, 2, 2) | (Self::G, 1, 1) => PortUnit::Siemens,
            _ => PortUnit::One,
        }
    }
}

/// SI unit of an element of a port matrix.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum PortUnit {
    /// A ratio.
    One,
    /// Ohm.
    Ohm,
    /// Siemens.
    Siemens,
}

impl PortUnit {
    /// The unit's symbol.
    #[must_use]
    pub const fn symbol(self) -> &'static str {
        match self {
            Self::One => "1",
            Self::Ohm => "Ω",
            Self::Siemens => "S",
        }
    }
}

/// An element of a port matrix: where the wave comes out, and where it goes in. Ports count from 1; S21 is (2, 1).
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct PortPair {
    /// Port of the response: the row, from 1.
    pub to: usize,
    /// Port of the stimulus: the column, from 1.
    pub from: usize,
}

impl PortPair {
    /// True where both ports are the same.
    #[must_use]
    pub const fn is_reflection(self) -> bool {
        self.to == self.from
    }
}

impl fmt::Display for PortPair {
    /// The indices as they stand behind the parameter's letter: `21`, or `2,10` where one has two digits.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let comma = if self.to.max(self.from) > 9 { "," } else { "" };
        write!(f, "{}{comma}{}", self.to, self.from)
    }
}

/// Network parameters of a device with one or more ports, against frequency, in SI units.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct PortMatrix {
    parameter: Parameter,
    reference_ohm: Vec<f64>,
    frequencies: Vec<Frequency>,
    /// By frequency, then row (to), then column (from).
    values: Vec<Complex64>,
}

impl PortMatrix {
    /// Network parameters. `reference_ohm` has one resistance a port, ohm; `frequencies` ascend; `values` are in SI units
    /// (S: ratios, Z: ohm, Y: siemens, H and G as [`Parameter`] says) by frequency, then port of the response, then port of the
    /// stimulus.
    ///
    /// # Errors
    /// Input: no port or no frequency; a reference that is not a finite number above 0; frequencies that do not ascend; a
    /// number of values that is not frequencies × ports²; a value that is not finite; H or G of other than two ports.
    pub fn new(
        parameter: Parameter,
        reference_ohm: Vec<f64>,
        frequencies: Vec<Frequency>,
        values: Vec<Complex64>,
    ) -> Result<Self> {
        let ports = reference_ohm.len();
        if ports == 0 || frequencies.is_empty() {
            return Err(Error::input("port data without a port or a frequency"));
        }
        if parameter.is_two_port_only() && ports != 2 {
            let letter = parameter.letter();
            return Err(Error::input(format!(
                "{letter}-parameters are of two ports, and there are {ports}"
            )));
        }
        if !reference_ohm.iter().all(|r| r.is_finite() && *r > 0.0) {
            return Err(Error::input(
                "a reference resistance is not a finite number of ohm above 0",
            ));
        }
        if !frequencies.is_sorted_by(|a, b| a < b) {
            return Err(Error::input("the frequencies of port data do not ascend"));
        }
        let wanted = ports
            .checked_mul(ports)
            .and_then(|n| n.checked_mul(frequencies.len()));
        if wanted != Some(values.len()) {
            return Err(Error::input(format!(
                "{} values are not {} frequencies of {ports} × {ports}",
                values.len(),
                frequencies.len()
            )));
        }
        if !values.iter().all(|v| v.re.is_finite() && v.im.is_finite()) {
            return Err(Error::input("a value of port data is not finite"));
        }
        Ok(Self {
            parameter,
            reference_ohm,
            frequencies,
            values,
        })
    }

    /// Which parameter it is.
    #[must_use]
    pub fn parameter(&self) -> Parameter {
        self.parameter
    }

    /// Number of ports.
    #[must_use]
    pub fn ports(&self) -> usize {
        self.reference_ohm.len()
    }

    /// Reference resistance of each port, ohm.
    #[must_use]
    pub fn reference_ohm(&self) -> &[f64] {
        &self.reference_ohm
    }

    /// The frequencies, ascending.
    #[must_use]
    pub fn frequencies(&self) -> &[Frequency] {
        &self.frequencies
    }

    /// All values in SI units, by frequency, then row (to), then column (from).
    #[must_use]
    pub fn values(&self) -> &[Complex64] {
        &self.values
    }

    /// All port pairs, row by row.
    pub fn pairs(&self) -> impl Iterator<Item = PortPair> + use<> {
        let ports = self.ports();
        (1..=ports).flat_map(move |to| (1..=ports).map(move |from| PortPair { to, from }))
    }

    /// Value of a pair at the frequency with this index, SI unit. `None` outside.
    #[must_use]
    pub fn value(&self, frequency: usize, pair: PortPair) -> Option<Complex64> {
        let ports = self.ports();
        let inside = (1..=ports).contains(&pair.to) && (1..=ports).contains(&pair.from);
        if !inside || frequency >= self.frequencies.len() {
            return None;
        }
        let at = (frequency * ports + pair.to - 1) * ports + pair.from - 1;
        self.values.get(at).copied()
    }

    /// Magnitudes of a pair in ascending frequency, in the SI unit of the pair; none for a pair that is not there.
    pub fn magnitudes(&self, pair: PortPair) -> impl Iterator<Item = (Frequency, f64)> + '_ {
        let values = self.frequencies.iter().enumerate();
        values.filter_map(move |(n, f)| self.value(n, pair).map(|v| (*f, libm::hypot(v.re, v.im))))
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::unit::frequency::FrequencyUnit;

    fn mhz(texts: &[&str]) -> Vec<Frequency> {
        texts
            .iter()
            .filter_map(|t| Frequency::parse(t, FrequencyUnit::Mhz))
            .collect()
    }

    fn value(n: u8) -> Complex64 {
        Complex64::new(f64::from(n), -1.0)
    }

    #[test]
    fn rows_are_responses_and_columns_are_stimuli() {
        let values: Vec<Complex64> = [11, 12, 21, 22, 111, 112, 121, 122].map(value).to_vec();
        let matrix = PortMatrix::new(
            Parameter::S,
            vec![50.0, 75.0],
            mhz(&["868.3", "870"]),
            values,
        )
        .unwrap();
        let pair = |to, from| PortPair { to, from };
        assert_eq!(matrix.value(0, pair(2, 1)), Some(value(21)));
        assert_eq!(matrix.value(1, pair(1, 2)), Some(value(112)));
        for (frequency, to, from) in [(2, 1, 1), (0, 0, 1), (0, 1, 3), (usize::MAX, 1, 1)] {
            assert_eq!(matrix.value(frequency, pair(to, from)), None);
        }
        let all: Vec<String> = matrix.pairs().map(|p| p.to_string()).collect();
        assert_eq!(all, ["11", "12", "21", "22"]);
        assert_eq!(pair(2, 10).to_string(), "2,10");
    }

    #[test]
    fn what_is_no_matrix_is_refused() {
        let one = || vec![value(1)];
        let f = || mhz(&["868.3"]);
        assert!(PortMatrix::new(Parameter::S, vec![50.0], f(), one()).is_ok());
        assert!(PortMatrix::new(Parameter::H, vec![50.0], f(), one()).is_err());
        assert!(PortMatrix::new(Parameter::S, vec![], f(), vec![]).is_err());
        assert!(PortMatrix::new(Parameter::S, vec![50.0], vec![], vec![]).is_err());
        assert!(PortMatrix::new(Parameter::S, vec![0.0], f(), one()).is_err());
        assert!(PortMatrix::new(Parameter::S, vec![f64::NAN], f(), one()).is_err());
        assert!(PortMatrix::new(Parameter::S, vec![50.0, 50.0], f(), one()).is_err());
        let twice = mhz(&["868.3", "868.3"]);
        assert!(PortMatrix::new(Parameter::S, vec![50.0], twice, vec![value(1); 2]).is_err());
        let endless = vec![Complex64::new(1.0, f64::INFINITY)];
        assert!(PortMatrix::new(Parameter::S, vec![50.0], f(), endless).is_err());
    }
}
