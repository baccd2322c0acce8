//! `look`: what files hold and what is odd about them.

use super::fail;
use crate::args::LookArgs;
use crate::failure::{Failure, print_all};
use crate::intake::{Loaded, Reader, RunPlan};
use crate::output;
use crate::progress::Progress;
use crate::status::Status;
use crate::text::look as text;
use crate::text::{paragraph, with_typed};
use spheresum_adapters::layout::propose;
use spheresum_core::assemble::assemble;
use spheresum_core::correct::field::to_power;
use spheresum_core::fill::{self, Fill};
use spheresum_core::finding::{from_sphere, plateau};
use spheresum_core::model::Grid;
use spheresum_core::survey::survey;
use spheresum_core::{Error, Limits, Place, Readings, Result};
use std::path::Path;

/// Runs the command. A file that cannot be read does not stop the others.
pub fn run(args: &LookArgs) -> Status {
    let output = args.output.output.as_deref();
    if let Err(error) = args.reading.spare_inputs(&args.files, [None; 2], output) {
        return fail([error]);
    }
    let plans = match RunPlan::list(&args.files, &args.reading.runs) {
        Ok(plans) => plans,
        Err(error) => return fail([error]),
    };
    let reader = match Reader::new(&args.reading) {
        Ok(reader) => reader,
        Err(error) => return fail([error]),
    };
    if args.propose_layout {
        return propose_layouts(&reader, &plans, output);
    }
    let (mut parts, mut failures) = (Vec::new(), Vec::new());
    let progress = Progress::start();
    for plan in plans {
        progress.tell(format!("looking at {}", plan.name));
        match reader.load_run(&plan) {
            Ok(loaded) => parts.push(one(loaded, args.snap_deg, reader.limits())),
            Err(errors) => {
                parts.extend(errors.iter().filter_map(|f| f.proposal.clone()));
                failures.extend(errors);
            }
        }
    }
    drop(progress);
    let mut status = Status::DONE;
    if !parts.is_empty()
        && let Err(error) = output::write(&parts.join("\n"), output)
    {
        status = fail([error]);
    }
    status.max(print_all(&failures))
}

/// Writes a layout to start from for each file, whatever adapters say of it.
fn propose_layouts(reader: &Reader, plans: &[RunPlan], output: Option<&Path>) -> Status {
    let (mut parts, mut failures) = (Vec::new(), Vec::new());
    for (plan, file) in plans
        .iter()
        .flat_map(|p| p.files.iter().map(move |f| (p, f)))
    {
        let proposal = reader.open(file).and_then(|opened| {
            propose(opened.source()).ok_or_else(|| {
                Error::unsupported("there are no rows of numbers that a layout could describe")
                    .hint("write the layout by hand; its reference is adapters/layout/README.md")
                    .at(Place::in_source(opened.source().name()))
            })
        });
        match proposal {
            Ok(proposal) => parts.push(proposal),
            Err(error) => failures.push(Failure::in_run(error, &plan.name)),
        }
    }
    let mut status = Status::DONE;
    if !parts.is_empty()
        && let Err(error) = output::write(&parts.join("\n"), output)
    {
        status = fail([error]);
    }
    status.max(print_all(&failures))
}

fn one(loaded: Vec<Loaded>, snap_deg: f64, limits: &Limits) -> String {
    let mut out = String::new();
    let (mut readings, mut remarks) = (Vec::new(), Vec::new());
    for file in loaded {
        out.push_str(&text::file(
            &file.input.path,
            &file.input.sha256,
            &file.input.adapter,
            &file.candidates,
        ));
        remarks.extend(file.intake.findings);
        if let Some(curve) = &file.intake.curve {
            out.push_str(&text::curve(curve));
        }
        if let Some(held) = file.intake.readings {
            out.push_str(&text::readings(&held, &survey(&held)));
            readings.push(held);
        }
    }
    if readings.is_empty() {
        out.push_str(&text::remarks(&remarks));
        return out;
    }
    match sphere(&readings, remarks, snap_deg, limits) {
        Ok(text) => out.push_str(&text),
        Err(error) => {
            out.push_str(&paragraph(
                &format!("It makes no sphere: {}.", error.message()),
                2,
            ));
            out.push_str(&error.advice().map_or_else(String::new, |a| {
                paragraph(&format!("→ {}", with_typed(a)), 2)
            }));
        }
    }
    out
}

fn sphere(
    readings: &[Readings],
    mut remarks: Vec<spheresum_core::Finding>,
    snap_deg: f64,
    limits: &Limits,
) -> Result<String> {
    let assembled = assemble(readings, snap_deg, limits)?;
    remarks.extend(assembled.findings);
    let quantity = assembled.sphere.quantity();
    let (sphere, _) = to_power(assembled.sphere)?;
    if let Grid::Listed(_) = sphere.grid() {
        let mut out = text::sphere(&sphere, None, &remarks);
        out.push_str(&paragraph(
            "It cannot be integrated as it is: the rules of this version need an equal-angle grid.",
            2,
        ));
        return Ok(out);
    }
    remarks.extend(from_sphere(&sphere));
    remarks.extend(plateau(&sphere));
    let filled = fill::fill(sphere.clone(), Fill::None)?;
    remarks.extend(filled.findings.iter().cloned());
    let mut out = text::sphere(&sphere, Some(&filled), &remarks);
    if quantity.needs_range_loss() {
        out.push_str(&paragraph(
            "It becomes EIRP or EIS with the range loss of each polarisation (--range).",
            2,
        ));
    }
    Ok(out)
}
