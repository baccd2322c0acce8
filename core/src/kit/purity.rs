//! The same input gives the same output.

use super::bench::{Bench, Case, Fault};

const PURE: &str = "let a look and a read depend on their arguments alone: no state, no clock, no order of a hash map";

pub(super) fn check(bench: &mut Bench<'_>) {
    let all = &bench.kit.samples;
    let forward: Vec<(String, String)> = all.iter().map(|s| both(bench, &Case::of(s))).collect();
    // The second time in reverse, so that each sample is read after another one.
    for (sample, first) in all.iter().zip(&forward).rev() {
        let case = Case::of(sample);
        let second = both(bench, &case);
        if first.0 != second.0 {
            let seen = format!("a look {} and then {}", first.0, second.0);
            bench.fail(&case, Fault::new(seen, PURE));
        }
        if first.1 != second.1 {
            let seen = format!("the second read differs {}", from(&first.1, &second.1));
            bench.fail(&case, Fault::new(seen, PURE));
        }
    }
}

/// A look and a read as debug text, which tells apart what `==` holds equal (0 and −0).
fn both(bench: &mut Bench<'_>, case: &Case<'_>) -> (String, String) {
    let look = format!("{:?}", bench.look(case));
    (look, bench.read(case).debug())
}

/// The first place where two texts differ, in words.
pub(super) fn from(a: &str, b: &str) -> String {
    let at = a.chars().zip(b.chars()).take_while(|(a, b)| a == b).count();
    let part = |text: &str| {
        text.chars()
            .skip(at.saturating_sub(20))
            .take(60)
            .collect::<String>()
    };
    format!("from {:?} to {:?}", part(a), part(b))
}
