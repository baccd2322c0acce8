//! The plan of a table: what is done with each column. Made once a file, used for every row.

use crate::tokens::Tokens;
use spheresum_core::unit::frequency::FrequencyUnit;
use spheresum_core::unit::level;
use spheresum_core::{Frequency, Polarisation, Quantity};

/// What is done with a column.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Role {
    /// Nothing.
    Skip,
    /// The frequency.
    Frequency(FrequencyUnit),
    /// θ.
    Theta(Angle),
    /// φ.
    Phi(Angle),
    /// The polarisation of the row's values.
    Polarisation,
    /// A value: its index in [`Plan::cells`].
    Cell(usize),
}

/// How an angle is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Angle {
    /// In radians, else in degrees.
    pub(crate) radians: bool,
    /// 90° − the angle meant.
    pub(crate) complement: bool,
}

impl Angle {
    /// The angle meant, in degrees.
    #[inline]
    pub(crate) fn degrees(self, written: f64) -> f64 {
        let degrees = if self.radians {
            written.to_degrees()
        } else {
            written
        };
        if self.complement {
            90.0 - degrees
        } else {
            degrees
        }
    }
}

/// Lowest and highest θ, degrees, as core takes them.
pub(crate) const THETA_DEG: (f64, f64) = (-180.0, 360.0);
/// Lowest and highest φ, degrees, as core takes them.
pub(crate) const PHI_DEG: (f64, f64) = (-360.0, 720.0);

/// True where an angle is in a range.
#[inline]
pub(crate) fn is_in(range: (f64, f64), degrees: f64) -> bool {
    (range.0..=range.1).contains(&degrees)
}

/// Largest size of a level in decibels that is taken for a level, and not for a lost decimal sign.
pub(crate) const MAX_DB: f64 = 300.0;

/// How a value is written.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Scale {
    /// dBm → W.
    Dbm,
    /// dBW → W.
    Dbw,
    /// dB → ratio.
    Ratio,
    /// Linear: the value divided by this.
    Linear(f64),
    /// A component of a field, as it is.
    Field,
    /// A loss in dB, as it is.
    Loss,
}

impl Scale {
    /// True for decibels that become linear.
    pub(crate) const fn is_db(self) -> bool {
        matches!(self, Self::Dbm | Self::Dbw | Self::Ratio)
    }

    /// The linear value of a finite number; `None` where it is no such value: a level beyond ±300 dB, or a negative
    /// linear power.
    #[inline]
    pub(crate) fn linear(self, written: f64) -> Option<f64> {
        match self {
            Self::Field | Self::Loss => Some(written),
            Self::Linear(divisor) => (written >= 0.0).then_some(written / divisor),
            _ if !(-MAX_DB..=MAX_DB).contains(&written) => None,
            Self::Dbm => Some(level::w_from_dbm(written)),
            Self::Dbw | Self::Ratio => Some(level::ratio_from_db(written)),
        }
    }
}

/// A column with values.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct CellPlan {
    /// How it is written.
    pub(crate) scale: Scale,
    /// Index of its column.
    pub(crate) column: usize,
}

/// What becomes a reading (or a point) of each row.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Output {
    /// The polarisation; `None`: that of the row's polarisation column.
    pub(crate) polarisation: Option<Polarisation>,
    /// The cell of the value, or of its real part.
    pub(crate) cell: usize,
    /// The cell of the imaginary part.
    pub(crate) imaginary: Option<usize>,
}

/// What the table holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Kind {
    /// Readings of a quantity.
    Readings(Quantity),
    /// A range loss against frequency.
    Loss,
}

/// Where a frequency that holds for the whole file comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct FixedFrequency {
    /// The frequency.
    pub(crate) frequency: Frequency,
    /// The preamble's line; `None`: an option of the call.
    pub(crate) line: Option<u64>,
}

/// The plan.
#[derive(Clone, Debug)]
pub(crate) struct Plan {
    /// What the table holds.
    pub(crate) kind: Kind,
    /// What is done with each column.
    pub(crate) roles: Vec<Role>,
    /// The columns with values.
    pub(crate) cells: Vec<CellPlan>,
    /// What each row gives.
    pub(crate) outputs: Vec<Output>,
    /// Decimal sign.
    pub(crate) decimal: u8,
    /// The frequency of the whole file.
    pub(crate) fixed: Option<FixedFrequency>,
    /// Fields are conjugated.
    pub(crate) conjugate: bool,
    /// Words of the polarisation column.
    pub(crate) tokens: Tokens,
}

impl Plan {
    /// True where values are sensitivities.
    pub(crate) const fn is_sensitivity(&self) -> bool {
        matches!(self.kind, Kind::Readings(q) if q.is_sensitivity())
    }

    /// True where a column has the role.
    pub(crate) fn has(&self, role: impl Fn(Role) -> bool) -> bool {
        self.roles.iter().any(|r| role(*r))
    }
}
