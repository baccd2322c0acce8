//! Frequencies, held exactly.

use std::fmt;

/// Microhertz in one hertz.
const MICROHERTZ_PER_HZ: u64 = 1_000_000;

/// A frequency in whole microhertz.
///
/// Texts are parsed as exact decimals and rounded to one microhertz, so that `868.3` MHz, `0.8683` GHz and a
/// read-back of `868.3000000000001` MHz are one channel.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Frequency {
    microhertz: u64,
}

/// Units a frequency may be written in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FrequencyUnit {
    /// Hertz.
    Hz,
    /// 10³ hertz.
    Khz,
    /// 10⁶ hertz.
    Mhz,
    /// 10⁹ hertz.
    Ghz,
}

impl FrequencyUnit {
    /// Power of ten that turns this unit into microhertz.
    const fn exponent(self) -> i32 {
        match self {
            Self::Hz => 6,
            Self::Khz => 9,
            Self::Mhz => 12,
            Self::Ghz => 15,
        }
    }

    /// The unit's symbol.
    #[must_use]
    pub const fn symbol(self) -> &'static str {
        match self {
            Self::Hz => "Hz",
            Self::Khz => "kHz",
            Self::Mhz => "MHz",
            Self::Ghz => "GHz",
        }
    }
}

impl Frequency {
    /// From hertz, rounded to one microhertz. `None` unless finite, above zero and below 18.4 THz.
    #[must_use]
    pub fn from_hz(hz: f64) -> Option<Self> {
        // The shortest decimal that reads back as `hz` is what its writer meant.
        Self::parse(&format!("{hz}"), FrequencyUnit::Hz)
    }

    /// In hertz, the nearest double.
    #[must_use]
    pub fn hz(self) -> f64 {
        self.microhertz as f64 / MICROHERTZ_PER_HZ as f64
    }

    /// In whole microhertz, exact.
    #[must_use]
    pub const fn microhertz(self) -> u64 {
        self.microhertz
    }

    /// In megahertz, the nearest double.
    #[must_use]
    pub fn mhz(self) -> f64 {
        self.microhertz as f64 / (MICROHERTZ_PER_HZ as f64 * 1e6)
    }

    /// Reads an exact decimal with a point, such as `868.3` or `8.683e2`. `None` where it is not a number, not above
    /// zero, or beyond 18.4 THz.
    #[must_use]
    pub fn parse(text: &str, unit: FrequencyUnit) -> Option<Self> {
        let text = text.strip_prefix('+').unwrap_or(text);
        let (mantissa, exponent) = match text.find(['e', 'E']) {
            Some(at) => (&text[..at], text[at + 1..].parse::<i32>().ok()?),
            None => (text, 0),
        };
        let (whole, fraction) = mantissa.split_once('.').unwrap_or((mantissa, ""));
        let all_digits = |t: &str| t.bytes().all(|b| b.is_ascii_digit());
        if (whole.is_empty() && fraction.is_empty()) || !all_digits(whole) || !all_digits(fraction)
        {
            return None;
        }
        // Value = digits · 10^shift microhertz.
        let shift = exponent
            .checked_add(unit.exponent())?
            .checked_sub(i32::try_from(fraction.len()).ok()?)?;
        let digits: Vec<u8> = whole
            .bytes()
            .chain(fraction.bytes())
            .map(|b| b - b'0')
            .collect();
        let kept = if shift < 0 {
            digits
                .len()
                .checked_sub(usize::try_from(-i64::from(shift)).ok()?)
        } else {
            Some(digits.len())
        }?;
        let mut value: u64 = 0;
        for digit in &digits[..kept] {
            value = value.checked_mul(10)?.checked_add(u64::from(*digit))?;
        }
        if value > 0 {
            for _ in 0..shift.max(0) {
                value = value.checked_mul(10)?;
            }
        }
        if digits.get(kept).is_some_and(|d| *d >= 5) {
            value = value.checked_add(1)?;
        }
        (value > 0).then_some(Self { microhertz: value })
    }
}

impl fmt::Display for Frequency {
    /// In megahertz with the unit, such as `868.3 MHz`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} MHz", self.mhz())
    }
}

#[cfg(feature = "serde")]
impl serde::Serialize for Frequency {
    /// As a number of hertz.
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_f64(self.hz())
    }
}

#[cfg(feature = "serde")]
impl<'de> serde::Deserialize<'de> for Frequency {
    fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let hz = f64::deserialize(deserializer)?;
        Self::from_hz(hz).ok_or_else(|| {
            serde::de::Error::custom("a frequency in hertz is above 0 and below 1.84e13")
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_channel_however_it_is_written() {
        let mhz = Frequency::parse("868.3", FrequencyUnit::Mhz);
        assert!(mhz.is_some());
        for (text, unit) in [
            ("868300000", FrequencyUnit::Hz),
            ("868300.000", FrequencyUnit::Khz),
            ("0.8683", FrequencyUnit::Ghz),
            ("8.683e2", FrequencyUnit::Mhz),
            ("868.3000000000001", FrequencyUnit::Mhz),
            ("+868.30", FrequencyUnit::Mhz),
        ] {
            assert_eq!(Frequency::parse(text, unit), mhz, "{text}");
        }
        assert_eq!(mhz.map(Frequency::hz), Some(868_300_000.0));
        assert_eq!(mhz.map(Frequency::microhertz), Some(868_300_000_000_000));
        assert_eq!(mhz.map(Frequency::mhz), Some(868.3));
        assert_eq!(Frequency::from_hz(868_300_000.0), mhz);
    }

    #[test]
    fn refuses_what_is_no_frequency() {
        for text in [
            "",
            ".",
            "-1",
            "nan",
            "inf",
            "1e400",
            "0",
            "0.0000000001",
            "8,5",
            "1e",
            "99999999999999999999",
        ] {
            assert_eq!(Frequency::parse(text, FrequencyUnit::Hz), None, "{text}");
        }
        assert_eq!(Frequency::from_hz(f64::NAN), None);
        assert_eq!(Frequency::from_hz(f64::INFINITY), None);
    }
}
