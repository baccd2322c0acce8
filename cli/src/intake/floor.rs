//! The noise floor as it is given: levels, a file of noise-only readings, or the word `estimated`.

use crate::args::{FileArg, NoiseArgs};
use crate::intake::Reader;
use spheresum_core::correct::{Floor, FloorSource, NoiseOnly};
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
        let Some(text) = &args.floor else {
            return Ok(None);
        };
        let mut parts = args.floor_parts();
        parts.check()?;
        let (source, input, findings) = match text.parse::<FloorSource>() {
            Ok(source) => (source, None, Vec::new()),
            // A file may be called anything; what has an equals sign or is a number was meant as levels.
            Err(error) if text.contains('=') || text.parse::<f64>().is_ok() => return Err(error),
            Err(_) => from_file(text, reader)?,
        };
        parts.source = Some(source);
        let Some(floor) = parts.build()? else {
            return Ok(None);
        };
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
