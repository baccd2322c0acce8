//! The fast path of rows: what most rows of most files are. It takes a row only where it gives what the careful path gives,
//! and leaves everything else (marks, missing values, comments, errors) to that path, untouched.

use crate::rows::{BLOCK, Rows, Shape, State};
use spheresum_core::intake::text::plan::{Kind, Plan, Role};
use spheresum_core::intake::text::{Cursor, Separator};
use spheresum_core::model::Batch;
use spheresum_core::unit::level;
use spheresum_core::{Limits, Polarisation, Readings, Result};

/// The fast path of a table.
#[derive(Debug)]
pub(crate) struct Fast<'p> {
    plan: &'p Plan,
    shape: Shape<'p>,
    state: State,
    /// Indices of the frequencies of outputs that have their own.
    own_frequencies: Vec<u32>,
    /// The rows of a block.
    rows: Box<Rows>,
    value: Vec<f64>,
    imaginary: Vec<f64>,
    /// Columns of readings, where a row gives several.
    columns: Columns,
}

/// Columns of readings but for their values.
#[derive(Debug, Default)]
struct Columns {
    theta_deg: Vec<f64>,
    phi_deg: Vec<f64>,
    frequency: Vec<u32>,
    polarisation: Vec<Polarisation>,
    line: Vec<u32>,
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
        let per_row = plan.outputs.len();
        // Times are read by the careful path alone.
        let has_times = plan.has(|r| matches!(r, Role::Time(_)));
        let has_values = matches!(plan.kind, Kind::Readings(_)) && per_row > 0 && !has_times;
        let shape = has_values.then(|| Shape::of(plan, separator, limits))?;
        let narrow = |index: &usize| u32::try_from(*index).unwrap_or(u32::MAX);
        let complex = plan.outputs.iter().any(|o| o.imaginary.is_some());
        let rows = BLOCK.min(MOST_VALUES / per_row).max(1);
        Some(Self {
            plan,
            state: State::of(plan),
            shape,
            own_frequencies: own_frequencies.iter().map(narrow).collect(),
            rows: Box::default(),
            value: vec![0.0; rows * per_row],
            imaginary: vec![0.0; if complex { rows * per_row } else { 0 }],
            columns: Columns::default(),
        })
    }

    /// Sets the index of the frequency that holds for all rows.
    pub(crate) fn fix_frequency(&mut self, index: usize) {
        self.state.fix_frequency(index);
    }

    /// Remembers the text of a frequency.
    pub(crate) fn learn_frequency(&mut self, text: &str, index: usize) {
        self.state.learn_frequency(text, index);
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
        let per_row = self.plan.outputs.len();
        let mut taken = 0;
        loop {
            // More readings than the limit are for the careful path to refuse.
            let room = max_readings.saturating_sub(readings.len()) / per_row;
            let most = (self.value.len() / per_row).min(room).min(BLOCK);
            let take = match self.imaginary.is_empty() {
                true => State::take::<false>,
                false => State::take::<true>,
            };
            let (rows, next) = take(
                &mut self.state,
                &self.shape,
                text,
                cursor.at,
                most,
                &mut self.rows,
                &mut self.value,
                &mut self.imaginary,
            );
            self.hand_over(rows, cursor.number, readings)?;
            taken += rows as u64;
            cursor = Cursor {
                at: next,
                number: cursor.number + rows as u64,
            };
            if rows < most || most == 0 {
                self.state.forget();
                return Ok((cursor, taken));
            }
        }
    }

    /// Hands over the rows of a block, which stand in lines in succession from `first_line` on.
    fn hand_over(&mut self, rows: usize, first_line: u64, readings: &mut Readings) -> Result<()> {
        let per_row = self.plan.outputs.len();
        let value = &mut self.value[..rows * per_row];
        if self.shape.by_block {
            level::w_from_dbm_in_place(value);
        }
        let imaginary = match self.imaginary.get_mut(..rows * per_row) {
            Some(imaginary) if self.plan.conjugate => {
                imaginary.iter_mut().for_each(|part| *part = -*part);
                &*imaginary
            }
            Some(imaginary) => &*imaginary,
            None => &[],
        };
        let columns = &mut self.columns;
        columns.line.clear();
        let lines = first_line..first_line + rows as u64;
        if per_row == 1 {
            match (short(lines.start), short(lines.end)) {
                (first, end) if first > 0 && end > 0 => columns.line.extend(first..end),
                _ => columns.line.extend(lines.map(short)),
            }
            let polarisation = self.plan.outputs.first().and_then(|o| o.polarisation);
            if let Some(polarisation) = polarisation {
                self.rows.polarisation[..rows].fill(polarisation);
            }
            return readings.append(&Batch {
                theta_deg: &self.rows.theta_deg[..rows],
                phi_deg: &self.rows.phi_deg[..rows],
                frequency: match self.own_frequencies.first() {
                    Some(own) => {
                        self.rows.frequency[..rows].fill(*own);
                        &self.rows.frequency[..rows]
                    }
                    None => &self.rows.frequency[..rows],
                },
                polarisation: &self.rows.polarisation[..rows],
                value,
                imaginary,
                line: &columns.line,
            });
        }
        let held = &self.rows;
        repeat_each(&mut columns.theta_deg, &held.theta_deg[..rows], per_row);
        repeat_each(&mut columns.phi_deg, &held.phi_deg[..rows], per_row);
        columns.line.resize(rows * per_row, 0);
        for (row, line) in columns.line.chunks_exact_mut(per_row).zip(lines) {
            row.fill(short(line));
        }
        if self.own_frequencies.is_empty() {
            repeat_each(&mut columns.frequency, &held.frequency[..rows], per_row);
        } else {
            columns.frequency.clear();
            for _ in 0..rows {
                columns.frequency.extend_from_slice(&self.own_frequencies);
            }
        }
        repeat_each(
            &mut columns.polarisation,
            &held.polarisation[..rows],
            per_row,
        );
        for (at, output) in self.plan.outputs.iter().enumerate() {
            if let Some(own) = output.polarisation {
                let of_output = columns.polarisation.iter_mut().skip(at).step_by(per_row);
                of_output.for_each(|p| *p = own);
            }
        }
        readings.append(&Batch {
            theta_deg: &columns.theta_deg,
            phi_deg: &columns.phi_deg,
            frequency: &columns.frequency,
            polarisation: &columns.polarisation,
            value,
            imaginary,
            line: &columns.line,
        })
    }
}

/// Each value `times` times, one after the other.
fn repeat_each<T: Copy>(into: &mut Vec<T>, values: &[T], times: usize) {
    into.clear();
    if let Some(first) = values.first() {
        into.resize(values.len() * times, *first);
    }
    for (run, value) in into.chunks_exact_mut(times.max(1)).zip(values) {
        run.fill(*value);
    }
}

/// Values of a block, where rows are wide.
const MOST_VALUES: usize = 4096;

/// A line number for a reading; 0, "none", beyond four thousand million.
#[inline(always)]
fn short(number: u64) -> u32 {
    u32::try_from(number).unwrap_or(0)
}
