//! What is said of a noise floor, piece by piece and in any order, before it is one.

use crate::correct::floor::{Floor, FloorSource};
use crate::correct::noise::{Detector, Signal};
use crate::error::{Error, Result};

/// What is said of a noise floor, piece by piece and in any order, before it is one.
#[derive(Clone, Debug, Default, PartialEq)]
#[non_exhaustive]
pub struct FloorParts {
    /// Where it comes from.
    pub source: Option<FloorSource>,
    /// What the receiver averages.
    pub detector: Option<Detector>,
    /// What the device sends; a wave unless it is said.
    pub signal: Option<Signal>,
    /// Independent averages in a reading of the measurement.
    pub averages: Option<f64>,
    /// Independent averages in a floor that is given as levels.
    pub floor_averages: Option<f64>,
}

impl FloorParts {
    /// Checks the numbers of averages.
    ///
    /// # Errors
    /// Usage: one that is none, from 1 to 10¹².
    pub fn check(&self) -> Result<()> {
        for (name, value) in [
            ("--averages", self.averages),
            ("--floor-averages", self.floor_averages),
        ] {
            if value.is_some_and(|n| !(1.0..=1e12).contains(&n)) {
                return Err(Error::usage(format!("{name} is no number of averages"))
                    .hint("give the number of independent averages, 1 or more"));
            }
        }
        Ok(())
    }

    /// The floor; `None` where nothing was said of one.
    ///
    /// # Errors
    /// Usage: a floor without detector; something else without a floor; averages of a floor that is not given as levels; those of
    /// [`FloorParts::check`].
    pub fn build(self) -> Result<Option<Floor>> {
        self.check()?;
        let Some(mut source) = self.source else {
            let said = [
                ("detector", self.detector.is_some()),
                ("signal", self.signal.is_some()),
                ("averages", self.averages.is_some()),
                ("floor-averages", self.floor_averages.is_some()),
            ];
            let said = said.into_iter().find(|s| s.1);
            return said.map_or(Ok(None), |(name, _)| Err(without_floor(name)));
        };
        let Some(detector) = self.detector else {
            return Err(
                Error::usage("a noise floor is given, and not what the receiver averages")
                    .hint("give --detector rms (power) or --detector log (decibels)"),
            );
        };
        match (&mut source, self.floor_averages) {
            (FloorSource::Levels { averages, .. }, given) => *averages = given.or(*averages),
            (_, Some(_)) => {
                return Err(Error::usage("--floor-averages is for a floor that is given as levels")
                    .hint("leave it out; a line `# averages: N` in the file of noise-only readings says it"));
            }
            _ => {}
        }
        let signal = self.signal.unwrap_or(Signal::Cw);
        Ok(Some(
            Floor::new(source, detector, signal).with_averages(self.averages),
        ))
    }
}

/// The error of an option that says something of a floor, where there is none.
pub(crate) fn without_floor(name: &str) -> Error {
    Error::usage(format!("--{name} is about noise, and no floor is given"))
        .hint(format!("give --floor, or leave out --{name}"))
}
