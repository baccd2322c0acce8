//! Limits: what just fits is read, what does not is refused, and repeats and padding stay within.

use super::alike::{Order, difference};
use super::bench::{Bench, Case, Fault, Outcome};
use super::intake::{frequencies, most_points};
use super::sample::Sample;
use crate::error::Group;
use crate::intake::{Intake, Source};
use crate::limits::Limits;

const HONOUR: &str = "honour every limit of the call: give a Limit error where the file has more";
const FITS: &str = "a file that has exactly as much as a limit allows is read as without it";

/// A limit, how it is set, how much of it a file has, and the least that must be allowed.
struct Bound {
    name: &'static str,
    set: fn(&mut Limits, usize),
    /// With less than this, the file must be refused.
    needs: usize,
    /// With this, it must be read.
    fits: usize,
}

pub(super) fn check(bench: &mut Bench<'_>) {
    for sample in bench.good() {
        let Some(whole) = bench.baseline(sample) else {
            continue;
        };
        for bound in bounds(sample, &whole) {
            just_fits(bench, sample, &whole, &bound);
            too_small(bench, sample, &bound);
        }
        repeated(bench, sample, &whole);
    }
}

/// What a file has of each limit. `max_bytes` is kept by `Source`, and `max_samples` by what comes later.
fn bounds(sample: &Sample, whole: &Intake) -> Vec<Bound> {
    let mut all = Vec::new();
    let mut bound = |name, set, needs, fits| {
        all.push(Bound {
            name,
            set,
            needs,
            fits,
        })
    };
    if let Some(readings) = &whole.readings {
        let (count, found) = (readings.len(), readings.frequencies().len());
        bound("max_readings", |l, n| l.max_readings = n, count, count);
        bound(
            "max_frequencies",
            |l, n| l.max_frequencies = n,
            found,
            found,
        );
    }
    if let Some(curve) = &whole.curve {
        bound(
            "max_frequencies",
            |l, n| l.max_frequencies = n,
            most_points(curve),
            frequencies(curve),
        );
    }
    if let Ok(source) = Source::from_bytes(&sample.name, sample.bytes.clone(), &Limits::default()) {
        let longest = source.lines().map(|l| l.text.len()).max().unwrap_or(0);
        if sample.has_lines {
            bound(
                "max_line_bytes",
                |l, n| l.max_line_bytes = n,
                longest,
                longest,
            );
        }
    }
    if let Some(fields) = sample.fields {
        bound("max_fields", |l, n| l.max_fields = n, fields, fields);
    }
    all
}

fn limited<'s>(sample: &'s Sample, bound: &Bound, allowed: usize) -> Case<'s> {
    let mut case = Case::of(sample);
    case.done = format!("with {} of {allowed}", bound.name);
    (bound.set)(&mut case.limits, allowed);
    case
}

fn just_fits(bench: &mut Bench<'_>, sample: &Sample, whole: &Intake, bound: &Bound) {
    let case = limited(sample, bound, bound.fits);
    let outcome = bench.sound(&case);
    let seen = match &outcome {
        Outcome::Read(intake) => difference(whole, intake, Order::Kept),
        // Noted already.
        Outcome::Panicked(_) => None,
        _ => Some(outcome.words()),
    };
    if let Some(seen) = seen {
        bench.fail(&case, Fault::new(seen, FITS));
    }
}

fn too_small(bench: &mut Bench<'_>, sample: &Sample, bound: &Bound) {
    let mut last = None;
    for allowed in [bound.needs.saturating_sub(1), bound.needs / 2, 1, 0] {
        if allowed >= bound.needs || last.replace(allowed) == Some(allowed) {
            continue;
        }
        let case = limited(sample, bound, allowed);
        let outcome = bench.sound(&case);
        match &outcome {
            Outcome::Refused(error) if error.group() == Group::Limit => {}
            Outcome::Panicked(_) => {}
            _ => {
                let seen = format!("the file has {}; {}", bound.needs, outcome.words());
                bench.fail(&case, Fault::new(seen, HONOUR));
            }
        }
    }
}

/// The file several times over, and with blank lines behind it: refused or read, within the limits.
fn repeated(bench: &mut Bench<'_>, sample: &Sample, whole: &Intake) {
    let mut limits = Limits::default();
    if let Some(readings) = &whole.readings {
        limits.max_readings = readings.len();
        limits.max_frequencies = readings.frequencies().len();
    }
    for times in [2, 5] {
        let mut case = Case::with(
            sample,
            format!("{times} times over"),
            sample.bytes.repeat(times),
        );
        case.limits = limits.clone();
        bench.sound(&case);
    }
    let mut padded = sample.bytes.clone();
    padded.extend(b"\n".repeat(1000));
    let mut case = Case::with(sample, "with 1000 line ends behind it", padded);
    case.limits = limits;
    bench.sound(&case);
}
