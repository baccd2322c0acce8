//! The range loss as it is given: two numbers, or a file.

use crate::args::FileArg;
use crate::intake::Reader;
use spheresum_core::correct::RangeLoss;
use spheresum_core::document::Input;
use spheresum_core::finding::Finding;
use spheresum_core::intake::ReadOptions;
use spheresum_core::reduce::Prepared;
use spheresum_core::{Error, Group, Place, Result};
use std::path::PathBuf;

/// A range loss, with the file it came from.
pub struct Range {
    /// The loss.
    pub loss: RangeLoss,
    /// Its file.
    pub input: Option<Input>,
    findings: Vec<Finding>,
}

impl Range {
    /// From `theta=DB,phi=DB`, or from a file.
    ///
    /// # Errors
    /// Usage: numbers that are no loss. What reading the file gives; Input: a file without losses.
    pub fn parse(text: &str, reader: &Reader) -> Result<Self> {
        let start = text.trim_start();
        if start.starts_with("theta=") || start.starts_with("phi=") {
            return Ok(Self {
                loss: text.parse()?,
                input: None,
                findings: Vec::new(),
            });
        }
        let file = FileArg::plain(PathBuf::from(text));
        let loaded = match reader.read(&file, None, &ReadOptions::default()) {
            // What settles the readings' signs settles the losses' too, where their own text leaves them open.
            Err(error) if error.group() == Group::Ambiguous && !signs(reader).named.is_empty() => {
                reader.read(&file, None, &signs(reader))?
            }
            other => other?,
        };
        let Some(curve) = loaded.intake.curve else {
            return Err(Error::input(
                "the file holds readings over directions, not the range loss against frequency",
            )
            .hint("a range-loss file has the columns frequency_mhz,loss_theta_db,loss_phi_db")
            .at(Place::in_source(&loaded.input.path)));
        };
        Ok(Self {
            loss: RangeLoss::curve(curve)?,
            input: Some(loaded.input),
            findings: loaded.intake.findings,
        })
    }

    /// Puts what is known of the file into a run's findings and history.
    pub fn remember(&self, run: &mut Prepared) {
        run.findings.extend(self.findings.iter().cloned());
        let step = run.history.iter_mut().find(|s| s.step == "range");
        if let (Some(step), Some(input)) = (step, &self.input) {
            step.note(format!("{}: sha256 {}", input.path, input.sha256));
        }
    }
}

fn signs(reader: &Reader) -> ReadOptions {
    let mut options = ReadOptions::default();
    options.named = reader.named().clone();
    options
        .named
        .retain(|name, _| name == "separator" || name == "decimal");
    options
}
