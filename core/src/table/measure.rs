//! Numbers with their unit, as tables write them.

use crate::figure;
use crate::unit::level;
use std::fmt;

/// Units that a table may write, by their symbols.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Symbol {
    /// `dBm`: decibels over one milliwatt.
    Dbm,
    /// `W`: watts.
    Watt,
    /// `mW`: milliwatts.
    Milliwatt,
    /// `dB`: decibels.
    Db,
    /// `dBi`: decibels over an isotropic antenna.
    Dbi,
    /// `1`: a ratio or a number without dimension.
    One,
    /// `%`: per cent.
    Percent,
    /// `deg`: degrees.
    Degree,
    /// `wavelength`: wavelengths.
    Wavelength,
}

/// What a unit measures. Amounts convert within a kind only.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Kind {
    /// A power.
    Power,
    /// A ratio of powers.
    Ratio,
    /// An angle.
    Angle,
    /// A length.
    Length,
}

impl Symbol {
    /// All units.
    pub const ALL: [Self; 9] = [
        Self::Dbm,
        Self::Watt,
        Self::Milliwatt,
        Self::Db,
        Self::Dbi,
        Self::One,
        Self::Percent,
        Self::Degree,
        Self::Wavelength,
    ];

    /// The symbol as written.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Dbm => "dBm",
            Self::Watt => "W",
            Self::Milliwatt => "mW",
            Self::Db => "dB",
            Self::Dbi => "dBi",
            Self::One => "1",
            Self::Percent => "%",
            Self::Degree => "deg",
            Self::Wavelength => "wavelength",
        }
    }

    /// True for decibels of any reference.
    #[must_use]
    pub const fn is_decibel(self) -> bool {
        matches!(self, Self::Dbm | Self::Db | Self::Dbi)
    }

    /// The unit of a symbol; `None` where there is no such unit. Case matters: `mW` is not `MW`.
    #[must_use]
    pub fn of(symbol: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|u| u.as_str() == symbol)
    }

    /// What it measures.
    #[must_use]
    pub const fn kind(self) -> Kind {
        match self {
            Self::Dbm | Self::Watt | Self::Milliwatt => Kind::Power,
            Self::Db | Self::Dbi | Self::One | Self::Percent => Kind::Ratio,
            Self::Degree => Kind::Angle,
            Self::Wavelength => Kind::Length,
        }
    }

    /// The unit of a difference of two amounts in this unit: decibels for levels, otherwise the unit itself.
    #[must_use]
    pub const fn of_difference(self) -> Self {
        match self {
            Self::Dbm | Self::Db | Self::Dbi => Self::Db,
            other => other,
        }
    }
}

impl From<figure::Unit> for Symbol {
    fn from(unit: figure::Unit) -> Self {
        match unit {
            figure::Unit::Dbm => Self::Dbm,
            figure::Unit::Db => Self::Db,
            figure::Unit::Dbi => Self::Dbi,
            figure::Unit::Percent => Self::Percent,
        }
    }
}

impl fmt::Display for Symbol {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.as_str())
    }
}

/// A number with its unit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Amount {
    /// The number.
    pub value: f64,
    /// Its unit.
    pub unit: Symbol,
}

impl Amount {
    /// A number with its unit.
    #[must_use]
    pub const fn new(value: f64, unit: Symbol) -> Self {
        Self { value, unit }
    }

    /// The linear number: W for powers, a plain ratio for ratios, the number itself otherwise.
    #[must_use]
    pub fn linear(self) -> f64 {
        match self.unit {
            Symbol::Dbm => level::w_from_dbm(self.value),
            Symbol::Db | Symbol::Dbi => level::ratio_from_db(self.value),
            Symbol::Milliwatt => self.value * 1e-3,
            Symbol::Percent => self.value / 100.0,
            Symbol::Watt | Symbol::One | Symbol::Degree | Symbol::Wavelength => self.value,
        }
    }

    /// The number in another unit of the same kind; `None` across kinds. The same unit gives the same bits.
    #[must_use]
    pub fn number_in(self, unit: Symbol) -> Option<f64> {
        if self.unit == unit {
            return Some(self.value);
        }
        if self.unit.kind() != unit.kind() {
            return None;
        }
        let linear = self.linear();
        Some(match unit {
            Symbol::Dbm => level::dbm_from_w(linear),
            Symbol::Db | Symbol::Dbi => level::db_from_ratio(linear),
            Symbol::Milliwatt => linear / 1e-3,
            Symbol::Percent => linear * 100.0,
            Symbol::Watt | Symbol::One | Symbol::Degree | Symbol::Wavelength => linear,
        })
    }
}

impl fmt::Display for Amount {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {}", self.value, self.unit)
    }
}

/// A number as tables write it: digits, point, exponent. Neither `inf` nor `nan`, no leading `+`.
#[must_use]
pub fn number(text: &str) -> Option<f64> {
    let plain = text
        .bytes()
        .all(|b| b.is_ascii_digit() || matches!(b, b'.' | b'e' | b'E' | b'+' | b'-'));
    if !plain || text.starts_with('+') {
        return None;
    }
    text.parse().ok().filter(|v: &f64| v.is_finite())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn converts_within_a_kind_only() {
        // Definition: 0 dBm = 1 mW = 0.001 W, 100 % = 1 = 0 dB.
        let got = |value, from, to| Amount::new(value, from).number_in(to);
        assert_eq!(got(0.0, Symbol::Dbm, Symbol::Milliwatt), Some(1.0));
        assert_eq!(got(1.0, Symbol::Milliwatt, Symbol::Watt), Some(1e-3));
        assert_eq!(got(0.0, Symbol::Db, Symbol::Percent), Some(100.0));
        assert_eq!(got(0.3, Symbol::Dbm, Symbol::Dbm), Some(0.3));
        assert_eq!(got(0.0, Symbol::Dbm, Symbol::Db), None);
        assert_eq!(got(1.0, Symbol::One, Symbol::Degree), None);
    }

    #[test]
    fn numbers_are_plain() {
        for (text, want) in [
            ("1", 1.0),
            ("-2.5e-3", -2.5e-3),
            ("0.5", 0.5),
            ("1e+2", 100.0),
        ] {
            assert_eq!(number(text), Some(want));
        }
        for text in [
            "", "inf", "NaN", "+1", "1e999", "0x10", "1_000", "1,5", "--1", "e",
        ] {
            assert_eq!(number(text), None, "{text}");
        }
    }
}
