//! The network data: lines of numbers become frequencies with their complex values.

mod faults;

use crate::frequency::frequency;
use crate::named::Named;
use crate::noise;
use crate::number::number;
use crate::option_line::Format;
use crate::plan::Plan;
use crate::shape;
use crate::word::Word;
use spheresum_core::intake::Source;
use spheresum_core::model::{Complex64, PortMatrix, PortPair};
use spheresum_core::{Error, Frequency, Limits, Polarisation, Result};

/// What a line was.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Taken {
    /// Network data.
    Network,
    /// The first line of a noise block, not taken.
    Noise,
}

/// A frequency whose values are being read.
#[derive(Clone, Debug)]
struct Open<'a> {
    /// The frequency's word.
    word: Word<'a>,
    /// The frequency; `None` is 0 Hz.
    frequency: Option<Frequency>,
    /// How many numbers its first line had.
    numbers: usize,
    /// How many complex values there are so far.
    filled: usize,
}

/// Network data as far as they are read.
#[derive(Clone, Debug)]
pub(crate) struct Network<'a> {
    plan: Plan,
    paths: Vec<(Polarisation, PortPair)>,
    limits: Limits,
    frequencies: Vec<Frequency>,
    values: Vec<Complex64>,
    /// The matrix of the open frequency, row by row.
    matrix: Vec<Complex64>,
    open: Option<Open<'a>>,
    /// The last frequency that is complete.
    last: Option<(Option<Frequency>, Word<'a>)>,
    /// The last word of the last line.
    end: Option<Word<'a>>,
    /// Number of frequencies, with those at 0 Hz.
    pub(crate) count: u64,
    /// A point at 0 Hz, which is left out.
    pub(crate) at_zero: Option<Word<'a>>,
}

impl<'a> Network<'a> {
    /// No data yet.
    pub(crate) fn new(plan: Plan, named: &Named, limits: &Limits) -> Self {
        Self {
            matrix: vec![Complex64::default(); plan.ports * plan.ports],
            plan,
            paths: named.paths.clone(),
            limits: limits.clone(),
            frequencies: Vec::new(),
            values: Vec::new(),
            open: None,
            last: None,
            end: None,
            count: 0,
            at_zero: None,
        }
    }

    /// The plan.
    pub(crate) fn plan(&self) -> &Plan {
        &self.plan
    }

