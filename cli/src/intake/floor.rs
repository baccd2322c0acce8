//! The noise floor as it is given: levels, a file of noise-only readings, or the word `estimated`.

use crate::args::{FileArg, NoiseArgs};
use crate::intake::Reader;
use spheresum_core::correct::{Floor, FloorSource, NoiseOnly, Signal};
use spheresum_core::document::Input;
use spheresum_core::finding::Finding;
use spheresum_core::reduce::Prepared;
use spheresum_core::{Error, Place, Result};
use std::path::PathBuf;

/// A noise floor, with the file it came from.
pub struct GivenFloor {
    /// The floor.
    pub floor: Floor,
    input: Option<Input>,
    findings: Vec<Finding>,
}

impl GivenFloor {
    /// The floor that the options give, if any.
    ///
    /// # Errors
    /// Usage: text that is neither a floor nor a file; averages that are no number. What reading the file gives.
    pub fn of(args: &NoiseArgs, reader: &Reader) -> Result<Option<Self>> {
        let (Some(text), Some(detector)) = (&args.floor, args.detector) else {
            return Ok(None);
        };
        for (name, value) in [
            ("--averages", args.averages),
            ("--floor-averages", args.floor_averages),
        ] {
            if value.is_some_and(|n| !(1.0..=1e12).contains(&n)) {
                return Err(Error::usage(format!("{name} is no number of averages"))
                    .hint("give the number of independent averages, 1 or more"));
            }
        }
        let (mut source, input, findings) = match text.parse::<FloorSource>() {
            Ok(source) => (source, None, Vec::new()),
            // A file may be called anything; what has an equals sign or is a number was meant as levels.
            Err(error) if text.contains('=') || text.parse::<f64>().is_ok() => return Err(error),
            Err(_) => from_file(text, reader)?,
        };
        match (&mut source, args.floor_averages) {
            (FloorSource::Levels { averages, .. }, given) => *averages = given,
            (_, Some(_)) => {
                return Err(Error::usage("--floor-averages is for a floor that is given as levels")
                    .hint("leave it out; a line `# averages: N` in the file of noise-only readings says it"));
            }
            _ => {}
        }
        let signal = args.signal.unwrap_or(Signal::Cw);
        let floor = Floor::new(source, detector, signal).with_averages(args.averages);
        Ok(Some(Self {
            floor,
            input,
            findings,
        }))
    }

    /// Puts what is known of the file into a run's findings and history.
    pub fn remember(&self, run: &mut Prepared) {
        run.findings.extend(self.findings.iter().cloned());
        let step = run.history.iter_mut().find(|s| s.step == "floor");
        if let (Some(step), Some(input)) = (step, &self.input) {
            step.note(format!("{}: sha256 {}", input.path, input.sha256));
        }
    }
}

fn from_file(text: &str, reader: &Reader) -> Result<(FloorSource, Option<Input>, Vec<Finding>)> {
    let file = FileArg::plain(PathBuf::from(text));
    let loaded = reader.read(&file, reader.forced(), &reader.plain_options())?;
    let Some(readings) = loaded.intake.readings else {
        return Err(Error::input("the file holds values against frequency, not noise-only readings")
            .hint("give readings in the same columns as the measurement's, taken while the device was silent")
            .at(Place::in_source(&loaded.input.path)));
    };
    let noise = NoiseOnly::of(&readings)?;
    let source = FloorSource::Readings(Box::new(noise));
    Ok((source, Some(loaded.input), loaded.intake.findings))
}
