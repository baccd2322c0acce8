//! Units a heading may name, and what each is a unit of.

use crate::intake::text::time::TimeUnit;
use crate::unit::frequency::FrequencyUnit;

/// A unit, as a heading or a preamble names it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unit {
    /// Degrees.
    Deg,
    /// Radians.
    Rad,
    /// Hz … GHz.
    Frequency(FrequencyUnit),
    /// Decibels over a milliwatt.
    Dbm,
    /// Decibels over a watt.
    Dbw,
    /// Watts.
    W,
    /// Milliwatts.
    Mw,
    /// Microwatts.
    Uw,
    /// Decibels over the isotropic antenna.
    Dbi,
    /// Decibels: of a gain (then dBi) or of a loss.
    Db,
    /// A linear ratio.
    One,
    /// √W, of a field.
    SqrtW,
    /// V (rms), of a field times distance.
    Volt,
    /// Seconds and their kin.
    Time(TimeUnit),
}

/// Every spelling of a unit, in lower case.
const SPELLINGS: &[(&str, Unit)] = &[
    ("deg", Unit::Deg),
    ("degree", Unit::Deg),
    ("degrees", Unit::Deg),
    ("°", Unit::Deg),
    ("rad", Unit::Rad),
    ("radian", Unit::Rad),
    ("radians", Unit::Rad),
    ("hz", Unit::Frequency(FrequencyUnit::Hz)),
    ("khz", Unit::Frequency(FrequencyUnit::Khz)),
    ("mhz", Unit::Frequency(FrequencyUnit::Mhz)),
    ("ghz", Unit::Frequency(FrequencyUnit::Ghz)),
    ("dbm", Unit::Dbm),
    ("dbw", Unit::Dbw),
    ("w", Unit::W),
    ("mw", Unit::Mw),
    ("uw", Unit::Uw),
    ("µw", Unit::Uw),
    ("μw", Unit::Uw),
    ("dbi", Unit::Dbi),
    ("db", Unit::Db),
    ("lin", Unit::One),
    ("linear", Unit::One),
    ("1", Unit::One),
    ("sqrtw", Unit::SqrtW),
    ("sqrt(w)", Unit::SqrtW),
    ("√w", Unit::SqrtW),
    ("v", Unit::Volt),
    ("ms", Unit::Time(TimeUnit::Millisecond)),
    ("s", Unit::Time(TimeUnit::Second)),
    ("min", Unit::Time(TimeUnit::Minute)),
];

impl Unit {
    /// The unit a text names. Case does not matter, except that `MW` in brackets or alone is a megawatt and no unit here:
    /// see [`Unit::parse_exact`].
    pub fn parse(text: &str) -> Option<Self> {
        let lower = text.trim().to_lowercase();
        SPELLINGS.iter().find(|(s, _)| *s == lower).map(|(_, u)| *u)
    }

    /// As [`Unit::parse`], where the writer chose the case of the unit: `MW` is refused, `mW` is not.
    pub fn parse_exact(text: &str) -> Option<Self> {
        if text.trim() == "MW" {
            None
        } else {
            Self::parse(text)
        }
    }

    /// The spelling for messages.
    pub const fn symbol(self) -> &'static str {
        match self {
            Self::Deg => "deg",
            Self::Rad => "rad",
            Self::Frequency(unit) => unit.symbol(),
            Self::Dbm => "dBm",
            Self::Dbw => "dBW",
            Self::W => "W",
            Self::Mw => "mW",
            Self::Uw => "µW",
            Self::Dbi => "dBi",
            Self::Db => "dB",
            Self::One => "1",
            Self::SqrtW => "sqrtW",
            Self::Volt => "V",
            Self::Time(unit) => unit.symbol(),
        }
    }

    /// True for a unit of a value, not of an angle, a frequency or a time.
    pub const fn is_value(self) -> bool {
        !matches!(
            self,
            Self::Deg | Self::Rad | Self::Frequency(_) | Self::Time(_)
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_readme_lists_every_spelling() {
        let readme = include_str!("README.md").to_lowercase();
        for (spelling, _) in SPELLINGS {
            assert!(readme.contains(&format!("`{spelling}`")), "{spelling}");
        }
    }

    #[test]
    fn spellings() {
        assert_eq!(Unit::parse("dBm"), Some(Unit::Dbm));
        assert_eq!(
            Unit::parse(" GHZ "),
            Some(Unit::Frequency(FrequencyUnit::Ghz))
        );
        assert_eq!(Unit::parse("µW"), Some(Unit::Uw));
        assert_eq!(Unit::parse("furlong"), None);
        assert_eq!(Unit::parse_exact("MW"), None);
        assert_eq!(Unit::parse_exact("mW"), Some(Unit::Mw));
    }
}
