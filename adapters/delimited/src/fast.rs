//! The fast path of a row: what most rows of most files are. It takes a row only where it gives what the careful path gives,
//! and leaves everything else (marks, missing values, comments, errors) to that path, untouched.

use crate::frequencies::Frequencies;
use crate::leading::Leading;
use crate::lines::Cursor;
use crate::recurring::Recurring;
use crate::split::Separator;
use spheresum_core::intake::text::number;
use spheresum_core::intake::text::plan::{
    Kind, MAX_DB, PHI_DEG, Plan, Role, Scale, THETA_DEG, is_in,
};
use spheresum_core::model::Batch;
use spheresum_core::unit::level;
use spheresum_core::{Limits, Polarisation, Readings, Result};

/// Readings that are put by before they become watts.
const BLOCK: usize = 512;

/// State of the fast path between rows.
#[derive(Debug)]
pub(crate) struct Fast<'p> {
    plan: &'p Plan,
    separator: u8,
    blanks: bool,
    sensitivity: bool,
    max_line_bytes: usize,
    /// Indices of the frequencies of outputs that have their own.
    own_frequencies: Vec<u32>,
    leading: Leading,
    thetas: Recurring,
    phis: Recurring,
    frequencies: Frequencies,
    frequency: usize,
    theta_deg: f64,
    phi_deg: f64,
    polarisation: Polarisation,
    cells: Vec<f64>,
    /// Number of readings put by whose θ and frequency are in the batch already; those behind have the present ones.
    filled_theta: usize,
    filled_frequency: usize,
    /// All values are dBm: they become watts a block at a time, which is several times faster.
    by_block: bool,
    /// Readings put by; their values still in dBm where `by_block`.
    batch: Batch,
}

impl<'p> Fast<'p> {
    /// The fast path of a plan; `None` where it gives no readings. `own_frequencies` are the indices of the outputs' own
    /// frequencies, if they have some.
    pub(crate) fn new(
        plan: &'p Plan,
        separator: Separator,
        own_frequencies: &[usize],
        limits: &Limits,
    ) -> Option<Self> {
        let leading = plan
            .roles
            .iter()
            .take_while(|r| !matches!(r, Role::Cell(_)))
            .count();
        let narrow = |index: &usize| u32::try_from(*index).unwrap_or(u32::MAX);
        matches!(plan.kind, Kind::Readings(_)).then(|| Self {
            plan,
            separator: separator.byte(),
            blanks: separator == Separator::Blank,
            sensitivity: plan.is_sensitivity(),
            max_line_bytes: limits.max_line_bytes,
            own_frequencies: own_frequencies.iter().map(narrow).collect(),
            leading: Leading::new(leading),
            thetas: Recurring::default(),
            phis: Recurring::default(),
            frequencies: Frequencies::default(),
            frequency: 0,
            theta_deg: 0.0,
            phi_deg: 0.0,
            polarisation: Polarisation::Total,
            cells: vec![0.0; plan.cells.len()],
            filled_theta: 0,
            filled_frequency: 0,
            by_block: plan.cells.iter().all(|c| c.scale == Scale::Dbm),
            batch: Batch::default(),
        })
    }

    /// Sets the index of the frequency that holds for all rows.
    pub(crate) fn fix_frequency(&mut self, index: usize) {
        self.frequency = index;
    }

    /// Remembers the text of a frequency.
    pub(crate) fn learn_frequency(&mut self, text: &str, index: usize) {
        self.frequencies.learn(text.as_bytes(), index);
    }

