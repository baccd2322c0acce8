//! A text that is read piece by piece gives what it gives whole.

use super::bench::{Bench, Case, Fault, Outcome};
use super::purity;

const SAME: &str = "give the same from pieces as from the whole text, errors and lines included, or `None`; what can be read only \
                    together with the text behind a piece is left unread";

/// Bytes of the smallest piece.
const LEAST: usize = 24;

pub(super) fn check(bench: &mut Bench<'_>) {
    for sample in &bench.kit.samples {
        let whole = Case::of(sample);
        let outcome = bench.read(&whole);
        if matches!(outcome, Outcome::Undecoded(_)) {
            continue;
        }
        let told = outcome.debug();
        let length = sample.bytes.len();
        for size in [length / 2, length / 3, length / 7, length / 20, LEAST] {
            let size = size.max(LEAST);
            let Some(outcome) = bench.read_in_pieces(&whole, size) else {
                continue;
            };
            let again = outcome.debug();
            if again != told {
                let seen = format!("the read differs {}", purity::from(&told, &again));
                let case = Case {
                    done: format!("in pieces of about {size} bytes"),
                    ..whole.clone()
                };
                bench.fail(&case, Fault::new(seen, SAME));
            }
        }
    }
}
