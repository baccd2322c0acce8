//! Options that the adapter does not know are refused.

use super::bench::{Bench, Case, Fault, Outcome};
use crate::error::Group;

const REFUSE: &str = "give a Usage error for every named option that the adapter does not know, with those it has in the hint";

pub(super) fn check(bench: &mut Bench<'_>) {
    for sample in bench.good() {
        for name in ["no-such-option", ""] {
            let mut case = Case::of(sample);
            case.options = case.options.with_named(name, "1");
            case.done = format!("with the option {name:?}");
            let outcome = bench.sound(&case);
            match &outcome {
                Outcome::Refused(error) if error.group() == Group::Usage => {}
                Outcome::Panicked(_) => {}
                _ => bench.fail(&case, Fault::new(outcome.words(), REFUSE)),
            }
        }
    }
}