    /// Takes rows from the cursor on, as long as it can, and hands their readings over. Gives the cursor behind them and their
    /// number.
    ///
    /// # Errors
    /// Those of [`Readings::append`].
    pub(crate) fn run(
        &mut self,
        text: &[u8],
        mut cursor: Cursor,
        readings: &mut Readings,
        max_readings: usize,
    ) -> Result<(Cursor, u64)> {
        let per_row = self.plan.outputs.len().max(1);
        // More than these are for the careful path to refuse.
        let most = max_readings.saturating_sub(readings.len()) / per_row;
        let mut rows = 0;
        let mut first_line = cursor.number;
        while rows < most
            && let Some(next) = self.row(text, cursor.at)
        {
            self.put_by();
            self.leading.keep(text, cursor.at);
            cursor = Cursor {
                at: next,
                number: cursor.number + 1,
            };
            rows += 1;
            if self.batch.value.len() >= BLOCK {
                self.flush(first_line, readings)?;
                first_line = cursor.number;
            }
        }
        // What is remembered may be half of the row that was not taken, and half of the last.
        self.leading.forget();
        self.flush(first_line, readings)?;
        Ok((cursor, rows as u64))
    }

    /// Reads the row that starts at `at`, and gives the offset behind it. `None`: the careful path has to read it.
    #[inline(always)]
    fn row(&mut self, text: &[u8], at: usize) -> Option<usize> {
        let plan = self.plan;
        let count = plan.roles.len();
        let (mut column, same) = self.leading.same(text, at);
        let mut pos = at + same;
        if column == 0 {
            pos = self.skip_blanks(text, at);
            if matches!(text.get(pos)?, b'#' | b'!' | b'%' | b'/') {
                return None;
            }
        }
        while let Some(role) = plan.roles.get(column) {
            pos = self.skip_blanks(text, pos);
            match *role {
                Role::Cell(cell) => {
                    let (written, end) = number::scan(text, pos, plan.decimal)?;
                    let value = if self.by_block {
                        // Never 0 W in this range.
                        (-MAX_DB..=MAX_DB).contains(&written).then_some(written)?
                    } else {
                        let value = plan.cells.get(cell)?.scale.linear(written)?;
                        if self.sensitivity && value == 0.0 {
                            return None;
                        }
                        value
                    };
                    *self.cells.get_mut(cell)? = value;
                    pos = end;
                }
                Role::Polarisation => {
                    let end = match text.get(pos + 1) {
                        Some(next) if *next == self.separator => pos + 1,
                        _ => self.word_end(text, pos)?,
                    };
                    self.polarisation = plan.tokens.quick(text.get(pos..end)?)?;
                    pos = end;
                }
                Role::Phi(angle) => {
                    let (degrees, end) = match self.phis.find(text, pos) {
                        Some(known) => known,
                        None => {
                            let (written, end) = number::scan(text, pos, plan.decimal)?;
                            let degrees = angle.degrees(written);
                            if !is_in(PHI_DEG, degrees) {
                                return None;
                            }
                            self.phis.learn(text, pos, end, degrees);
                            (degrees, end)
                        }
                    };
                    self.phi_deg = degrees;
                    pos = end;
                }
                Role::Theta(angle) => {
                    let (degrees, end) = match self.thetas.find(text, pos) {
                        Some(known) => known,
                        None => {
                            let (written, end) = number::scan(text, pos, plan.decimal)?;
                            let degrees = angle.degrees(written);
                            if !is_in(THETA_DEG, degrees) {
                                return None;
                            }
                            self.thetas.learn(text, pos, end, degrees);
                            (degrees, end)
                        }
                    };
                    self.fill_theta();
                    self.theta_deg = degrees;
                    pos = end;
                }
                Role::Frequency(_) => {
                    let end = self.word_end(text, pos)?;
                    let frequency = self.frequencies.find(text.get(pos..end)?)?;
                    self.fill_frequency();
                    self.frequency = frequency;
                    pos = end;
                }
                Role::Skip => pos = self.field_end(text, pos)?,
            }
            column += 1;
            if text.get(pos) != Some(&self.separator) || self.blanks || column == count {
                let behind = self.skip_blanks(text, pos);
                if column == count {
                    pos = behind;
                    break;
                }
                let separates = if self.blanks {
                    behind > pos
                } else {
                    text.get(behind) == Some(&self.separator)
                };
                if !separates {
                    return None;
                }
                pos = behind + usize::from(!self.blanks);
            } else {
                pos += 1;
            }
            self.leading.ends(column - 1, pos - at);
        }
        if pos - at > self.max_line_bytes {
            return None;
        }
        match text.get(pos) {
            None => Some(pos),
            Some(b'\n') => Some(pos + 1),
            Some(b'\r') if text.get(pos + 1) == Some(&b'\n') => Some(pos + 2),
            Some(b'\r') => Some(pos + 1),
            Some(_) => None,
        }
    }

