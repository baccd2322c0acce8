//! The fast path of a row: what most rows of most files are. It takes a row only where it gives what the careful path gives,
//! and leaves everything else (marks, missing values, comments, errors) to that path, untouched.

use crate::frequencies::Frequencies;
use spheresum_core::intake::text::plan::{
    Kind, MAX_DB, PHI_DEG, Plan, Role, Scale, THETA_DEG, is_in,
};
use spheresum_core::intake::text::{Separator, number};
use spheresum_core::unit::level;
use spheresum_core::{Complex64, Limits, Mark, Polarisation, Reading, Readings, Result, Value};

/// Most value columns of the fast path.
const MAX_CELLS: usize = 8;
/// Most leading columns that are compared with the row before.
const MAX_LEADING: usize = 6;
/// Readings that are put by before they become watts.
const BLOCK: usize = 256;

/// State of the fast path between rows.
#[derive(Debug)]
pub(crate) struct Fast<'p> {
    plan: &'p Plan,
    separator: u8,
    blanks: bool,
    sensitivity: bool,
    max_line_bytes: usize,
    /// Start of the last row taken, and the ends of its leading fields behind their separators, from that start.
    previous: usize,
    ends: [usize; MAX_LEADING],
    /// Number of leading columns without values; 0 while there is no row to compare with.
    leading: usize,
    known: usize,
    frequencies: Frequencies,
    frequency: usize,
    theta_deg: f64,
    phi_deg: f64,
    polarisation: Polarisation,
    cells: [f64; MAX_CELLS],
    /// All values are dBm: rows are put by, and become watts a block at a time, which is several times faster.
    by_block: bool,
    /// Readings put by, their values still in dBm.
    block: Vec<Reading>,
    levels: Vec<f64>,
}

impl<'p> Fast<'p> {
    /// The fast path of a plan; `None` where the plan has too many values, or no readings.
    pub(crate) fn new(plan: &'p Plan, separator: Separator, limits: &Limits) -> Option<Self> {
        let fits = matches!(plan.kind, Kind::Readings(_)) && plan.cells.len() <= MAX_CELLS;
        let leading = plan
            .roles
            .iter()
            .take_while(|r| !matches!(r, Role::Cell(_)))
            .count();
        fits.then(|| Self {
            plan,
            separator: separator.byte(),
            blanks: separator == Separator::Blank,
            sensitivity: plan.is_sensitivity(),
            max_line_bytes: limits.max_line_bytes,
            previous: 0,
            ends: [0; MAX_LEADING],
            leading: leading.min(MAX_LEADING),
            known: 0,
            frequencies: Frequencies::default(),
            frequency: 0,
            theta_deg: 0.0,
            phi_deg: 0.0,
            polarisation: Polarisation::Total,
            cells: [0.0; MAX_CELLS],
            by_block: plan.cells.iter().all(|c| c.scale == Scale::Dbm),
            block: Vec::new(),
            levels: Vec::new(),
        })
    }

    /// Number of readings put by.
    pub(crate) fn put_by(&self) -> usize {
        self.block.len()
    }

    /// Sets the index of the frequency that holds for all rows.
    pub(crate) fn fix_frequency(&mut self, index: usize) {
        self.frequency = index;
    }

    /// Remembers the text of a frequency.
    pub(crate) fn learn_frequency(&mut self, text: &str, index: usize) {
        self.frequencies.learn(text.as_bytes(), index);
    }

    /// Takes the row that starts at `at`, and gives the offset behind it. `None`: the careful path has to read it.
    #[inline]
    pub(crate) fn take(&mut self, text: &[u8], at: usize) -> Option<usize> {
        let next = self.row(text, at);
        match next {
            Some(_) => {
                self.previous = at;
                self.known = self.leading;
            }
            // What is remembered may be half of this row and half of the last.
            None => self.known = 0,
        }
        next
    }

