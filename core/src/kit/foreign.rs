//! Files of other formats are left to their owners.

use super::bench::{Bench, Case, Fault};
use crate::intake::Confidence;

const CERTAIN: &str = "never be Certain of a file that another format could also be";
const BEATS: &str =
    "look for something that only this format has, and be less sure than the owner of the file";
const LIKELY: &str =
    "say Maybe at most of a file of another format that no adapter beside is surer of";

pub(super) fn check(bench: &mut Bench<'_>) {
    for sample in &bench.kit.others {
        let case = Case::of(sample);
        if let Some(look) = bench.look(&case) {
            let ours = look.confidence;
            let (id, rival) = bench
                .rival(&case)
                .unwrap_or((String::new(), Confidence::None));
            let said = format!("{ours:?}: {}", look.reason);
            if ours == Confidence::Certain {
                bench.fail(&case, Fault::new(said.clone(), CERTAIN));
            }
            if rival > Confidence::None && ours >= rival {
                let seen = format!("{said}; {id} says {rival:?}");
                bench.fail(&case, Fault::new(seen, BEATS));
            } else if ours == Confidence::Likely && rival <= ours {
                bench.fail(&case, Fault::new(said, LIKELY));
            }
        }
        // A person may force the adapter on it.
        bench.sound(&case);
    }
}
