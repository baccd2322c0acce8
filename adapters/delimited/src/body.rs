//! The rows of a table, one after the other, into readings or a curve.

use crate::careful::{Context, Row};
use crate::fast::Fast;
use crate::field;
use crate::lines::{Cursor, line_at};
use crate::plan::{Kind, Role};
use crate::preamble::{Entry, Key};
use crate::table::long_line;
use spheresum_core::intake::Intake;
use spheresum_core::intake::source::Line;
use spheresum_core::{
    Complex64, Curve, Error, Finding, Mark, Place, Polarisation, Reading, Readings, Result, Value,
};

/// What the rows gave.
struct Body<'c, 'a> {
    context: &'c Context<'a>,
    readings: Readings,
    curve: Curve,
    /// Lines with data.
    rows: u64,
    /// Readings or points.
    given: u64,
    zero_powers: u64,
    first_zero: Option<Place>,
    /// A claim of the number of rows, from a comment below the heading.
    claim_below: Option<Entry<'a>>,
}

/// Reads all rows. `with_fast_path: false` reads every row by the careful path; the result is the same.
///
/// # Errors
/// Those of the rows; Input where there is none, or their number is not the claimed one.
pub(crate) fn read(
    context: &Context<'_>,
    findings: Vec<Finding>,
    with_fast_path: bool,
) -> Result<Intake> {
    let mut body = Body::new(context);
    body.rows(with_fast_path)?;
    body.check_claims()?;
    body.finish(findings)
}

impl<'c, 'a> Body<'c, 'a> {
    fn new(context: &'c Context<'a>) -> Self {
        let name = context.source.name();
        let quantity = match context.plan.kind {
            Kind::Readings(quantity) => quantity,
            // Never filled.
            Kind::Loss => spheresum_core::Quantity::Eirp,
        };
        let mut readings = Readings::new(name, quantity, context.limits);
        for entry in &context.table.preamble.entries {
            readings.add_metadata(entry.key, entry.value);
        }
        Self {
            context,
            readings,
            curve: Curve::new(name),
            rows: 0,
            given: 0,
            zero_powers: 0,
            first_zero: None,
            claim_below: None,
        }
    }

    fn rows(&mut self, with_fast_path: bool) -> Result<()> {
        let Context {
            source,
            table,
            plan,
            limits,
            ..
        } = *self.context;
        let text = source.text();
        let bytes = text.as_bytes();
        let mut fast = with_fast_path
            .then(|| Fast::new(plan, table.separator, limits))
            .flatten();
        let mut row = Row::default();
        let mut cursor = table.body;
        let per_row = plan.outputs.len();
        while cursor.at < bytes.len() {
            if let Some(fast) = &mut fast
                && self.rows > 0
                && self.readings.len() + fast.put_by() + per_row <= limits.max_readings
                && let Some(next) = fast.take(bytes, cursor.at)
            {
                fast.give(&mut self.readings, short(cursor.number))?;
                self.rows += 1;
                self.given += per_row as u64;
                cursor = Cursor {
                    at: next,
                    number: cursor.number + 1,
                };
                continue;
            }
            if let Some(fast) = &mut fast {
                fast.flush(&mut self.readings)?;
            }
            let Some((line, next)) = line_at(text, cursor) else {
                break;
            };
            let is_last = next.at >= bytes.len();
            cursor = next;
            if line.text.len() > limits.max_line_bytes {
                return Err(long_line(source, line, limits));
            }
            if line.text.trim().is_empty() {
                continue;
            }
            if field::comment(line.text).is_some() {
                self.comment(line)?;
                continue;
            }
            row.read(self.context, line, is_last)?;
            self.rows += 1;
            let index = self.take(&row, line)?;
            if self.rows == 1 {
                // What the text can hold at most, judged by its first row: no claim of the file is believed.
                let left = bytes.len() - line.at;
                self.readings
                    .reserve(per_row.saturating_mul(left / (line.text.len() + 1) + 1));
            }
            if let (Some(fast), Some(index)) = (&mut fast, index) {
                learn(fast, self.context, &row, line, index);
            }
        }
        match &mut fast {
            Some(fast) => fast.flush(&mut self.readings),
            None => Ok(()),
        }
    }