    #[inline]
    fn row(&mut self, text: &[u8], at: usize) -> Option<usize> {
        let plan = self.plan;
        let count = plan.roles.len();
        let (mut column, mut pos) = self.unchanged(text, at);
        if column == 0 {
            pos = self.skip_blanks(text, at);
            if matches!(text.get(pos)?, b'#' | b'!' | b'%' | b'/') {
                return None;
            }
        }
        while let Some(role) = plan.roles.get(column) {
            pos = self.skip_blanks(text, pos);
            match *role {
                Role::Theta(angle) => {
                    let (written, end) = number::scan(text, pos, plan.decimal)?;
                    self.theta_deg = angle.degrees(written);
                    if !is_in(THETA_DEG, self.theta_deg) {
                        return None;
                    }
                    pos = end;
                }
                Role::Phi(angle) => {
                    let (written, end) = number::scan(text, pos, plan.decimal)?;
                    self.phi_deg = angle.degrees(written);
                    if !is_in(PHI_DEG, self.phi_deg) {
                        return None;
                    }
                    pos = end;
                }
                Role::Cell(cell) => {
                    let (written, end) = number::scan(text, pos, plan.decimal)?;
                    self.cells[cell] = if self.by_block {
                        // Never 0 W in this range.
                        (-MAX_DB..=MAX_DB).contains(&written).then_some(written)?
                    } else {
                        let value = plan.cells[cell].scale.linear(written)?;
                        if self.sensitivity && value == 0.0 {
                            return None;
                        }
                        value
                    };
                    pos = end;
                }
                Role::Frequency(_) => {
                    let end = self.word_end(text, pos)?;
                    self.frequency = self.frequencies.find(&text[pos..end])?;
                    pos = end;
                }
                Role::Polarisation => {
                    let end = self.word_end(text, pos)?;
                    self.polarisation = plan.tokens.quick(&text[pos..end])?;
                    pos = end;
                }
                Role::Skip => pos = self.field_end(text, pos)?,
            }
            let behind = self.skip_blanks(text, pos);
            column += 1;
            if column == count {
                pos = behind;
                break;
            }
            if self.blanks {
                if behind == pos {
                    return None;
                }
                pos = behind;
            } else {
                if text.get(behind) != Some(&self.separator) {
                    return None;
                }
                pos = behind + 1;
            }
            if let Some(end) = self.ends.get_mut(column - 1) {
                *end = pos - at;
            }
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

    /// Number of leading fields that stand in this row as in the last one, and the offset behind them.
    #[inline]
    fn unchanged(&self, text: &[u8], at: usize) -> (usize, usize) {
        let Some(most) = self
            .known
            .checked_sub(1)
            .and_then(|last| self.ends.get(last))
        else {
            return (0, at);
        };
        let same = common(text, self.previous, at, *most);
        let mut fields = self.known;
        while fields > 0 && self.ends[fields - 1] > same {
            fields -= 1;
        }
        match fields {
            0 => (0, at),
            _ => (fields, at + self.ends[fields - 1]),
        }
    }

    #[inline(always)]
    fn skip_blanks(&self, text: &[u8], mut at: usize) -> usize {
        while let Some(byte) = text.get(at) {
            if *byte == b' ' || (*byte == b'\t' && self.separator != b'\t') {
                at += 1;
            } else {
                break;
            }
        }
        at
    }

    /// End of a word without blanks and quotes.
    #[inline]
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

    /// Hands over the readings of the row taken last, which starts in `line`, or puts them by.
    #[inline]
    pub(crate) fn give(&mut self, readings: &mut Readings, line: u32) -> Result<()> {
        for output in &self.plan.outputs {
            let value = match output.imaginary {
                None => Value::Power(self.cells[output.cell]),
                Some(im) => Value::Field(Complex64::new(
                    self.cells[output.cell],
                    if self.plan.conjugate {
                        -self.cells[im]
                    } else {
                        self.cells[im]
                    },
                )),
            };
            let reading = Reading {
                frequency: self.frequency,
                theta_deg: self.theta_deg,
                phi_deg: self.phi_deg,
                polarisation: output.polarisation.unwrap_or(self.polarisation),
                value,
                mark: Mark::Exact,
                line,
            };
            if self.by_block {
                self.block.push(reading);
            } else {
                readings.push(reading)?;
            }
        }
        if self.block.len() >= BLOCK {
            self.flush(readings)
        } else {
            Ok(())
        }
    }

    /// Hands over what was put by. Has to be called before anything else is handed over, and at the end.
    pub(crate) fn flush(&mut self, readings: &mut Readings) -> Result<()> {
        self.levels.clear();
        self.levels.extend(self.block.iter().map(|r| match r.value {
            Value::Power(level_dbm) => level_dbm,
            Value::Field(field) => field.re,
        }));
        level::w_from_dbm_in_place(&mut self.levels);
        for (reading, power_w) in self.block.drain(..).zip(&self.levels) {
            readings.push(Reading {
                value: Value::Power(*power_w),
                ..reading
            })?;
        }
        Ok(())
    }
}

/// Number of bytes from `a` and from `b` that are the same, at most `most`.
#[inline]
fn common(text: &[u8], a: usize, b: usize, most: usize) -> usize {
    let word = |at: usize| {
        text.get(at..at + 8)
            .and_then(|w| w.try_into().ok())
            .map(u64::from_le_bytes)
    };
    let mut same = 0;
    while same < most {
        let (Some(x), Some(y)) = (word(a + same), word(b + same)) else {
            while same < most
                && text
                    .get(b + same)
                    .is_some_and(|y| text.get(a + same) == Some(y))
            {
                same += 1;
            }
            return same;
        };
        if x != y {
            return (same + (x ^ y).trailing_zeros() as usize / 8).min(most);
        }
        same += 8;
    }
    most
}
