//! Uncertainty: standard uncertainties in linear units, by where they come from, and the intervals that they give.

pub mod dwell;
pub mod ratio;

/// Probability with which an interval covers the true value.
pub const COVERAGE: f64 = 0.95;
/// Half-width of that interval over the standard uncertainty, for a normal distribution (closed form: the 0.975 quantile).
pub const COVERAGE_FACTOR: f64 = 1.959_963_984_540_054;
/// Decibels of a small relative change: 10/ln 10.
pub const DB_PER_UNIT: f64 = 4.342_944_819_032_518;
/// Above this relative uncertainty a figure in decibels has no standard uncertainty: the interval says what can be said.
pub const MOST_RELATIVE: f64 = 0.25;

/// Standard uncertainties of a value, in the value's own linear unit (W, ratio or 1/W). A part that is unknown is `None`, never 0.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
#[non_exhaustive]
pub struct Standard {
    /// Noise of the readings: independent from sample to sample.
    pub noise: Option<f64>,
    /// The noise floor's own uncertainty: the same for all samples of a polarisation.
    pub floor: Option<f64>,
    /// Filling of gaps.
    pub gaps: Option<f64>,
}

impl Standard {
    /// All parts together, as the root of the sum of squares; `None` where none is known.
    #[must_use]
    pub fn total(&self) -> Option<f64> {
        [self.noise, self.floor, self.gaps]
            .into_iter()
            .flatten()
            .reduce(libm::hypot)
    }

    /// Of a value that is this one times a factor.
    #[must_use]
    pub fn scaled(&self, factor: f64) -> Self {
        let by = |part: Option<f64>| part.map(|u| u * factor.abs());
        Self {
            noise: by(self.noise),
            floor: by(self.floor),
            gaps: by(self.gaps),
        }
    }
}

/// A standard uncertainty in decibels of a value, 4.343·u/value; `None` where u/value is not below a quarter.
#[must_use]
pub fn db(u: f64, value: f64) -> Option<f64> {
    (value > 0.0 && u < MOST_RELATIVE * value).then(|| DB_PER_UNIT * u / value)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn parts_add_up_as_squares() {
        let all = Standard {
            noise: Some(2.0),
            floor: Some(3.0),
            gaps: Some(6.0),
        };
        assert_eq!(all.total(), Some(7.0));
        let two = Standard {
            noise: None,
            ..Standard {
                floor: Some(8.0),
                ..all
            }
        };
        assert_eq!(two.total(), Some(10.0));
        assert_eq!(Standard::default().total(), None);
        // A factor has no sign here, and what is unknown stays so.
        let scaled = two.scaled(-0.5);
        assert_eq!(
            (scaled.noise, scaled.floor, scaled.gaps),
            (None, Some(4.0), Some(3.0))
        );
        assert_eq!(all.scaled(4.0).noise, Some(8.0));
    }

    #[test]
    fn decibels_end_at_a_quarter() {
        // 10/ln 10 dB of a relative change (closed form).
        let tenth = db(0.2, 2.0);
        assert!(tenth.is_some_and(|u| (u - 1.0 / core::f64::consts::LN_10).abs() < 1e-15));
        assert!(db(0.499, 2.0).is_some());
        assert_eq!(db(0.5, 2.0), None);
        assert_eq!(
            (db(0.1, 0.0), db(0.1, -2.0), db(-0.1, 0.0)),
            (None, None, None)
        );
        assert!((DB_PER_UNIT * core::f64::consts::LN_10 - 10.0).abs() < 1e-14);
    }
}
