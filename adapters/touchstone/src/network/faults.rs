//! Errors of data that are cut, or have a number too many or too few.

use super::{Network, Open};
use crate::frequency::frequency;
use crate::noise;
use crate::word::Word;
use spheresum_core::Error;
use spheresum_core::intake::Source;

impl<'a> Network<'a> {
    /// The error of a line that should begin a frequency and has an even count of numbers.
    pub(super) fn even(&self, count: usize, last: Word<'a>, source: &Source) -> Error {
        last.wrong(
            source,
            format!("a line of {count} numbers where a frequency begins: one is missing, or one too many"),
            format!(
                "a frequency and its complex values make an odd count; {} have {} numbers a frequency",
                ports_are(self.plan.ports),
                1 + 2 * self.plan.cells.len()
            ),
        )
    }

    /// The error of a line with an odd count of numbers where the open frequency goes on.
    pub(super) fn cut(
        &self,
        open: &Open<'a>,
        words: &[Word<'a>],
        last: Word<'a>,
        source: &Source,
    ) -> Error {
        let next = words.first().map(|w| frequency(*w, self.plan.unit, source));
        let is_next = matches!(next, Some(Ok(next)) if next > open.frequency);
        if is_next || words.len() == open.numbers {
            return self.incomplete(open, self.end.unwrap_or(last), source);
        }
        last.wrong(
            source,
            format!(
                "a line of {} numbers goes on with the data of {} {}, in pairs",
                words.len(),
                open.word.text(),
                self.plan.unit.symbol()
            ),
            "a line that goes on has pairs of numbers, an even count; see whether one is missing",
        )
    }

    pub(super) fn incomplete(&self, open: &Open<'a>, end: Word<'a>, source: &Source) -> Error {
        let numbers = 1 + 2 * self.plan.cells.len();
        let may_be_noise = !self.plan.is_version_2 && self.plan.ports == 2;
        let hint = if may_be_noise && open.numbers == noise::NUMBERS {
            format!(
                "{} have {numbers} numbers a frequency; a noise block begins at a frequency below that of the last network data",
                ports_are(self.plan.ports)
            )
        } else {
            format!(
                "see whether the file is complete; {} have {numbers} numbers a frequency",
                ports_are(self.plan.ports)
            )
        };
        end.wrong(
            source,
            format!(
                "the data of {} {} end after {} of {} complex values",
                open.word.text(),
                self.plan.unit.symbol(),
                open.filled,
                self.plan.cells.len()
            ),
            hint,
        )
    }
}

/// The subject of a sentence on files with so many ports.
pub(super) fn ports_are(ports: usize) -> &'static str {
    match ports {
        1 => "files of one port",
        2 => "files of two ports",
        3 => "files of three ports",
        _ => "files of four ports",
    }
}
