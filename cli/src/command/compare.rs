//! `compare`: runs against the first.

use super::{fail, print_refusals};
use crate::args::{CompareArgs, ReadingArgs, ReducingArgs};
use crate::failure::{Failure, print_all};
use crate::intake::{GivenFloor, Range, Reader, RunPlan};
use crate::progress::Progress;
use crate::status::Status;
use crate::{output, text};
use spheresum_core::compare::{CompareOptions, Named, TestResult, compare, reduce_together};
use spheresum_core::document::{Run, comparison_csv, comparison_json};
use spheresum_core::history::Step;
use spheresum_core::reduce::ReduceOptions;
use spheresum_core::{Error, Result};
use std::io::Write;
use std::path::PathBuf;

/// Runs and what lies between them.
pub struct Compared {
    /// The reference, then the tests.
    pub runs: Vec<Run>,
    /// The tests against the reference.
    pub tests: Vec<TestResult>,
    /// What the runs were reduced with.
    pub options: ReduceOptions,
    /// Runs that failed, while others could be compared.
    pub failures: Vec<Failure>,
}

/// Runs the command.
pub fn run(args: &CompareArgs) -> Status {
    let output = args.result.output.output.as_deref();
    if let Err(error) = args
        .reading
        .spare_inputs(&args.files, args.reducing.corrections(), output)
    {
        return fail([error]);
    }
    if args.max_drop.is_some_and(|d| !d.is_finite()) {
        return fail([Error::usage("--max-drop is a finite number of dB")]);
    }
    let mut options = CompareOptions::default();
    options.path_loss_exponent = args.path_loss_exponent;
    let compared = match compare_files(&args.files, &args.reading, &args.reducing, options) {
        Ok(compared) => compared,
        Err(failures) => return print_all(&failures),
    };
    let mut status = Status::DONE;
    let written = document(&compared, args).and_then(|text| output::write(&text, output));
    if let Err(error) = written {
        status = status.max(fail([error]));
    }
    status = status.max(print_all(&compared.failures));
    status = status.max(refusals(&compared));
    if let Some(limit) = args.max_drop {
        status = status.max(drops(&compared.tests, limit));
    }
    status
}

/// Reads, reduces and compares.
///
/// # Errors
/// All that failed, where nothing is left to compare.
pub fn compare_files(
    files: &[PathBuf],
    reading: &ReadingArgs,
    reducing: &ReducingArgs,
    compare_options: CompareOptions,
) -> std::result::Result<Compared, Vec<Failure>> {
    let one = |e: Error| vec![Failure::from(e)];
    let plans = RunPlan::list(files, &reading.runs).map_err(one)?;
    let reader = Reader::new(reading).map_err(one)?;
    let progress = Progress::start();
    let range = Range::of(reducing, &reader).map_err(one)?;
    let floor = GivenFloor::of(&reducing.noise, &reader).map_err(one)?;
    let options = reducing.options(
        range.as_ref().map(|r| r.loss.clone()),
        floor.as_ref().map(|f| f.floor.clone()),
    );
    options.check().map_err(one)?;
    let (mut prepared, mut named, mut failures) = (Vec::new(), Vec::new(), Vec::new());
    for (n, plan) in plans.into_iter().enumerate() {
        progress.tell(format!("reading {}", plan.name));
        match reader.prepare(&plan, &options) {
            Ok((mut run, inputs)) => {
                if let Some(range) = &range {
                    range.remember(&mut run);
                }
                if let Some(floor) = &floor {
                    floor.remember(&mut run);
                }
                prepared.push(run);
                named.push((plan.name, inputs));
            }
            Err(errors) => {
                failures.extend(errors);
                // Without a reference there is nothing to compare with.
                if n == 0 {
                    return Err(failures);
                }
            }
        }
    }
    if prepared.len() < 2 && !failures.is_empty() {
        return Err(failures);
    }
    progress.tell("reducing");
    let reductions = reduce_together(prepared, &options).map_err(one)?;
    let reference = named
        .first()
        .map(|(name, _)| name.clone())
        .unwrap_or_default();
    let runs: Vec<Run> = named
        .into_iter()
        .zip(reductions)
        .map(|((name, inputs), mut reduction)| {
            reduction.history.push(step(&reference, compare_options));
            Run {
                name,
                inputs,
                reduction,
            }
        })
        .collect();
    let all: Vec<Named<'_>> = runs
        .iter()
        .map(|r| Named {
            name: &r.name,
            reduction: &r.reduction,
        })
        .collect();
    let Some((reference, tests)) = all.split_first() else {
        return Err(one(Error::usage("there is nothing to compare")));
    };
    let tests = compare(*reference, tests, compare_options).map_err(one)?;
    Ok(Compared {
        runs,
        tests,
        options,
        failures,
    })
}

/// The step of the history for a comparison.
fn step(reference: &str, options: CompareOptions) -> Step {
    let mut step = Step::new("compare").option("path-loss-exponent", options.path_loss_exponent);
    step.note(format!("compared with {reference} as the reference"));
    step
}

fn document(compared: &Compared, args: &CompareArgs) -> Result<String> {
    let Some((reference, others)) = compared.runs.split_first() else {
        return Err(Error::usage("there is nothing to compare"));
    };
    if args.result.json {
        comparison_json(reference, &compared.tests, others, &[])
    } else if args.result.csv {
        Ok(comparison_csv(&reference.name, &compared.tests))
    } else {
        Ok(text::comparison(&compared.runs, &compared.tests))
    }
}

/// Says which figures the runs stand or fall with and did not get.
pub fn refusals(compared: &Compared) -> Status {
    let each = compared
        .runs
        .iter()
        .map(|r| print_refusals(&r.name, &r.reduction, &compared.options));
    each.max().unwrap_or(Status::DONE)
}

/// True where the headline figure has a difference at every frequency.
fn is_judged(test: &TestResult) -> bool {
    let mut channels = test.channels.iter();
    channels.all(|c| {
        c.figure(&test.headline)
            .is_some_and(|f| f.difference_db.is_some())
    })
}

/// Says which tests are worse than the reference by more than is allowed.
fn drops(tests: &[TestResult], limit: f64) -> Status {
    let mut status = Status::DONE;
    for test in tests {
        if let Some(drop) = test.largest_drop_db().filter(|d| *d > limit) {
            let least = if is_judged(test) { "" } else { "at least " };
            let _ = writeln!(
                anstream::stderr(),
                "{}: {} is worse by {least}{drop:.2} dB, more than the {limit} dB allowed",
                test.name,
                test.headline
            );
            status = status.max(Status::NO);
        } else if !is_judged(test) {
            let _ = writeln!(
                anstream::stderr(),
                "{}: {} has no value at a frequency, or was not asked for, so that --max-drop cannot be judged",
                test.name,
                test.headline
            );
            status = status.max(Status::DOMAIN);
        }
    }
    status
}
