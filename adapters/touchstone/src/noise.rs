//! The noise block of a two-port: checked, counted and left out.

use crate::frequency::frequency;
use crate::header::Header;
use crate::number::number;
use crate::word::Word;
use spheresum_core::intake::Source;
use spheresum_core::unit::frequency::FrequencyUnit;
use spheresum_core::{Finding, Frequency, Result};

/// Numbers of a line of noise: frequency, lowest noise figure in dB, magnitude and angle of the optimum reflection, resistance.
pub(crate) const NUMBERS: usize = 5;

/// A noise block.
#[derive(Clone, Debug)]
pub(crate) struct Noise<'a> {
    unit: FrequencyUnit,
    /// Where it begins.
    start: Word<'a>,
    last: Option<Option<Frequency>>,
    count: u64,
}

impl<'a> Noise<'a> {
    /// A block that begins here.
    pub(crate) fn new(unit: FrequencyUnit, start: Word<'a>) -> Self {
        Self {
            unit,
            start,
            last: None,
            count: 0,
        }
    }

    /// Takes a line.
    ///
    /// # Errors
    /// Input: not five numbers, or frequencies that do not ascend.
    pub(crate) fn line(&mut self, words: &[Word<'a>], source: &Source) -> Result<()> {
        let [first, .., last] = words else {
            return match words.first() {
                Some(word) => Err(not_five(words.len(), *word, source)),
                None => Ok(()),
            };
        };
        if words.len() != NUMBERS {
            return Err(not_five(words.len(), *last, source));
        }
        let at = frequency(*first, self.unit, source)?;
        for word in words {
            number(*word, source)?;
        }
        if self.last.is_some_and(|last| at <= last) {
            return Err(first.wrong(
                source,
                format!(
                    "the frequencies of the noise block do not ascend at {}",
                    first.text()
                ),
                "sort its lines by frequency; network data stand above the noise block",
            ));
        }
        self.last = Some(at);
        self.count += 1;
        Ok(())
    }

    /// What is said of it.
    pub(crate) fn findings(&self, header: &Header<'_>, source: &Source) -> Vec<Finding> {
        let mut findings = vec![
            Finding::note(
                "noise-block",
                format!("a noise block of {} frequencies is left out", self.count),
            )
            .at(self.start.place(source)),
        ];
        if let Some(claim) = header.noise_frequencies.filter(|c| c.count != self.count) {
            findings.push(
                Finding::warning(
                    "noise-count",
                    format!(
                        "{} noise frequencies are claimed, and there are {}",
                        claim.count, self.count
                    ),
                )
                .at(claim.word.place(source))
                .advice("see whether the file is complete"),
            );
        }
        findings
    }
}

fn not_five(count: usize, word: Word<'_>, source: &Source) -> spheresum_core::Error {
    word.wrong(
        source,
        format!("{count} numbers on a line of the noise block, where five belong"),
        "a line of noise has frequency, lowest noise figure, magnitude and angle of the optimum reflection, and resistance",
    )
}
