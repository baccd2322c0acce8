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
