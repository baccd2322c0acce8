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
    /// Usage: a threshold that is not above zero.
    pub(in crate::reduce) fn check(&self) -> Result<()> {
        for (name, value) in [
            ("--noise-clear", Some(self.clear_db)),
            ("--noise-limit", Some(self.limit_db)),
            ("--target-uncertainty", Some(self.target_db)),
            ("--sweep-minutes", self.sweep_min),
        ] {
            if value.is_some_and(|v| !(v > 0.0 && v < 1e6)) {
                return Err(Error::usage(format!("{name} is not above zero")));
            }
        }
        Ok(())
    }
}
