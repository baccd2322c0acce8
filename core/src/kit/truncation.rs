//! Samples cut short: at every length, or at as many as the reads allow.

use super::bench::{Bench, Case, Outcome};

pub(super) fn check(bench: &mut Bench<'_>) {
    let mut samples: Vec<_> = bench.kit.samples.iter().collect();
    // Short ones first: what they leave over goes to the long ones.
    samples.sort_by_key(|s| s.bytes.len());
    let mut left = bench.kit.reads / 2;
    for (index, sample) in samples.iter().enumerate() {
        let share = left / (samples.len() - index);
        for length in lengths(sample.bytes.len(), share) {
            left = left.saturating_sub(1);
            let bytes = sample.bytes.iter().take(length).copied().collect();
            let case = Case::with(
                sample,
                format!("cut to {length} bytes of {}", sample.bytes.len()),
                bytes,
            );
            bench.look(&case);
            if let Outcome::Panicked(_) = bench.sound(&case) {
                break;
            }
        }
    }
}

/// Lengths below `all`, at most `most`: every one where they suffice, else half of them from the start, where headings are, and the
/// rest evenly spread.
fn lengths(all: usize, most: usize) -> Vec<usize> {
    if all <= most {
        return (0..all).collect();
    }
    let (dense, spread) = (most / 2, most - most / 2);
    let rest = all - dense;
    (0..dense)
        .chain((0..spread).map(|i| dense + rest * i / spread))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn all_or_dense_and_spread() {
        assert_eq!(lengths(4, 4), [0, 1, 2, 3]);
        assert_eq!(lengths(0, 4), [0; 0]);
        assert_eq!(lengths(4, 0), [0; 0]);
        assert_eq!(lengths(100, 6), [0, 1, 2, 3, 35, 67]);
    }
}
