//! Good files are read and recognised.

use super::bench::{Bench, Case, Fault, Outcome};
use crate::intake::Confidence;

const SAMPLES: &str = "give the kit at least one good and one bad sample";
const READ: &str = "read the sample, or state it as bad";
const LIKELY: &str = "say Likely where something in the head is particular to the format";
const WINS: &str = "be surer of the format's own files than adapters beside are, or state the sample as unrecognised";

pub(super) fn check(bench: &mut Bench<'_>) {
    if bench.good().count() == 0 {
        bench.fail_plain(Fault::new("no good sample", SAMPLES));
    }
    for sample in bench.good() {
        let case = Case::of(sample);
        let outcome = bench.sound(&case);
        if let Outcome::Refused(_) | Outcome::Undecoded(_) = &outcome {
            bench.fail(&case, Fault::new(outcome.words(), READ));
        }
        if !sample.recognised {
            continue;
        }
        let Some(look) = bench.look(&case) else {
            continue;
        };
        if look.confidence < Confidence::Likely {
            let seen = format!("{:?}: {}", look.confidence, look.reason);
            bench.fail(&case, Fault::new(seen, LIKELY));
        }
        // A registry takes the surest, and refuses a tie.
        if let Some((id, rival)) = bench.rival(&case)
            && rival >= look.confidence
        {
            let seen = format!(
                "{id} says {rival:?}, and this adapter {:?}",
                look.confidence
            );
            bench.fail(&case, Fault::new(seen, WINS));
        }
    }
}
