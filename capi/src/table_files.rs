//! Cases of tables on files: read with the caller's formats and reduced by options of these names.

use crate::file::{bytes_of, content};
use crate::formats::Inner as Formats;
use crate::options::{Inner as Options, Reading, reducing, remember};
use spheresum_core::reduce::{Reduction, prepare, reduce};
use spheresum_core::table::{Case, Files};
use spheresum_core::watch::Unwatched;
use spheresum_core::{Error, Limits, Place, Readings, Result};
use std::path::Path;

/// Reduces the files of a case. Paths count from `folder`, that of the table.
///
/// # Errors
/// Usage: an option that has no such name here. What reading and reducing give.
pub(crate) fn reduce_case(
    case: &Case,
    files: &Files,
    folder: &Path,
    formats: &Formats,
) -> Result<Reduction> {
    let limits = Limits::default();
    let read = |path: &Path, reading: Reading| {
        let name = path.to_string_lossy();
        content(
            formats,
            &name,
            bytes_of(&name, &limits)?,
            reading,
            &Unwatched,
        )
    };
    let mut options = Options::default();
    let beside = |value: &str| Some(folder.join(value)).filter(|path| path.is_file());
    let (mut range, mut floor) = (None, None);
    for (name, value) in &case.command_options {
        match (name.as_str(), beside(value)) {
            // What is no file beside the table was meant as numbers.
            ("range", Some(path)) => range = Some(path),
            ("floor", Some(path)) => floor = Some(path),
            _ => options.set(name, value)?,
        }
    }
    if let Some(path) = range {
        options.range_from(&read(&path, Reading::default())?)?;
    }
    if let Some(path) = floor {
        let file = read(&path, options.reading())?;
        options.floor_from(held(&file)?)?;
    }
    let (mut readings, mut findings, mut steps) = (Vec::new(), Vec::new(), Vec::new());
    for file in files.named()? {
        let file = read(&folder.join(&file.path), options.reading_of(&file))?;
        readings.push(held(&file)?.clone());
        findings.extend(file.findings.iter().cloned());
        steps.push(file.step);
    }
    let given = reducing(Some(&options))?;
    let mut prepared = prepare(&readings, &given, &limits)?;
    prepared.findings.splice(0..0, findings);
    prepared.history.splice(0..0, steps);
    remember(Some(&options), &mut prepared);
    reduce(prepared, &given)
}

/// The readings of a file.
fn held(file: &crate::file::Inner) -> Result<&Readings> {
    file.readings().map(AsRef::as_ref).ok_or_else(|| {
        Error::input("the file holds a curve against frequency, not readings over directions")
            .at(Place::in_source(&file.input.path))
    })
}
