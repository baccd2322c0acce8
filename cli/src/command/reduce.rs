//! `reduce`: figures of each run.

use super::{fail, print_refusals};
use crate::args::{ReadingArgs, ReduceArgs, ReducingArgs};
use crate::failure::{Failure, print_all};
use crate::intake::{GivenFloor, Range, Reader, RunPlan};
use crate::progress::Progress;
use crate::status::Status;
use crate::{output, text};
use spheresum_core::document::{Run, reduction_csv, reduction_json};
use spheresum_core::reduce::{ReduceOptions, reduce};
use spheresum_core::{Error, Result};

/// Runs the command. A run that fails does not stop the others.
pub fn run(args: &ReduceArgs) -> Status {
    let output = args.result.output.output.as_deref();
    if let Err(error) = args
        .reading
        .spare_inputs(&args.files, args.reducing.corrections(), output)
    {
        return fail([error]);
    }
    let Reduced {
        runs,
        failures,
        options,
    } = match reduce_files(args) {
        Ok(reduced) => reduced,
        Err(error) => return fail([error]),
    };
    let mut status = Status::DONE;
    if !runs.is_empty() {
        let written = document(&runs, args).and_then(|text| output::write(&text, output));
        if let Err(error) = written {
            status = status.max(fail([error]));
        }
    }
    status = status.max(print_all(&failures));
    for run in &runs {
        status = status.max(print_refusals(&run.name, &run.reduction, &options));
    }
    status
}

/// Runs that could be reduced, and what happened to the others.
pub(super) struct Reduced {
    pub(super) runs: Vec<Run>,
    pub(super) failures: Vec<Failure>,
    options: ReduceOptions,
}

/// Reads and reduces.
///
/// # Errors
/// What concerns all runs: a call that is wrong, or a range loss that cannot be read.
fn reduce_files(args: &ReduceArgs) -> Result<Reduced> {
    let plans = RunPlan::list(&args.files, &args.reading.runs)?;
    reduce_runs(plans, &args.reading, &args.reducing)
}

/// Reads and reduces runs.
///
/// # Errors
/// As [`reduce_files`].
pub(super) fn reduce_runs(
    plans: Vec<RunPlan>,
    reading: &ReadingArgs,
    reducing: &ReducingArgs,
) -> Result<Reduced> {
    let reader = Reader::new(reading)?;
    let progress = Progress::start();
    let range = Range::of(reducing, &reader)?;
    let loss = range.as_ref().map(|r| r.loss.clone());
    let floor = GivenFloor::of(&reducing.noise, &reader)?;
    let options = reducing.options(loss, floor.as_ref().map(|f| f.floor.clone()));
    options.check()?;
    let (mut runs, mut failures) = (Vec::new(), Vec::new());
    for plan in plans {
        progress.tell(format!("reducing {}", plan.name));
        match one(&reader, &plan, &options, (range.as_ref(), floor.as_ref())) {
            Ok(run) => runs.push(run),
            Err(errors) => failures.extend(errors),
        }
    }
    Ok(Reduced {
        runs,
        failures,
        options,
    })
}

fn one(
    reader: &Reader,
    plan: &RunPlan,
    options: &ReduceOptions,
    (range, floor): (Option<&Range>, Option<&GivenFloor>),
) -> std::result::Result<Run, Vec<Failure>> {
    let (mut prepared, inputs) = reader.prepare(plan, options)?;
    if let Some(range) = range {
        range.remember(&mut prepared);
    }
    if let Some(floor) = floor {
        floor.remember(&mut prepared);
    }
    let reduction =
        reduce(prepared, options).map_err(|e: Error| vec![Failure::in_run(e, &plan.name)])?;
    Ok(Run {
        name: plan.name.clone(),
        inputs,
        reduction,
    })
}

fn document(runs: &[Run], args: &ReduceArgs) -> Result<String> {
    if args.result.json {
        reduction_json(runs)
    } else if args.result.csv {
        Ok(reduction_csv(runs))
    } else {
        Ok(text::reduction(runs))
    }
}
