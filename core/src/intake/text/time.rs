//! Times of rows: a number with a unit, or date and time after ISO 8601.

use crate::intake::text::number;

/// Unit of a column of times.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TimeUnit {
    /// Milliseconds.
    Millisecond,
    /// Seconds.
    Second,
    /// Minutes.
    Minute,
    /// The heading names none: date and time only.
    Unsaid,
}

impl TimeUnit {
    /// The spelling for messages.
    #[must_use]
    pub const fn symbol(self) -> &'static str {
        match self {
            Self::Millisecond => "ms",
            Self::Second => "s",
            Self::Minute => "min",
            Self::Unsaid => "",
        }
    }

    /// Seconds of a field: from the start of the column's clock for numbers, from 1970 for date and time (UTC where the text says
    /// how far it is from it, else as the clock on the wall, which is right within a file). `None` where it is neither.
    ///
    /// A time of day without its date is neither: it starts anew at midnight.
    #[must_use]
    pub fn seconds(self, text: &str, decimal: u8) -> Option<f64> {
        let text = text.trim();
        let Some(number) = number::whole(text, decimal) else {
            return date_and_time(text);
        };
        let seconds = match self {
            Self::Millisecond => number / 1e3,
            Self::Second => number,
            Self::Minute => number * 60.0,
            Self::Unsaid => return None,
        };
        seconds.is_finite().then_some(seconds)
    }
}

fn date_and_time(text: &str) -> Option<f64> {
    // A date alone is midnight to the library, and no time of a reading.
    if !text.contains(':') {
        return None;
    }
    let instant = text.parse::<jiff::Timestamp>().ok().or_else(|| {
        let civil: jiff::civil::DateTime = text.parse().ok()?;
        Some(civil.to_zoned(jiff::tz::TimeZone::UTC).ok()?.timestamp())
    })?;
    Some(instant.as_duration().as_secs_f64())
}

#[cfg(test)]
mod tests {
    use super::TimeUnit::{self, Millisecond, Minute, Second, Unsaid};

    /// Seconds since 1970 by Python 3, `datetime(...).timestamp()`.
    #[test]
    fn numbers_and_dates() {
        for (unit, text, seconds) in [
            (Second, "12.5", Some(12.5)),
            (Second, " -3 ", Some(-3.0)),
            (Millisecond, "1500", Some(1.5)),
            (Minute, "1.5", Some(90.0)),
            (Unsaid, "12.5", None),
            (Second, "nan", None),
            (Second, "1e400", None),
            (Minute, "1.7e308", None),
            (Unsaid, "1970-01-01T00:01:00Z", Some(60.0)),
            (Unsaid, "2031-05-07T14:03:21.25Z", Some(1_935_929_001.25)),
            (Unsaid, "2031-05-07 14:03:21.25", Some(1_935_929_001.25)),
            (
                Unsaid,
                "2031-05-07T16:03:21.25+02:00",
                Some(1_935_929_001.25),
            ),
            (Second, "2031-05-07T14:03", Some(1_935_928_980.0)),
            (Unsaid, "14:03:21", None),
            (Unsaid, "2031-05-07", None),
            (Unsaid, "07.05.2031 14:03:21", None),
            (Unsaid, "", None),
        ] {
            let unit: TimeUnit = unit;
            assert_eq!(unit.seconds(text, b'.'), seconds, "{text}");
        }
        assert_eq!(Second.seconds("1,5", b','), Some(1.5));
    }
}
