//! The commands, one a file.

mod check;
mod compare;
mod demo;
mod formats;
mod look;
mod reduce;
mod skeleton;
mod table_files;

use crate::args::Command;
use crate::failure::{Failure, print_all};
use crate::status::Status;
use spheresum_core::figure::Figure;
use spheresum_core::reduce::{ReduceOptions, Reduction};
use std::io::Write;

/// Runs a command.
pub fn run(command: Command) -> Status {
    match command {
        Command::Demo(args) => demo::run(&args),
        Command::Look(args) => look::run(&args),
        Command::Reduce(args) => reduce::run(&args),
        Command::Compare(args) => compare::run(&args),
        Command::Formats(args) => formats::run(&args),
        Command::Check(args) => check::run(&args),
    }
}

/// Prints errors and gives the exit status.
fn fail(failures: impl IntoIterator<Item = impl Into<Failure>>) -> Status {
    print_all(&failures.into_iter().map(Into::into).collect::<Vec<_>>())
}

/// Says on standard error which figures a run stands or falls with and did not get.
fn print_refusals(run: &str, reduction: &Reduction, options: &ReduceOptions) -> Status {
    let refused: Vec<&Figure> = reduction.decisive_refusals(options);
    let mut said: Vec<String> = Vec::new();
    for figure in &refused {
        let line = crate::text::refusal_line(run, figure);
        if !said.contains(&line) {
            let _ = writeln!(anstream::stderr(), "{line}");
            said.push(line);
        }
    }
    if refused.is_empty() {
        Status::DONE
    } else {
        Status::DOMAIN
    }
}
