//! `check --write-skeleton`: a table to start from.

use super::fail;
use super::reduce::reduce_runs;
use super::table_files::written_from;
use crate::args::{CheckArgs, FileArg, RunArg};
use crate::failure::{Failure, print_all};
use crate::intake::RunPlan;
use crate::output;
use crate::status::Status;
use spheresum_core::table::{Skeleton, SkeletonCase};
use spheresum_core::{Error, Result};
use std::path::{Path, PathBuf};

/// Runs the command.
pub fn run(args: &CheckArgs) -> Status {
    match table(args) {
        Ok(text) => match output::write(&text, args.output.output.as_deref()) {
            Ok(()) => Status::DONE,
            Err(error) => fail([error]),
        },
        Err(failures) => print_all(&failures),
    }
}

/// The text of the table. Nothing is written where a run fails.
fn table(args: &CheckArgs) -> std::result::Result<String, Vec<Failure>> {
    let one = |error: Error| vec![Failure::from(error)];
    let output = args.output.output.as_deref();
    let (mut files, mut runs) = (Vec::new(), Vec::new());
    for text in &args.write_skeleton {
        match text.parse::<RunArg>() {
            Ok(run) if !Path::new(text).is_file() => runs.push(run),
            Err(_) if !Path::new(text).is_file() && text.contains(['@', ',']) => {
                let error = Error::usage(format!("{text:?} is no file"))
                    .hint("a run of several files, or with @theta behind a file, has a name: NAME=FILE@theta,FILE@phi");
                return Err(one(error));
            }
            _ => files.push(PathBuf::from(text)),
        }
    }
    let of_runs = runs.iter().flat_map(|r| &r.files).map(|f| &f.path);
    let all: Vec<PathBuf> = files.iter().chain(of_runs).cloned().collect();
    args.reading
        .spare_inputs(&all, args.reducing.corrections(), output)
        .map_err(one)?;
    let folder = output.and_then(Path::parent).unwrap_or(Path::new(""));
    let mut typed = args.typed.clone();
    let layouts = &args.reading.layouts;
    if let (None, Some(of_environment)) = (&layouts.folder, layouts.folder()) {
        // The table has to pass where the variable is not set.
        typed.push((
            "layouts".to_string(),
            of_environment.to_string_lossy().into_owned(),
        ));
    }
    let options = options(&typed, folder).map_err(one)?;
    let plans = RunPlan::list(&files, &runs).map_err(one)?;
    let named = names(&plans, folder).map_err(one)?;
    let reduced = reduce_runs(plans, &args.reading, &args.reducing).map_err(one)?;
    if !reduced.failures.is_empty() {
        return Err(reduced.failures);
    }
    let cases: Vec<SkeletonCase<'_>> = reduced
        .runs
        .iter()
        .zip(&named)
        .map(|(run, files)| SkeletonCase {
            name: &run.name,
            files,
            options: &options,
            reduction: &run.reduction,
        })
        .collect();
    let today = jiff::Timestamp::now()
        .to_zoned(jiff::tz::TimeZone::UTC)
        .date();
    let source = format!("spheresum {}, {today}", env!("CARGO_PKG_VERSION"));
    let names: Vec<&str> = reduced.runs.iter().map(|r| r.name.as_str()).collect();
    Skeleton {
        title: &format!("figures of {}", names.join(", ")),
        source: &source,
        cases: &cases,
    }
    .table()
    .map_err(one)
}

/// The files of each run as they are written in a table of `folder`.
fn names(plans: &[RunPlan], folder: &Path) -> Result<Vec<Vec<String>>> {
    let name = |file: &FileArg| -> Result<String> {
        if file.path.as_os_str() == "-" {
            return Err(Error::usage("a table cannot name standard input")
                .hint("save the readings as a file"));
        }
        let typed = file.path.to_string_lossy();
        let ending = file.text.strip_prefix(typed.as_ref()).unwrap_or_default();
        Ok(format!(
            "{}{ending}",
            written_from(&file.path, folder)?.display()
        ))
    };
    plans
        .iter()
        .map(|plan| plan.files.iter().map(name).collect())
        .collect()
}

/// The options as they are written in a table of `folder`: those that name files have paths from there.
fn options(typed: &[(String, String)], folder: &Path) -> Result<Vec<(String, String)>> {
    let from_there = |text: &str| -> Result<String> {
        let path = Path::new(text);
        Ok(match path.exists() {
            true => written_from(path, folder)?.to_string_lossy().into_owned(),
            // Numbers, or a file that the reader will miss.
            false => text.to_string(),
        })
    };
    typed
        .iter()
        .map(|(name, value)| {
            let value = match name.as_str() {
                "range" | "floor" | "layouts" => from_there(value)?,
                "layout" => {
                    let all: Result<Vec<String>> = value.split(',').map(from_there).collect();
                    all?.join(",")
                }
                _ => value.clone(),
            };
            Ok((name.clone(), value))
        })
        .collect()
}
