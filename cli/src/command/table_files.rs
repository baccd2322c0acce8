//! Cases of tables on a laboratory's own files: read and reduced as `reduce` does it.

use super::reduce::reduce_runs;
use crate::args::{Cli, Command, FileArg, ReduceArgs};
use crate::intake::RunPlan;
use spheresum_core::reduce::Reduction;
use spheresum_core::table::{Case, Files, Input, Table};
use spheresum_core::{Error, Result};
use std::path::{Component, Path, PathBuf};

/// Reduces the files of a case. Paths count from `folder`, that of the table.
///
/// # Errors
/// Usage: options that `reduce` does not take for reading and reducing. What reading and reducing give.
pub fn reduce_case(case: &Case, files: &Files, folder: &Path) -> Result<Reduction> {
    let mut args = arguments(case, files)?;
    let mut plans = RunPlan::list(&args.files, &args.reading.runs)?;
    for file in plans.iter_mut().flat_map(|p| &mut p.files) {
        *file = FileArg {
            path: folder.join(&file.path),
            ..file.clone()
        };
    }
    let layouts = &mut args.reading.layouts;
    for layout in &mut layouts.named {
        *layout = folder.join(&*layout);
    }
    layouts.folder = layouts.folder.as_ref().map(|f| folder.join(f));
    let reducing = &mut args.reducing;
    for text in [&mut reducing.range, &mut reducing.noise.floor]
        .into_iter()
        .flatten()
    {
        // What is no file of the folder was meant as numbers, or is missing under this name.
        let path = folder.join(&*text);
        if path.is_file() {
            *text = path.to_string_lossy().into_owned();
        }
    }
    let reduced = reduce_runs(plans, &args.reading, &args.reducing)?;
    if let Some(failure) = reduced.failures.into_iter().next() {
        return Err(failure.error);
    }
    reduced
        .runs
        .into_iter()
        .next()
        .map(|run| run.reduction)
        .ok_or_else(|| Error::usage("the case names no file"))
}

/// The files that the cases of a table name, each once: readings, range losses, floors, layouts.
pub fn named_files(table: &Table, folder: &Path) -> Vec<PathBuf> {
    let mut named = Vec::new();
    for case in &table.cases {
        let Input::Files(files) = &case.input else {
            continue;
        };
        let readings = files.named().unwrap_or_default();
        named.extend(readings.iter().map(|f| folder.join(&f.path)));
        for (name, value) in &case.command_options {
            match name.as_str() {
                "layout" => named.extend(value.split(',').map(|f| folder.join(f))),
                // What is no file was meant as numbers.
                "range" | "floor" => named.extend(Some(folder.join(value)).filter(|f| f.is_file())),
                _ => {}
            }
        }
    }
    named.sort();
    named.dedup();
    named
}

/// What `reduce` would be called with.
fn arguments(case: &Case, files: &Files) -> Result<ReduceArgs> {
    let mut words = vec!["spheresum".to_string(), "reduce".to_string()];
    words.push(format!("--run={}={}", case.name, files.files.join(",")));
    let of_options = case.command_options.iter();
    words.extend(of_options.map(|(name, value)| format!("--{name}={value}")));
    let wrong = |message: String| {
        Error::usage(message).hint(
            "the line `options:` of a case takes the options of `spheresum reduce` that say how files are read and reduced",
        )
    };
    let cli = Cli::read_from(words).map_err(|e| {
        let text = e.to_string();
        let first = text.lines().next().unwrap_or_default();
        wrong(first.trim_start_matches("error: ").to_string())
    })?;
    match cli.command {
        Command::Reduce(args) if args.reading.runs.len() > 1 => Err(wrong(
            "a case is one run, and its files stand in the line `files:`".to_string(),
        )),
        Command::Reduce(args) if args.result.is_given() => Err(wrong(
            "the case says where a result goes, and there is none".to_string(),
        )),
        Command::Reduce(args) => Ok(args),
        _ => Err(wrong("the case names another command".to_string())),
    }
}

/// A path as it is written in a table of `folder`: from there, up and down again if need be.
///
/// # Errors
/// Io: the working folder cannot be told.
pub fn written_from(path: &Path, folder: &Path) -> Result<PathBuf> {
    let whole = |path: &Path| {
        std::path::absolute(path)
            .map_err(|e| Error::io(format!("{} has no place", path.display()), e))
    };
    if path.is_absolute() || folder.as_os_str().is_empty() {
        return Ok(path.to_path_buf());
    }
    // What goes up by `..` or through a link is settled first, where the file system can.
    let settled = |path: PathBuf| std::fs::canonicalize(&path).unwrap_or(path);
    let (path, folder) = (settled(whole(path)?), settled(whole(folder)?));
    let shared = path
        .components()
        .zip(folder.components())
        .take_while(|(a, b)| a == b)
        .count();
    if shared == 0 {
        return Ok(path);
    }
    let up = folder
        .components()
        .skip(shared)
        .map(|_| Component::ParentDir);
    Ok(up.chain(path.components().skip(shared)).collect())
}
