//! Samples with bytes and lines changed, the same way each time.

use super::bench::{Bench, Case, Outcome};
use super::lines;
use super::random::Random;

/// What readers of text stumble over.
const SPICE: &[&[u8]] = &[
    b",",
    b";",
    b"\t",
    b" ",
    b"\"",
    b"'",
    b"#",
    b"!",
    b"%",
    b"/",
    b"\\",
    b".",
    b"-",
    b"+",
    b"e",
    b"E",
    b"<",
    b">",
    b"0",
    b"9",
    b"\n",
    b"\r",
    b"(",
    b")",
    b"[",
    b"]",
    b"{",
    b"}",
    b":",
    b"=",
    b"_",
    b"|",
    b"nan",
    b"inf",
    b"1e999",
    b"-1e-999",
    b"99999999999999999999",
    b"\x00",
    b"\xFF",
    b"\xC2\xB0",
    b"\xCE\xB8",
    b"\xE2\x88\x92",
    b"\xEF\xBB\xBF",
    b"\xF0\x9F\x93\xA1",
];

pub(super) fn check(bench: &mut Bench<'_>) {
    let samples = &bench.kit.samples;
    let Some(each) = (bench.kit.reads / 2).checked_div(samples.len()) else {
        return;
    };
    for sample in samples {
        for number in 0..each {
            let mut random = Random::new(bench.kit.seed, number);
            let mut bytes = sample.bytes.clone();
            for _ in 0..=random.below(3) {
                change(&mut bytes, &mut random);
            }
            let case = Case::with(
                sample,
                format!("change {number} of seed {}", bench.kit.seed),
                bytes,
            );
            bench.look(&case);
            if let Outcome::Panicked(_) = bench.sound(&case) {
                break;
            }
        }
    }
}

fn change(bytes: &mut Vec<u8>, random: &mut Random) {
    let at = random.below(bytes.len());
    let spice = SPICE
        .get(random.below(SPICE.len()))
        .copied()
        .unwrap_or_default();
    match random.below(6) {
        0 => {
            let bit = random.below(8);
            if let Some(byte) = bytes.get_mut(at) {
                *byte ^= 1 << bit;
            }
        }
        1 => {
            let end = (at + spice.len()).min(bytes.len());
            bytes.splice(at..end, spice.iter().copied());
        }
        2 => {
            bytes.splice(at..at, spice.iter().copied());
        }
        3 => {
            let end = (at + 1 + random.below(8)).min(bytes.len());
            bytes.drain(at..end);
        }
        how => {
            let mut all = lines::split(bytes);
            let (a, b) = (random.below(all.len()), random.below(all.len()));
            match all.get(a).copied() {
                Some(line) if how == 4 => all.insert(b, line),
                Some(_) => all.swap(a, b),
                None => {}
            }
            *bytes = lines::join(&all);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_same_each_time_and_on_nothing() {
        let changed = |number| {
            let mut bytes = b"a,b\n1,2\n3,4\n".to_vec();
            let mut random = Random::new(1, number);
            for _ in 0..4 {
                change(&mut bytes, &mut random);
            }
            bytes
        };
        let all: std::collections::BTreeSet<Vec<u8>> = (0..200).map(changed).collect();
        assert!(all.len() > 190 && changed(7) == changed(7));
        for number in 0..50 {
            change(&mut Vec::new(), &mut Random::new(1, number));
        }
    }
}
