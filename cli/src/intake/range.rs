//! The range loss as it is given: two numbers, or a file.

use crate::args::{FileArg, ReducingArgs};
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
    /// How its paths were named.
    path: Option<String>,
    findings: Vec<Finding>,
}

impl Range {
    /// The range loss that the options give, if any.
    ///
    /// # Errors
    /// As [`Range::parse`].
    pub fn of(options: &ReducingArgs, reader: &Reader) -> Result<Option<Self>> {
        let path = options.range_path.as_deref();
        let range = options.range.as_deref();
        range.map(|r| Self::parse(r, path, reader)).transpose()
    }

    /// From `theta=DB,phi=DB`, or from a file, with the paths of the polarisations where the file holds transfers.
    ///
    /// # Errors
    /// Usage: numbers that are no loss. What reading the file gives; Input: a file without losses.
    fn parse(text: &str, path: Option<&str>, reader: &Reader) -> Result<Self> {
        let start = text.trim_start();
        if start.starts_with("theta=") || start.starts_with("phi=") {
            if path.is_some() {
                return Err(Error::usage(
                    "--range-path names paths in a file, and --range gives numbers",
                )
                .hint("leave out --range-path, or give the file with --range FILE"));
            }
            return Ok(Self {
                loss: text.parse()?,
                input: None,
                path: None,
                findings: Vec::new(),
            });
        }
        let options = path.map_or_else(|| Ok(ReadOptions::default()), named)?;
        let file = FileArg::plain(PathBuf::from(text));
        let loaded = match reader.read(&file, None, &options) {
            // What settles the readings' signs settles the losses' too, where their own text leaves them open.
            Err(error)
                if error.group() == Group::Ambiguous
                    && path.is_none()
                    && !signs(reader).named.is_empty() =>
            {
                reader.read(&file, None, &signs(reader))?
            }
            other => other.map_err(ports_in_path)?,
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
            path: path.map(ToString::to_string),
            findings: loaded.intake.findings,
        })
    }

    /// Puts what is known of the file into a run's findings and history.
    pub fn remember(&self, run: &mut Prepared) {
        run.findings.extend(self.findings.iter().cloned());
        let step = run.history.iter_mut().find(|s| s.step == "range");
        if let (Some(step), Some(input)) = (step, &self.input) {
            if let Some(path) = &self.path {
                step.options.insert("range-path".to_string(), path.clone());
            }
            step.note(format!("{}: sha256 {}", input.path, input.sha256));
        }
    }
}

/// Where an option of a range file is typed: `--ports` is for the readings.
fn ports_in_path(error: Error) -> Error {
    if error.advice().is_some_and(|a| a.contains("option ports")) {
        error.hint(
            "say how many ports there are in --range-path, behind the paths, by the name ports",
        )
    } else {
        error
    }
}

/// Options by name for the adapter of the range file, from `NAME=VALUE,…`.
fn named(text: &str) -> Result<ReadOptions> {
    let mut options = ReadOptions::default();
    for part in text.split(',') {
        let wrong = || {
            Error::usage(format!("{text:?} names no paths"))
                .hint("write --range-path theta=S21,phi=S31, each name once")
        };
        let (name, value) = part.split_once('=').ok_or_else(wrong)?;
        let (name, value) = (name.trim().to_string(), value.trim().to_string());
        if options.named.insert(name, value).is_some() {
            return Err(wrong());
        }
    }
    Ok(options)
}

fn signs(reader: &Reader) -> ReadOptions {
    let mut options = ReadOptions::default();
    options.named = reader.named().clone();
    options
        .named
        .retain(|name, _| name == "separator" || name == "decimal");
    options
}
