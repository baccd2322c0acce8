//! Options about the noise floor.

use super::by_its_parser;
use clap::Args;
use spheresum_core::correct::{Detector, FloorParts, Signal};
use spheresum_core::reduce::NoiseOptions;

/// What is known of the noise, and what is asked about it.
#[derive(Debug, Args)]
#[command(next_help_heading = "Noise")]
pub struct NoiseArgs {
    /// Noise floor that is taken off: a file of readings taken while the device was silent, a level in dBm of both polarisations or one each, in the
    /// quantity of the readings; estimated takes the lowest readings, which are an upper limit.
    #[arg(
        long,
        value_name = "FILE|DBM|theta=DBM,phi=DBM|estimated",
        allow_hyphen_values = true,
        requires = "detector"
    )]
    pub floor: Option<String>,
    /// What the receiver averages: rms (power) or log (decibels, as a log or video average does).
    #[arg(long, value_name = "DETECTOR", value_parser = by_its_parser::<Detector>, requires = "floor")]
    pub detector: Option<Detector>,
    /// What the device sends: cw (a wave, narrow in the receiver's bandwidth) or noise-like; cw unless given.
    #[arg(long, value_name = "SIGNAL", value_parser = by_its_parser::<Signal>, requires = "floor")]
    pub signal: Option<Signal>,
    /// Independent averages in each reading, of every run; a line `# averages: N` in a file says it for that file.
    #[arg(
        long,
        value_name = "N",
        allow_negative_numbers = true,
        requires = "floor"
    )]
    pub averages: Option<f64>,
    /// Independent averages in a floor that is given as levels.
    #[arg(
        long,
        value_name = "N",
        allow_negative_numbers = true,
        requires = "floor"
    )]
    pub floor_averages: Option<f64>,
    /// Largest raw bias of a run that is clear of noise, dB; 0.1 unless given.
    #[arg(
        long,
        value_name = "DB",
        allow_negative_numbers = true,
        requires = "floor"
    )]
    pub noise_clear: Option<f64>,
    /// Largest half-width of the 95 % interval of a run that noise does not limit, dB; 1 unless given.
    #[arg(
        long,
        value_name = "DB",
        allow_negative_numbers = true,
        requires = "floor"
    )]
    pub noise_limit: Option<f64>,
    /// Standard uncertainty by noise that a slower sweep should reach, dB; 0.25 unless given.
    #[arg(
        long,
        value_name = "DB",
        allow_negative_numbers = true,
        requires = "floor"
    )]
    pub target_uncertainty: Option<f64>,
    /// What the present sweep takes, minutes: then the time of the slower one is told.
    #[arg(
        long,
        value_name = "MINUTES",
        allow_negative_numbers = true,
        requires = "floor"
    )]
    pub sweep_minutes: Option<f64>,
}

impl NoiseArgs {
    /// What is said of the floor, but for the floor itself.
    #[must_use]
    pub fn floor_parts(&self) -> FloorParts {
        let mut parts = FloorParts::default();
        parts.detector = self.detector;
        parts.signal = self.signal;
        parts.averages = self.averages;
        parts.floor_averages = self.floor_averages;
        parts
    }

    /// What is asked about noise.
    #[must_use]
    pub fn options(&self) -> NoiseOptions {
        let mut options = NoiseOptions::default();
        options.clear_db = self.noise_clear.unwrap_or(options.clear_db);
        options.limit_db = self.noise_limit.unwrap_or(options.limit_db);
        options.target_db = self.target_uncertainty.unwrap_or(options.target_db);
        options.sweep_min = self.sweep_minutes;
        options
    }
}
