//! Interval and standard uncertainty of a figure, from those of its linear value.

use crate::figure::{Figure, UncertaintyParts, Unit};
use crate::uncertainty::{COVERAGE, COVERAGE_FACTOR, Standard, db};
use crate::unit::level;

impl Figure {
    /// With interval and uncertainty of a linear value. The interval is built in linear units and converted last: an end that is
    /// not above zero is left out.
    #[must_use]
    pub fn uncertain(self, linear: f64, standard: &Standard) -> Self {
        let unit = self.unit;
        self.with_interval(linear, standard, |low, high| {
            let convert = |x: f64| (x > 0.0).then(|| unit.of_linear(x));
            (convert(low), convert(high))
        })
    }

    /// Likewise, of a sensitivity from what integrates (1/W): the ends change places.
    #[must_use]
    pub fn uncertain_reciprocal(self, inverse: f64, standard: &Standard) -> Self {
        self.with_interval(inverse, standard, |low, high| {
            let convert = |x: f64| (x > 0.0).then(|| level::dbm_from_w(1.0 / x));
            (convert(high), convert(low))
        })
    }

    fn with_interval(
        mut self,
        linear: f64,
        standard: &Standard,
        ends: impl Fn(f64, f64) -> (Option<f64>, Option<f64>),
    ) -> Self {
        let Some(u) = standard.total() else {
            return self;
        };
        let half = COVERAGE_FACTOR * u;
        (self.interval_lower, self.interval_upper) = ends(linear - half, linear + half);
        self.coverage = Some(COVERAGE);
        if self.unit != Unit::Percent {
            self.standard_uncertainty_db = db(u, linear);
            self.uncertainty_parts = parts_db(standard, linear);
        }
        self
    }
}

/// The parts in decibels of a value; all unknown where the value is too uncertain for that, or not above zero.
fn parts_db(standard: &Standard, value: f64) -> UncertaintyParts {
    let known = |u: Option<f64>| u.and_then(|u| db(u, value));
    let noise = match (standard.noise, standard.floor) {
        (Some(noise), Some(floor)) => Some(libm::hypot(noise, floor)),
        (one, other) => one.or(other),
    };
    let mut parts = UncertaintyParts::default();
    if standard.total().is_some_and(|u| db(u, value).is_some()) {
        parts.noise = known(noise);
        parts.gaps = known(standard.gaps);
    }
    parts
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    fn standard(noise: f64, floor: f64) -> Standard {
        Standard {
            noise: Some(noise),
            floor: Some(floor),
            gaps: None,
        }
    }

    #[test]
    fn intervals_are_built_in_watts() {
        // Closed form: 1 mW ± 1.96 · 0.1 mW.
        let figure = Figure::from_linear("trp", Unit::Dbm, 1e-3, None, None)
            .uncertain(1e-3, &standard(0.6e-4, 0.8e-4));
        let near = |found: Option<f64>, wanted: f64| (found.unwrap() - wanted).abs() < 1e-4;
        assert!(near(figure.interval_lower, -0.94742));
        assert!(near(figure.interval_upper, 0.77729));
        assert!(near(
            figure.standard_uncertainty_db,
            std::f64::consts::LOG10_E
        ));
        assert!(near(
            figure.uncertainty_parts.noise,
            std::f64::consts::LOG10_E
        ));
        assert_eq!(figure.uncertainty_parts.gaps, None);
        assert_eq!(figure.coverage, Some(0.95));
    }

    #[test]
    fn an_end_below_zero_is_left_out() {
        let figure = Figure::from_linear("trp", Unit::Dbm, 1e-3, None, None)
            .uncertain(1e-3, &standard(0.6e-3, 0.8e-3));
        assert_eq!(figure.interval_lower, None);
        assert!((figure.interval_upper.unwrap() - 4.7129).abs() < 1e-4);
        assert_eq!(figure.standard_uncertainty_db, None);
        let nothing = Figure::from_linear("trp", Unit::Dbm, -1e-3, None, None);
        let figure = nothing.clone().uncertain(-1e-3, &standard(0.3e-3, 0.4e-3));
        assert_eq!((figure.interval_lower, figure.interval_upper), (None, None));
        assert_eq!(
            nothing.clone().uncertain(-1e-3, &Standard::default()),
            nothing
        );
    }

    #[test]
    fn ends_of_a_sensitivity_change_places() {
        let figure = Figure::from_reciprocal("tis", 1e12, None, None)
            .uncertain_reciprocal(1e12, &standard(1e11, 0.0));
        assert!(figure.interval_lower.unwrap() < figure.value.unwrap());
        assert!(figure.interval_upper.unwrap() > figure.value.unwrap());
    }
}
