//! How far a run is.

use crate::model::Polarisation;
use crate::unit::Frequency;

/// How much of one polarisation at one frequency was read.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
#[non_exhaustive]
pub struct Progress {
    /// The frequency (in hertz when serialised); `None` where the plan names none.
    pub frequency_hz: Option<Frequency>,
    /// The polarisation.
    pub polarisation: Polarisation,
    /// Number of samples with a reading; a pole is one.
    pub read: usize,
    /// Number of samples in the plan; a pole is one.
    pub planned: usize,
    /// Number of readings, repeats included.
    pub readings: usize,
}

impl Progress {
    /// True once every sample has a reading.
    #[must_use]
    pub fn is_complete(&self) -> bool {
        self.read == self.planned
    }
}
