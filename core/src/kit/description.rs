//! The description: complete, and always the same.

use super::bench::{Bench, Fault};
use crate::intake::Yield;

const ID: &str = "give an id of lower-case letters and digits with single hyphens between words";
const NAME: &str = "say in one line what the adapter reads";
const SPECIFICATION: &str = "say where the format is specified: `.with_specification(\"…\")`";
const QUANTITIES: &str = "list the quantities that readings may be of, by their words (`eirp`, `eis`, `gain` …): `.with_quantities(&[…])`";
const SAME: &str = "make the description once, with the adapter, and hand out that one";

pub(super) fn check(bench: &mut Bench<'_>) {
    bench.count();
    let first = bench.adapter().describe().clone();
    let word = |w: &str| {
        !w.is_empty()
            && w.bytes()
                .all(|b| b.is_ascii_lowercase() || b.is_ascii_digit())
    };
    if !first.id.split('-').all(word) {
        bench.fail_plain(Fault::new(format!("the id {:?}", first.id), ID));
    }
    if first.name.trim().is_empty() || first.name.contains(['\n', '\r']) {
        bench.fail_plain(Fault::new(format!("the name {:?}", first.name), NAME));
    }
    if first.specification.trim().is_empty() {
        bench.fail_plain(Fault::new("no specification", SPECIFICATION));
    }
    if first.yields != Yield::Curve && first.quantities.is_empty() {
        bench.fail_plain(Fault::new("no quantities", QUANTITIES));
    }
    // A look and a read in between may change what an adapter says of itself.
    for sample in bench.good() {
        let case = super::bench::Case::of(sample);
        bench.look(&case);
        bench.read(&case);
    }
    let again = bench.adapter().describe();
    let text = |d: &crate::intake::Description| format!("{d:?}");
    if text(&first) != text(again) {
        let seen = format!("{} became {}", text(&first), text(again));
        bench.fail_plain(Fault::new(seen, SAME));
    }
}
