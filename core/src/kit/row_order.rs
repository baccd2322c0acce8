//! The order of rows carries no meaning.

use super::alike::{Order, difference};
use super::bench::{Bench, Case, Fault, Outcome};
use super::lines;
use super::random::Random;

const ROWS: &str = "state data rows that are in the file: `.with_rows(first..=last)`, from 1";
const ORDER: &str = "take each row for itself: nothing may depend on the rows before it";

/// Random orders, beside the reverse one.
const SHUFFLES: usize = 4;

pub(super) fn check(bench: &mut Bench<'_>) {
    for sample in bench.good() {
        let Some(rows) = sample
            .rows
            .clone()
            .filter(|_| lines::is_plain(&sample.bytes))
        else {
            continue;
        };
        let all = lines::split(lines::without_mark(&sample.bytes));
        let from = usize::try_from(rows.start().saturating_sub(1)).unwrap_or(usize::MAX);
        let to = usize::try_from(*rows.end()).unwrap_or(usize::MAX);
        if *rows.start() == 0 || from >= to || to > all.len() {
            let seen = format!("rows {rows:?} of {} lines", all.len());
            bench.fail(&Case::of(sample), Fault::new(seen, ROWS));
            continue;
        }
        let Some(whole) = bench.baseline(sample) else {
            continue;
        };
        for order in 0..=SHUFFLES {
            let mut content: Vec<&[u8]> = all.iter().map(|l| l.0).collect();
            let Some(part) = content.get_mut(from..to) else {
                continue;
            };
            let done = if order == 0 {
                part.reverse();
                "rows in reverse".to_string()
            } else {
                Random::new(bench.kit.seed, order).shuffle(part);
                format!("rows in order {order} of seed {}", bench.kit.seed)
            };
            // Line ends stay, so that a last line without one does not run into the next.
            let mixed: Vec<(&[u8], &[u8])> =
                content.into_iter().zip(all.iter().map(|l| l.1)).collect();
            let case = Case::with(sample, done, lines::join(&mixed));
            let outcome = bench.sound(&case);
            let seen = match &outcome {
                Outcome::Read(intake) => difference(&whole, intake, Order::Free),
                Outcome::Panicked(_) => None,
                _ => Some(outcome.words()),
            };
            if let Some(seen) = seen {
                bench.fail(&case, Fault::new(seen, ORDER));
            }
        }
    }
}