    /// Takes a line.
    ///
    /// # Errors
    /// Input: numbers that are missing, too many, or none; frequencies that do not ascend. Limit.
    pub(crate) fn line(&mut self, words: &[Word<'a>], source: &Source) -> Result<Taken> {
        let (Some(first), Some(last)) = (words.first(), words.last()) else {
            return Ok(Taken::Network);
        };
        let is_start = words.len() % 2 == 1;
        let pairs = match &self.open {
            None if !is_start => return Err(self.even(words.len(), *last, source)),
            None => {
                if self.begin(*first, words.len(), source)? == Taken::Noise {
                    return Ok(Taken::Noise);
                }
                words.get(1..).unwrap_or_default()
            }
            Some(open) if is_start => return Err(self.cut(open, words, *last, source)),
            Some(_) => words,
        };
        self.end = Some(*last);
        for pair in pairs.chunks_exact(2) {
            if let [first, second] = pair {
                self.value(*first, *second, source)?;
            }
        }
        let wanted = self.plan.cells.len();
        if let Some(open) = self.open.take_if(|open| open.filled == wanted) {
            self.close(open, source)?;
        }
        Ok(Taken::Network)
    }

    /// Begins a frequency.
    fn begin(&mut self, word: Word<'a>, numbers: usize, source: &Source) -> Result<Taken> {
        let frequency = frequency(word, self.plan.unit, source)?;
        if let Some((last, last_word)) = &self.last
            && frequency <= *last
        {
            let may_be_noise = !self.plan.is_version_2 && self.plan.ports == 2;
            if may_be_noise && numbers == noise::NUMBERS && frequency < *last {
                return Ok(Taken::Noise);
            }
            let (symbol, text) = (self.plan.unit.symbol(), word.text());
            let message = if frequency == *last {
                format!("{text} {symbol} is given twice")
            } else {
                format!(
                    "the frequencies do not ascend: {text} {symbol} behind {} {symbol}",
                    last_word.text()
                )
            };
            return Err(word.wrong(
                source,
                message,
                "sort the lines by frequency, each once; a noise block of a two-port begins at a lower frequency and has five numbers a line",
            ));
        }
        self.open = Some(Open {
            word,
            frequency,
            numbers,
            filled: 0,
        });
        Ok(Taken::Network)
    }

    /// Takes a complex value of the open frequency.
    fn value(&mut self, first: Word<'a>, second: Word<'a>, source: &Source) -> Result<()> {
        let Some(open) = &mut self.open else {
            return Ok(());
        };
        let Some(pair) = self.plan.cells.get(open.filled).copied() else {
            let symbol = self.plan.unit.symbol();
            return Err(first.wrong(
                source,
                format!(
                    "more numbers than the {} of {} {symbol}",
                    shape::values(self.plan.cells.len()),
                    open.word.text()
                ),
                format!(
                    "{} have {} numbers a frequency; see whether the number of ports is right",
                    faults::ports_are(self.plan.ports),
                    1 + 2 * self.plan.cells.len()
                ),
            ));
        };
        let (a, b) = (number(first, source)?, number(second, source)?);
        if self.plan.format == Format::Ma && a < 0.0 {
            return Err(first.wrong(
                source,
                format!("a magnitude of {}", first.text()),
                "a magnitude is not negative; if the numbers are real and imaginary parts, the option line should say RI",
            ));
        }
        let value = self.plan.value(pair, a, b);
        if !value.re.is_finite() || !value.im.is_finite() {
            return Err(first.wrong(
                source,
                format!("{} is beyond the range of numbers", first.shown()),
                "see whether the format in the option line (DB, MA, RI) is that of the data",
            ));
        }
        open.filled += 1;
        let mirror = self.plan.is_mirrored.then_some(PortPair {
            to: pair.from,
            from: pair.to,
        });
        for pair in std::iter::once(pair).chain(mirror) {
            // 0 Hz has no loss, as it is left out.
            let is_path =
                open.frequency.is_some() && self.paths.iter().any(|(_, path)| *path == pair);
            if is_path && value == Complex64::default() {
                return Err(first.wrong(
                    source,
                    format!("S{pair} is 0 at {} {}", open.word.text(), self.plan.unit.symbol()),
                    "a range path without transfer has no loss; see whether another transfer is the path",
                ));
            }
            let at = (pair.to - 1) * self.plan.ports + pair.from - 1;
            if let Some(slot) = self.matrix.get_mut(at) {
                *slot = value;
            }
        }
        Ok(())
    }

    /// Keeps a frequency that is complete.
    fn close(&mut self, open: Open<'a>, source: &Source) -> Result<()> {
        self.last = Some((open.frequency, open.word));
        self.count += 1;
        let Some(frequency) = open.frequency else {
            self.at_zero = Some(open.word);
            return Ok(());
        };
        let over = |what: &str, most: usize| {
            Err(Error::limit(format!("more than {most} {what}"))
                .hint(format!(
                    "raise the limit on {what}, or split the file by frequency"
                ))
                .at(open.word.place(source)))
        };
        if self.frequencies.len() >= self.limits.max_frequencies {
            return over("frequencies", self.limits.max_frequencies);
        }
        if self.values.len() + self.matrix.len() > self.limits.max_readings {
            return over("readings", self.limits.max_readings);
        }
        self.frequencies.push(frequency);
        self.values.extend_from_slice(&self.matrix);
        Ok(())
    }

    /// Ends the data; `start` is where they began.
    ///
    /// # Errors
    /// Input: the last frequency is incomplete, or there is none above 0 Hz.
    pub(crate) fn end(&self, start: Word<'a>, source: &Source) -> Result<()> {
        match &self.open {
            Some(open) => Err(self.incomplete(open, self.end.unwrap_or(open.word), source)),
            None if self.frequencies.is_empty() => Err(start.wrong(
                source,
                "no network data above 0 Hz",
                "a file has at least one frequency above 0 Hz with its values",
            )),
            None => Ok(()),
        }
    }

    /// The port data.
    ///
    /// # Errors
    /// As [`PortMatrix::new`].
    pub(crate) fn into_matrix(self) -> Result<PortMatrix> {
        PortMatrix::new(
            self.plan.parameter,
            self.plan.reference_ohm,
            self.frequencies,
            self.values,
        )
    }
}
