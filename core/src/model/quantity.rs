//! What a reading is a reading of.

use std::fmt;

/// The scale that field columns are written in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(rename_all = "kebab-case"))]
pub enum FieldScale {
    /// √W: |E|² is the EIRP in watts.
    SqrtWatt,
    /// r·E in volts (rms): EIRP = 4π|rE|²/η0.
    Volt,
    /// No scale: only ratios can be given.
    Relative,
}

/// What the samples are.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(rename_all = "kebab-case"))]
#[non_exhaustive]
pub enum Quantity {
    /// Equivalent isotropically radiated power, W.
    Eirp,
    /// Equivalent isotropic sensitivity, W.
    Eis,
    /// Gain over an isotropic antenna, linear ratio.
    Gain,
    /// Power at the receiver, before the range loss, W.
    ReceivedPower,
    /// What the instrument sent when the link just held, before the range loss, W.
    InstrumentLevel,
    /// Complex far field.
    Field(FieldScale),
    /// Power without a scale, as the squares of a relative field: only ratios can be given.
    Relative,
}

impl Quantity {
    /// The word used in column names, options and JSON.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Eirp => "eirp",
            Self::Eis => "eis",
            Self::Gain => "gain",
            Self::ReceivedPower => "received",
            Self::InstrumentLevel => "level",
            Self::Field(_) => "field",
            Self::Relative => "relative",
        }
    }

    /// True where smaller is better and the reciprocal is what integrates.
    #[must_use]
    pub const fn is_sensitivity(self) -> bool {
        matches!(self, Self::Eis | Self::InstrumentLevel)
    }

    /// True for complex samples.
    #[must_use]
    pub const fn is_complex(self) -> bool {
        matches!(self, Self::Field(_))
    }

    /// True where the range loss still has to be applied.
    #[must_use]
    pub const fn needs_range_loss(self) -> bool {
        matches!(self, Self::ReceivedPower | Self::InstrumentLevel)
    }
}

impl fmt::Display for Quantity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.as_str())
    }
}
