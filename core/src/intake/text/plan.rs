//! The plan of a table: what is done with each column. Made once a file, used for every row.

use crate::intake::text::time::TimeUnit;
use crate::intake::text::tokens::Tokens;
use crate::unit::frequency::FrequencyUnit;
use crate::unit::level;
use crate::{Frequency, Polarisation, Quantity};

/// What is done with a column.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Role {
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
    /// When the row was measured.
    Time(TimeUnit),
    /// A value: its index in [`Plan::cells`].
    Cell(usize),
}

impl Role {
    /// True for a column whose fields are read as numbers; the fields of the others may be any text.
    #[must_use]
    pub const fn is_number(self) -> bool {
        !matches!(self, Self::Skip | Self::Polarisation | Self::Time(_))
    }
}

/// How an angle is written.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Angle {
    /// In radians, else in degrees.
    pub radians: bool,
    /// The angle meant falls where the written one rises.
    pub reversed: bool,
    /// Added at last, degrees: 90 with `reversed` for an elevation.
    pub offset_deg: f64,
}

impl Angle {
    /// The angle meant, in degrees.
    #[inline]
    #[must_use]
    pub fn degrees(self, written: f64) -> f64 {
        let degrees = if self.radians {
            written.to_degrees()
        } else {
            written
        };
        match (self.reversed, self.offset_deg == 0.0) {
            (false, true) => degrees,
            (false, false) => self.offset_deg + degrees,
            // 0 − x, so that a zero stays a positive one.
            (true, _) => self.offset_deg - degrees,
        }
    }
}

/// Lowest and highest θ, degrees, as core takes them.
pub const THETA_DEG: (f64, f64) = (-180.0, 360.0);
/// Lowest and highest φ, degrees, as core takes them.
pub const PHI_DEG: (f64, f64) = (-360.0, 720.0);

/// True where an angle is in a range.
#[inline]
pub fn is_in(range: (f64, f64), degrees: f64) -> bool {
    (range.0..=range.1).contains(&degrees)
}

/// Largest size of a level in decibels that is taken for a level, and not for a lost decimal sign.
pub const MAX_DB: f64 = 300.0;

/// How a value is written.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Scale {
    /// dBm → W.
    Dbm,
    /// dBW → W.
    Dbw,
    /// dBm with these decibels added → W.
    DbmPlus(f64),
    /// dB → ratio.
    Ratio,
    /// Linear: the value divided by this.
    Linear(f64),
    /// A component of a field, as it is.
    Field,
    /// A loss in dB, as it is.
    Loss,
    /// A loss in dB, written with the other sign.
    NegatedLoss,
}

impl Scale {
    /// True for decibels that become linear.
    pub const fn is_db(self) -> bool {
        matches!(self, Self::Dbm | Self::DbmPlus(_) | Self::Dbw | Self::Ratio)
    }

    /// The linear value of a finite number; `None` where it is no such value: a level beyond ±300 dB, or a negative
    /// linear power.
    #[inline]
    pub fn linear(self, written: f64) -> Option<f64> {
        match self {
            Self::Field | Self::Loss => Some(written),
            Self::NegatedLoss => Some(0.0 - written),
            Self::Linear(divisor) => (written >= 0.0).then_some(written / divisor),
            _ if !(-MAX_DB..=MAX_DB).contains(&written) => None,
            Self::Dbm => Some(level::w_from_dbm(written)),
            Self::DbmPlus(more) => Some(level::w_from_dbm(written + more)),
            Self::Dbw | Self::Ratio => Some(level::ratio_from_db(written)),
        }
    }
}

/// A column with values.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CellPlan {
    /// How it is written.
    pub scale: Scale,
    /// Index of its column.
    pub column: usize,
}

/// What becomes a reading (or a point) of each row.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Output {
    /// The polarisation; `None`: that of the row's polarisation column.
    pub polarisation: Option<Polarisation>,
    /// The frequency, where each frequency has a column of its own.
    pub frequency: Option<Frequency>,
    /// The cell of the value, or of its real part.
    pub cell: usize,
    /// The cell of the imaginary part.
    pub imaginary: Option<usize>,
}

/// What the table holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// Readings of a quantity.
    Readings(Quantity),
    /// A range loss against frequency.
    Loss,
}

/// Where a frequency that holds for the whole file comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct FixedFrequency {
    /// The frequency.
    pub frequency: Frequency,
    /// The preamble's line; `None`: an option of the call.
    pub line: Option<u64>,
}

/// The plan.
#[derive(Clone, Debug)]
pub struct Plan {
    /// What the table holds.
    pub kind: Kind,
    /// What is done with each column.
    pub roles: Vec<Role>,
    /// The columns with values.
    pub cells: Vec<CellPlan>,
    /// What each row gives.
    pub outputs: Vec<Output>,
    /// Decimal sign.
    pub decimal: u8,
    /// The frequency of the whole file.
    pub fixed: Option<FixedFrequency>,
    /// Fields are conjugated.
    pub conjugate: bool,
    /// Words of the polarisation column.
    pub tokens: Tokens,
    /// Texts of value fields that stand for another.
    pub stand_ins: Vec<(String, String)>,
}

impl Plan {
    /// True where values are sensitivities.
    pub const fn is_sensitivity(&self) -> bool {
        matches!(self.kind, Kind::Readings(q) if q.is_sensitivity())
    }

    /// What a value field's text stands for.
    #[must_use]
    pub fn meant<'t>(&'t self, text: &'t str) -> &'t str {
        let found = self.stand_ins.iter().find(|(word, _)| word == text);
        found.map_or(text, |(_, meant)| meant)
    }

    /// True where a column has the role.
    pub fn has(&self, role: impl Fn(Role) -> bool) -> bool {
        self.roles.iter().any(|r| role(*r))
    }
}