    #[inline(always)]
    fn skip_blanks(&self, text: &[u8], mut at: usize) -> usize {
        while let Some(byte) = text.get(at) {
            // Nearly always: no blank at all.
            if *byte > b' ' || (*byte != b' ' && (*byte != b'\t' || self.separator == b'\t')) {
                break;
            }
            at += 1;
        }
        at
    }

    /// End of a word without blanks and quotes.
    #[inline(always)]
    fn word_end(&self, text: &[u8], from: usize) -> Option<usize> {
        let mut at = from;
        while let Some(byte) = text.get(at) {
            match byte {
                b'"' => return None,
                b'\n' | b'\r' | b' ' | b'\t' => break,
                b if *b == self.separator => break,
                _ => at += 1,
            }
        }
        (at > from).then_some(at)
    }

    /// End of a field that is not used.
    fn field_end(&self, text: &[u8], from: usize) -> Option<usize> {
        if text.get(from) == Some(&b'"')
            || self.blanks && matches!(text.get(from), Some(b'(' | b'['))
        {
            return None;
        }
        let mut at = from;
        while let Some(byte) = text.get(at) {
            match byte {
                b'\n' | b'\r' => break,
                b' ' | b'\t' if self.blanks => break,
                // Under blanks these hide separators.
                b'(' | b'[' if self.blanks => return None,
                b if *b == self.separator => break,
                _ => at += 1,
            }
        }
        Some(at)
    }

    /// Puts the readings of the row read last by, but for what [`Fast::flush`] fills in.
    #[inline(always)]
    fn put_by(&mut self) {
        let batch = &mut self.batch;
        for output in &self.plan.outputs {
            batch.phi_deg.push(self.phi_deg);
            batch.value.push(self.cells[output.cell]);
            batch
                .polarisation
                .push(output.polarisation.unwrap_or(self.polarisation));
            if let Some(imaginary) = output.imaginary {
                let part = self.cells[imaginary];
                batch
                    .imaginary
                    .push(if self.plan.conjugate { -part } else { part });
            }
        }
    }

    /// Gives the readings put by their θ, which changes behind them.
    #[inline(always)]
    fn fill_theta(&mut self) {
        let put_by = self.batch.value.len();
        if self.filled_theta < put_by {
            self.batch.theta_deg.resize(put_by, self.theta_deg);
            self.filled_theta = put_by;
        }
    }

    /// Gives the readings put by their frequency, which changes behind them.
    #[inline(always)]
    fn fill_frequency(&mut self) {
        let put_by = self.batch.value.len();
        if self.filled_frequency < put_by {
            let frequency = u32::try_from(self.frequency).unwrap_or(u32::MAX);
            self.batch.frequency.resize(put_by, frequency);
            self.filled_frequency = put_by;
        }
    }

    /// Hands over what was put by: rows of lines in succession, from `first_line` on.
    fn flush(&mut self, first_line: u64, readings: &mut Readings) -> Result<()> {
        self.fill_theta();
        self.fill_frequency();
        let batch = &mut self.batch;
        if !self.own_frequencies.is_empty() {
            batch.frequency.clear();
            let each_row = self.own_frequencies.iter().cycle();
            batch
                .frequency
                .extend(each_row.take(batch.value.len()).copied());
        }
        if self.by_block {
            level::w_from_dbm_in_place(&mut batch.value);
        }
        let per_row = self.plan.outputs.len().max(1);
        let rows = batch.value.len() / per_row;
        for number in (first_line..).take(rows) {
            let line = u32::try_from(number).unwrap_or(0);
            batch.line.extend(std::iter::repeat_n(line, per_row));
        }
        let appended = readings.append(batch);
        batch.clear();
        (self.filled_theta, self.filled_frequency) = (0, 0);
        appended
    }
}
