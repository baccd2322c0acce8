//! Line ends and a byte-order mark carry no meaning.

use super::alike::{Order, difference};
use super::bench::{Bench, Case, Fault, Outcome};
use super::lines;

const ENDS: &str = "take lines from `Source::lines`, which knows all line ends (in a look: split at LF and CR), or state that the format asks for its own";

pub(super) fn check(bench: &mut Bench<'_>) {
    for sample in bench.good() {
        if !sample.any_line_ends || !lines::is_plain(&sample.bytes) {
            continue;
        }
        let Some(whole) = bench.baseline(sample) else {
            continue;
        };
        let sure = bench.look(&Case::of(sample)).map(|l| l.confidence);
        let bytes = lines::without_mark(&sample.bytes);
        let with = |end: &[u8]| -> Vec<u8> {
            let ended = |(line, old): &(&[u8], &[u8])| {
                [*line, if old.is_empty() { b"" } else { end }].concat()
            };
            lines::split(bytes).iter().flat_map(ended).collect()
        };
        let variants = [
            ("with LF", with(b"\n")),
            ("with CRLF", with(b"\r\n")),
            ("with CR", with(b"\r")),
            ("with a byte-order mark", [lines::MARK, bytes].concat()),
            (
                "with a byte-order mark and CRLF",
                [lines::MARK, &with(b"\r\n")].concat(),
            ),
        ];
        for (done, variant) in variants {
            let case = Case::with(sample, done, variant);
            let again = bench.look(&case).map(|l| l.confidence);
            if again != sure {
                let seen = format!("a look says {again:?} in place of {sure:?}");
                bench.fail(&case, Fault::new(seen, ENDS));
            }
            let outcome = bench.sound(&case);
            let seen = match &outcome {
                Outcome::Read(intake) => difference(&whole, intake, Order::Kept),
                Outcome::Panicked(_) => None,
                _ => Some(outcome.words()),
            };
            if let Some(seen) = seen {
                bench.fail(&case, Fault::new(seen, ENDS));
            }
        }
    }
}
