//! What is asked about noise.

use crate::error::{Error, Result};

/// What is asked about noise.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct NoiseOptions {
    /// Largest raw bias of a run that is `clear`, dB.
    pub clear_db: f64,
    /// Largest half-width of the interval of a run that is not `noise-limited`, dB.
    pub limit_db: f64,
    /// Standard uncertainty by noise that a slower sweep should reach, dB.
    pub target_db: f64,
    /// What the present sweep takes, minutes.
    pub sweep_min: Option<f64>,
}

impl Default for NoiseOptions {
    /// 0.1 dB, 1 dB, 0.25 dB, and no time.
    fn default() -> Self {
        Self {
            clear_db: 0.1,
            limit_db: 1.0,
            target_db: 0.25,
            sweep_min: None,
        }
    }
}

impl NoiseOptions {
    /// # Errors
    /// Usage: a threshold, a target or a time that is nothing of its kind.
    pub(in crate::reduce) fn check(&self) -> Result<()> {
        // Below a thousandth of a decibel nothing is told apart, beyond a hundred nothing is left.
        let decibels = (0.001, 100.0, "dB");
        for (name, value, (least, most, unit)) in [
            ("--noise-clear", Some(self.clear_db), decibels),
            ("--noise-limit", Some(self.limit_db), decibels),
            ("--target-uncertainty", Some(self.target_db), decibels),
            ("--sweep-minutes", self.sweep_min, (0.001, 1e6, "minutes")),
        ] {
            if value.is_some_and(|v| !(least..=most).contains(&v)) {
                return Err(Error::usage(format!(
                    "{name} lies outside of {least} to {most} {unit}"
                )));
            }
        }
        Ok(())
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn thresholds_lie_within_what_can_be_told() {
        let standard = NoiseOptions::default();
        assert_eq!((standard.clear_db, standard.limit_db), (0.1, 1.0));
        assert_eq!((standard.target_db, standard.sweep_min), (0.25, None));
        type Set = fn(&mut NoiseOptions, f64);
        let names: [(&str, Set, f64, &str); 4] = [
            ("--noise-clear", |o, v| o.clear_db = v, 100.0, "100 dB"),
            ("--noise-limit", |o, v| o.limit_db = v, 100.0, "100 dB"),
            (
                "--target-uncertainty",
                |o, v| o.target_db = v,
                100.0,
                "100 dB",
            ),
            (
                "--sweep-minutes",
                |o, v| o.sweep_min = Some(v),
                1e6,
                "1000000 minutes",
            ),
        ];
        for (name, set, most, said) in names {
            let check = |value| {
                let mut options = standard;
                set(&mut options, value);
                options.check()
            };
            assert!(check(0.001).is_ok() && check(most).is_ok(), "{name}");
            for value in [0.000_999, -1.0, most * 1.001, f64::NAN] {
                let error = check(value).unwrap_err();
                assert_eq!(
                    error.message(),
                    format!("{name} lies outside of 0.001 to {said}")
                );
            }
        }
    }
}