    /// Takes a row that the careful path has read; gives the index of its frequency, for readings.
    fn take(&mut self, row: &Row, line: Line<'_>) -> Result<Option<usize>> {
        let Context { plan, limits, .. } = *self.context;
        let frequency = row.frequency.or(plan.fixed.map(|f| f.frequency));
        let in_column = |column: usize| self.context.place(line, &row.spans, column);
        let index = match plan.kind {
            Kind::Loss => None,
            Kind::Readings(_) => {
                let found = self.readings.frequency_index(frequency, limits);
                Some(found.map_err(|e| {
                    let column = plan
                        .roles
                        .iter()
                        .position(|r| matches!(r, Role::Frequency(_)));
                    e.at(in_column(column.unwrap_or_default()))
                })?)
            }
        };
        for output in &plan.outputs {
            let column = plan.cells.get(output.cell).map_or(0, |c| c.column);
            let real = row.cells.get(output.cell).copied().flatten();
            let imaginary = output
                .imaginary
                .map(|im| row.cells.get(im).copied().flatten());
            let value = match (real, imaginary) {
                (None, None | Some(None)) => continue,
                (Some(cell), None) => Value::Power(cell.value),
                (Some(re), Some(Some(im))) => Value::Field(Complex64::new(
                    re.value,
                    if plan.conjugate { -im.value } else { im.value },
                )),
                (Some(_), Some(None)) | (None, Some(Some(_))) => {
                    return Err(
                        Error::input("one of the two components of a field is missing")
                            .hint("leave both empty where there is no reading")
                            .at(in_column(column)),
                    );
                }
            };
            let polarisation = output
                .polarisation
                .or(row.polarisation)
                .unwrap_or(Polarisation::Total);
            let pushed = match (value, index, frequency) {
                (Value::Power(_), None, Some(_))
                    if self.curve.points(polarisation).len() >= limits.max_frequencies =>
                {
                    Err(Error::limit(format!(
                        "more than {} different frequencies",
                        limits.max_frequencies
                    ))
                    .hint("raise the limit, or check that the frequency column is one"))
                }
                (Value::Power(loss_db), None, Some(frequency)) => {
                    self.curve.push(polarisation, frequency, loss_db)
                }
                (_, Some(frequency), _) => self.readings.push(Reading {
                    frequency,
                    theta_deg: row.theta_deg,
                    phi_deg: row.phi_deg,
                    polarisation,
                    value,
                    mark: real.map_or(Mark::Exact, |c| c.mark),
                    line: short(line.number),
                }),
                _ => Err(Error::input("a loss has no frequency")),
            };
            pushed.map_err(|e| e.at(in_column(column)))?;
            self.given += 1;
            if real.is_some_and(|c| c.zero_power) {
                self.zero_powers += 1;
                self.first_zero.get_or_insert_with(|| in_column(column));
            }
        }
        Ok(index)
    }

    /// A comment among the rows: a remark, a claim of the number of rows, or something that comes too late.
    fn comment(&mut self, line: Line<'a>) -> Result<()> {
        let Some(entry) = Entry::of(line, false) else {
            return Ok(());
        };
        match entry.known() {
            Some(Key::Rows) => self.claim_below = Some(entry),
            Some(key)
                if self
                    .context
                    .table
                    .preamble
                    .get(key)
                    .is_none_or(|first| first.value != entry.value) =>
            {
                return Err(Error::input(format!(
                    "{}: {} stands below the heading, and would be overlooked",
                    entry.key, entry.value
                ))
                .hint("put it above the heading; where two files were joined, give them as two")
                .at(entry.place(self.context.source)));
            }
            _ => {}
        }
        self.readings.add_metadata(entry.key, entry.value);
        Ok(())
    }

    fn check_claims(&self) -> Result<()> {
        let Context { source, table, .. } = *self.context;
        for entry in [table.preamble.get(Key::Rows), self.claim_below]
            .into_iter()
            .flatten()
        {
            let claimed = entry.value.parse::<u64>().ok();
            if claimed == Some(self.rows) {
                continue;
            }
            let is_count =
                !entry.value.is_empty() && entry.value.bytes().all(|b| b.is_ascii_digit());
            let error = if is_count {
                Error::input(format!("{} {} are claimed, and there are {}", entry.value, entry.key, self.rows))
                    .hint("the file may be cut off, or lines were added or taken away; the count is that of lines with data")
            } else {
                Error::input(format!("{:?} is no count of lines", entry.value))
                    .hint("write the number of lines with data")
            };
            return Err(error.at(entry.place(source)));
        }
        if self.rows == 0 {
            return Err(Error::input("there is a heading, and no row below it")
                .hint("the file may be cut off; export it again")
                .at(table.whole(source)));
        }
        if self.given == 0 {
            return Err(Error::input("no row has a value")
                .hint("every value is empty or stands for a missing one; check the export")
                .at(table.whole(source)));
        }
        Ok(())
    }

    fn finish(mut self, mut findings: Vec<Finding>) -> Result<Intake> {
        if self.zero_powers > 0 {
            let finding = Finding::note(
                "zero-power",
                format!(
                    "{} values are written as -inf, and taken as a power of 0 W",
                    self.zero_powers
                ),
            );
            findings.push(match self.first_zero.take() {
                Some(place) => finding.at(place),
                None => finding,
            });
        }
        if self.context.plan.kind == Kind::Loss {
            return Ok(Intake::of_curve(self.curve, findings));
        }
        Ok(Intake::of_readings(self.readings, findings))
    }
}

/// Tells the fast path what the careful path has learnt from a row.
fn learn(fast: &mut Fast<'_>, context: &Context<'_>, row: &Row, line: Line<'_>, index: usize) {
    let column = context
        .plan
        .roles
        .iter()
        .position(|r| matches!(r, Role::Frequency(_)));
    match column.and_then(|c| row.spans.get(c)) {
        Some((start, end)) => fast.learn_frequency(&line.text[*start..*end], index),
        None => fast.fix_frequency(index),
    }
}

/// A line number for a reading; 0, "none", beyond four thousand million.
fn short(number: u64) -> u32 {
    u32::try_from(number).unwrap_or(0)
}
