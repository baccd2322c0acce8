//! Options of a reduction.

use crate::assemble::DEFAULT_SNAP_DEG;
use crate::correct::{Floor, RangeLoss};
use crate::error::{Error, Result};
use crate::figure::Given;
use crate::fill::Fill;
use crate::reduce::noise::NoiseOptions;
use crate::rule::{Edges, EdgesChoice, Rule, RuleChoice, half_with_clenshaw_curtis};
use crate::unit::level;

/// Options of a reduction. The defaults are what a laboratory would expect.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct ReduceOptions {
    /// Integration rule.
    pub rule: RuleChoice,
    /// Form of partial windows.
    pub edges: EdgesChoice,
    /// How gaps are filled.
    pub fill: Fill,
    /// Most of 4π that may be missing before sphere figures are refused, per cent.
    pub max_missing_percent: f64,
    /// Largest distance of a direction from the nominal axes, degrees.
    pub snap_deg: f64,
    /// Range loss of each polarisation.
    pub range: Option<RangeLoss>,
    /// Noise floor that is taken off.
    pub floor: Option<Floor>,
    /// What is asked about noise.
    pub noise: NoiseOptions,
    /// EIS at which links were lost whose level is unknown, dBm.
    pub eis_max_dbm: Option<f64>,
    /// Conducted power at the antenna port, dBm.
    pub conducted_power_dbm: Option<f64>,
    /// Power that the antenna accepts, dBm.
    pub accepted_power_dbm: Option<f64>,
    /// Diameter of the smallest sphere around all of the device that radiates, mm.
    pub device_size_mm: Option<f64>,
    /// Names of the figures wanted; `None`: all that apply.
    pub figures: Option<Vec<String>>,
}

impl Default for ReduceOptions {
    fn default() -> Self {
        Self {
            rule: RuleChoice::Auto,
            edges: EdgesChoice::Auto,
            fill: Fill::Auto,
            max_missing_percent: 10.0,
            snap_deg: DEFAULT_SNAP_DEG,
            range: None,
            floor: None,
            noise: NoiseOptions::default(),
            eis_max_dbm: None,
            conducted_power_dbm: None,
            accepted_power_dbm: None,
            device_size_mm: None,
            figures: None,
        }
    }
}

impl ReduceOptions {
    /// The powers that were given, linear.
    #[must_use]
    pub fn given(&self) -> Given {
        Given {
            conducted_power_w: self.conducted_power_dbm.map(level::w_from_dbm),
            accepted_power_w: self.accepted_power_dbm.map(level::w_from_dbm),
            device_size_m: self.device_size_mm.map(|mm| mm / 1000.0),
        }
    }

    /// Checks that the options do not contradict each other and that numbers are in range.
    ///
    /// # Errors
    /// Usage.
    pub fn check(&self) -> Result<()> {
        if self.rule == RuleChoice::Fixed(Rule::ClenshawCurtis)
            && self.edges == EdgesChoice::Fixed(Edges::Half)
        {
            return Err(half_with_clenshaw_curtis());
        }
        self.check_numbers()
    }

    /// Checks each option by itself.
    pub(super) fn check_numbers(&self) -> Result<()> {
        self.noise.check()?;
        if !(0.0..=100.0).contains(&self.max_missing_percent) {
            return Err(Error::usage(format!(
                "{} is no percentage of the sphere",
                self.max_missing_percent
            ))
            .hint("--max-missing runs from 0 to 100"));
        }
        for (name, value) in [
            ("--eis-max-dbm", self.eis_max_dbm),
            ("--conducted-power-dbm", self.conducted_power_dbm),
            ("--accepted-power-dbm", self.accepted_power_dbm),
        ] {
            if value.is_some_and(|v| !(-300.0..=300.0).contains(&v)) {
                return Err(Error::usage(format!(
                    "{name} is not a level between −300 and 300 dBm"
                )));
            }
        }
        if self
            .device_size_mm
            .is_some_and(|mm| !(mm > 0.0 && mm < 1e6))
        {
            return Err(Error::usage(
                "--device-size-mm is the diameter of the device, above 0 and below 1 km",
            ));
        }
        if self.figures.as_ref().is_some_and(Vec::is_empty) {
            return Err(Error::usage("no figure is asked for")
                .hint("name figures, or leave the option out"));
        }
        Ok(())
    }
}
