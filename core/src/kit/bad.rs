//! Bad files give the error that was stated.

use super::bench::{Bench, Case, Fault, Outcome};
use super::sample::{Expect, Refusal};
use crate::error::Error;

const SAMPLES: &str = "give the kit at least one good and one bad sample";
const REFUSE: &str = "refuse the sample, or state it as good";
const OTHER: &str = "give the stated error, or state the one that is right";

pub(super) fn check(bench: &mut Bench<'_>) {
    if bench.kit.samples.iter().all(|s| s.is_good()) {
        bench.fail_plain(Fault::new("no bad sample", SAMPLES));
    }
    for sample in &bench.kit.samples {
        let Expect::Bad(refusal) = &sample.expect else {
            continue;
        };
        let case = Case::of(sample);
        bench.look(&case);
        let outcome = bench.sound(&case);
        match &outcome {
            Outcome::Read(_) => bench.fail(&case, Fault::new(outcome.words(), REFUSE)),
            Outcome::Refused(error) | Outcome::Undecoded(error) => {
                if let Some(other) = difference(error, refusal) {
                    let seen = format!("{other} ({})", outcome.words());
                    bench.fail(&case, Fault::new(seen, OTHER));
                }
            }
            Outcome::Panicked(_) => {}
        }
    }
}

fn difference(error: &Error, want: &Refusal) -> Option<String> {
    let place = error.place();
    let (line, column) = (place.and_then(|p| p.line), place.and_then(|p| p.column));
    if error.group() != want.group {
        return Some(format!("the group is not {}", want.group.as_str()));
    }
    for (what, got, want) in [("line", line, want.line), ("column", column, want.column)] {
        if want.is_some() && got != want {
            let show = |n: Option<u64>| n.map_or("none".to_string(), |n| n.to_string());
            return Some(format!("{what} {} and not {}", show(got), show(want)));
        }
    }
    let words = want
        .words
        .as_deref()
        .filter(|w| !error.message().contains(w));
    words.map(|w| format!("the message does not say {w:?}"))
}
