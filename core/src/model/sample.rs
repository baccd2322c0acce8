//! Polarisations, marks on readings, states of samples.

use std::fmt;

/// Polarisation of a reading.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(rename_all = "lowercase"))]
pub enum Polarisation {
    /// Along the unit vector of θ.
    Theta,
    /// Along the unit vector of φ.
    Phi,
    /// The sum of both.
    Total,
}

impl Polarisation {
    /// The word used in column names, options and JSON.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Theta => "theta",
            Self::Phi => "phi",
            Self::Total => "total",
        }
    }
}

impl fmt::Display for Polarisation {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.as_str())
    }
}

/// How a reading's value is meant.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(rename_all = "kebab-case"))]
pub enum Mark {
    /// The value itself.
    #[default]
    Exact,
    /// `<X`: at most the value.
    AtMost,
    /// `>X`: at least the value. A sensitivity of `inf` is `>X` with X unknown: value ∞.
    AtLeast,
}

/// State of a sample on the sphere, in terms of its quantity.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(rename_all = "kebab-case"))]
#[repr(u8)]
pub enum State {
    /// Measured.
    Measured = 0,
    /// The quantity is at most something.
    AtMost = 1,
    /// The quantity is at least something.
    AtLeast = 2,
    /// Never measured.
    Missing = 3,
    /// Estimated from its neighbours.
    Filled = 4,
}

impl State {
    /// True where there is a reading: measured or marked.
    #[must_use]
    pub const fn is_read(self) -> bool {
        matches!(self, Self::Measured | Self::AtMost | Self::AtLeast)
    }
}
