//! Rows gathered into readings, or into a curve.

use crate::intake::adapter::Intake;
use crate::intake::source::Source;
use crate::intake::text::entries::{Entry, Key, too_many};
use crate::intake::text::field;
use crate::intake::text::plan::{Kind, Output, Role};
use crate::intake::text::row::{Context, Row};
use crate::intake::text::table::Field;
use crate::{
    Curve, Error, Finding, Frequency, Mark, Place, Polarisation, Quantity, Reading, Readings,
    Result, Value,
};
use num_complex::Complex64;
use std::collections::HashMap;
use std::collections::hash_map::Entry as Slot;

/// Gathers rows.
#[derive(Debug)]
pub struct Gather<'c, 'a> {
    context: &'c Context<'a>,
    readings: Readings,
    curve: Curve,
    /// Indices of the frequencies of outputs that have their own.
    indices: Vec<usize>,
    row: Row,
    lines: u64,
    given: u64,
    zero_powers: u64,
    first_zero: Option<Place>,
    /// Times that cannot be read, and where the first of them stands.
    odd_times: u64,
    first_odd_time: Option<Place>,
    /// A claim of the number of rows, from an entry below the heading.
    claim_below: Option<Claim>,
}

/// A claim of the number of rows.
#[derive(Debug)]
struct Claim {
    key: String,
    value: String,
    place: Place,
}

impl Claim {
    fn of(entry: &Entry<'_>, source: &Source) -> Self {
        Self {
            key: entry.key.to_string(),
            value: entry.value.to_string(),
            place: entry.place(source),
        }
    }
}

impl<'c, 'a> Gather<'c, 'a> {
    /// Nothing gathered yet.
    ///
    /// # Errors
    /// Limit: more frequencies in the headings, or more entries, than the limits allow.
    pub fn new(context: &'c Context<'a>) -> Result<Self> {
        context
            .table
            .entries
            .refuse_many(context.source, context.limits)?;
        let name = context.source.name();
        let quantity = match context.plan.kind {
            Kind::Readings(quantity) => quantity,
            // Never filled.
            Kind::Loss => Quantity::Eirp,
        };
        let mut readings = Readings::new(name, quantity, context.limits);
        for entry in &context.table.entries.all {
            readings.add_metadata(entry.key, entry.value);
        }
        let mut indices = Vec::new();
        let mut known = HashMap::new();
        let own = (context.plan.kind != Kind::Loss)
            .then(|| context.plan.outputs.iter())
            .into_iter()
            .flatten()
            .filter(|o| o.frequency.is_some());
        for output in own {
            let index = match known.entry(output.frequency) {
                Slot::Occupied(slot) => *slot.get(),
                Slot::Vacant(slot) => {
                    let column = context.plan.cells.get(output.cell).map_or(0, |c| c.column);
                    let index = readings
                        .frequency_index(output.frequency, context.limits)
                        .map_err(|e| e.at(context.table.place(context.source, column)))?;
                    *slot.insert(index)
                }
            };
            indices.push(index);
        }
        Ok(Self {
            context,
            readings,
            curve: Curve::new(name),
            indices,
            row: Row::default(),
            lines: 0,
            given: 0,
            zero_powers: 0,
            first_zero: None,
            odd_times: 0,
            first_odd_time: None,
            claim_below: None,
        })
    }

    /// The readings so far.
    pub fn readings(&mut self) -> &mut Readings {
        &mut self.readings
    }

    /// Indices of the frequencies of outputs that have their own, in the order of the outputs; empty where rows say theirs.
    #[must_use]
    pub fn own_frequencies(&self) -> &[usize] {
        &self.indices
    }

    /// Number of lines with data so far.
    #[must_use]
    pub const fn lines(&self) -> u64 {
        self.lines
    }

    /// Counts a line with data. The counts that a file claims are of these.
    pub const fn count_line(&mut self) {
        self.lines += 1;
    }

    /// Counts lines and readings that were handed to [`Gather::readings`] directly.
    pub const fn count(&mut self, lines: u64, readings: u64) {
        self.lines += lines;
        self.given += readings;
    }

    /// Reads a row from its fields, one for each column, and takes it; gives the index of its frequency, for readings.
    ///
    /// # Errors
    /// Those of [`Row::read`] and [`Readings::push`], with their places.
    pub fn row(&mut self, fields: &[Field<'_>], line: u64) -> Result<Option<usize>> {
        self.row_of(self.context, fields, line)
    }

    /// As [`Gather::row`], of a row that stands in another piece of the source: `context` differs in that only.
    ///
    /// # Errors
    /// As [`Gather::row`].
    pub fn row_of(
        &mut self,
        context: &Context<'_>,
        fields: &[Field<'_>],
        line: u64,
    ) -> Result<Option<usize>> {
        self.row.read(context, fields)?;
        let plan = context.plan;
        let frequency = self.row.frequency.or(plan.fixed.map(|f| f.frequency));
        let own = !self.indices.is_empty();
        let index = match plan.kind {
            Kind::Readings(_) if !own => Some(self.index(context, frequency, fields)?),
            _ => None,
        };
        let mut indices = self.indices.iter();
        for output in &plan.outputs {
            let at = match output.frequency {
                Some(_) => indices.next().copied(),
                None => index,
            };
            take(
                context,
                &mut self.readings,
                &mut self.curve,
                &self.row,
                fields,
                output,
                (at, output.frequency.or(frequency)),
                short(line),
            )
            .map(|taken| self.given += u64::from(taken))?;
            let cell = self.row.cells.get(output.cell).copied().flatten();
            if cell.is_some_and(|c| c.zero_power) {
                self.zero_powers += 1;
                if self.first_zero.is_none() {
                    let column = plan.cells.get(output.cell).map_or(0, |c| c.column);
                    self.first_zero = Some(context.place(fields, column));
                }
            }
        }
        if self.row.time_s.is_none() {
            self.note_time(context, fields);
        }
        Ok(index)
    }

    /// Counts a time that cannot be read.
    fn note_time(&mut self, context: &Context<'_>, fields: &[Field<'_>]) {
        let roles = &context.plan.roles;
        let Some(column) = roles.iter().position(|r| matches!(r, Role::Time(_))) else {
            return;
        };
        if fields
            .get(column)
            .is_some_and(|f| field::is_missing(f.text))
        {
            return;
        }
        self.odd_times += 1;
        self.first_odd_time
            .get_or_insert_with(|| context.place(fields, column));
    }

    fn index(
        &mut self,
        context: &Context<'_>,
        frequency: Option<Frequency>,
        fields: &[Field<'_>],
    ) -> Result<usize> {
        let found = self.readings.frequency_index(frequency, context.limits);
        found.map_err(|e| {
            let roles = &context.plan.roles;
            let column = roles.iter().position(|r| matches!(r, Role::Frequency(_)));
            e.at(context.place(fields, column.unwrap_or_default()))
        })
    }

    /// Takes in what another gathered of the same context, from rows behind those of this one. False, with nothing taken, where
    /// both together are beyond a limit.
    pub fn absorb(&mut self, other: Gather<'_, '_>) -> bool {
        let taken = self.readings.absorb(&other.readings, self.context.limits);
        if taken {
            self.lines += other.lines;
            self.given += other.given;
            self.zero_powers += other.zero_powers;
            self.first_zero = self.first_zero.take().or(other.first_zero);
            self.odd_times += other.odd_times;
            self.first_odd_time = self.first_odd_time.take().or(other.first_odd_time);
        }
        taken
    }

    /// Takes an entry that stands among the rows: a remark, or a claim of the number of rows.
    ///
    /// # Errors
    /// Input: a key that means something, with a value that was not there before: it would come too late. Limit: too many entries.
    pub fn entry(&mut self, entry: Entry<'_>) -> Result<()> {
        self.entry_of(self.context.source, entry)
    }

    /// As [`Gather::entry`], of an entry that stands in another piece of the source.
    ///
    /// # Errors
    /// As [`Gather::entry`].
    pub fn entry_of(&mut self, source: &Source, entry: Entry<'_>) -> Result<()> {
        if self.readings.metadata().len() >= self.context.limits.max_entries {
            return Err(too_many(&entry, source, self.context.limits));
        }
        match entry.known() {
            Some(Key::Rows) => self.claim_below = Some(Claim::of(&entry, source)),
            Some(key)
                if self
                    .context
                    .table
                    .entries
                    .get(key)
                    .is_none_or(|first| first.value != entry.value) =>
            {
                return Err(Error::input(format!(
                    "{}: {} stands below the heading, and would be overlooked",
                    entry.key, entry.value
                ))
                .hint("put it above the heading; where two files were joined, give them as two")
                .at(entry.place(source)));
            }
            _ => {}
        }
        self.readings.add_metadata(entry.key, entry.value);
        Ok(())
    }

    /// What was gathered.
    ///
    /// # Errors
    /// Input: nothing was gathered, or not as many lines as the file claims.
    pub fn finish(mut self, mut findings: Vec<Finding>) -> Result<Intake> {
        self.check_claims()?;
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
        if let Some(place) = self.first_odd_time.take() {
            findings.push(
                Finding::note(
                    "times-unread",
                    format!(
                        "{} times are neither a number with a unit nor date and time, and are left out",
                        self.odd_times
                    ),
                )
                .at(place)
                .advice("write seconds below time_s, or date and time as 2031-05-07T14:03:21; drift is judged by the order of the lines where times are missing"),
            );
        }
        if self.context.plan.kind == Kind::Loss {
            return Ok(Intake::of_curve(self.curve, findings));
        }
        Ok(Intake::of_readings(self.readings, findings))
    }

    fn check_claims(&self) -> Result<()> {
        let Context { source, table, .. } = *self.context;
        let above = table.entries.get(Key::Rows).map(|e| Claim::of(&e, source));
        for claim in above.iter().chain(&self.claim_below) {
            let Claim { key, value, place } = claim;
            let claimed = value.parse::<u64>().ok();
            if claimed == Some(self.lines) {
                continue;
            }
            let is_count = !value.is_empty() && value.bytes().all(|b| b.is_ascii_digit());
            let error = if is_count {
                Error::input(format!("{value} {key} are claimed, and there are {}", self.lines))
                    .hint("the file may be cut off, or lines were added or taken away; the count is that of lines with data")
            } else {
                Error::input(format!("{value:?} is no count of lines"))
                    .hint("write the number of lines with data")
            };
            return Err(error.at(place.clone()));
        }
        if self.lines == 0 {
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
}

/// Makes the reading (or the point) of one output; false where its value is missing.
#[expect(clippy::too_many_arguments, reason = "parts of one borrowed state")]
fn take(
    context: &Context<'_>,
    readings: &mut Readings,
    curve: &mut Curve,
    row: &Row,
    fields: &[Field<'_>],
    output: &Output,
    (index, frequency): (Option<usize>, Option<Frequency>),
    line: u32,
) -> Result<bool> {
    let Context { plan, limits, .. } = *context;
    let in_column = || context.place(fields, plan.cells.get(output.cell).map_or(0, |c| c.column));
    let real = row.cells.get(output.cell).copied().flatten();
    let imaginary = output
        .imaginary
        .map(|im| row.cells.get(im).copied().flatten());
    let value = match (real, imaginary) {
        (None, None | Some(None)) => return Ok(false),
        (Some(cell), None) => Value::Power(cell.value),
        (Some(re), Some(Some(im))) => Value::Field(Complex64::new(
            re.value,
            if plan.conjugate { -im.value } else { im.value },
        )),
        (Some(_), Some(None)) | (None, Some(Some(_))) => {
            return Err(
                Error::input("one of the two components of a field is missing")
                    .hint("leave both empty where there is no reading")
                    .at(in_column()),
            );
        }
    };
    let polarisation = output
        .polarisation
        .or(row.polarisation)
        .unwrap_or(Polarisation::Total);
    let pushed = match (value, index, frequency) {
        (Value::Power(_), None, Some(_))
            if curve.points(polarisation).len() >= limits.max_frequencies =>
        {
            Err(Error::limit(format!(
                "more than {} different frequencies",
                limits.max_frequencies
            ))
            .hint("raise the limit, or check that the frequency column is one"))
        }
        (Value::Power(loss_db), None, Some(frequency)) => {
            curve.push(polarisation, frequency, loss_db)
        }
        (_, Some(frequency), _) => readings.push(Reading {
            frequency,
            theta_deg: row.theta_deg,
            phi_deg: row.phi_deg,
            polarisation,
            value,
            mark: real.map_or(Mark::Exact, |c| c.mark),
            line,
        }),
        _ => Err(Error::input("a loss has no frequency")),
    };
    if let (Ok(()), Some(time_s), Some(_)) = (&pushed, row.time_s, index) {
        readings.set_last_time_s(time_s)?;
    }
    pushed.map(|()| true).map_err(|e| e.at(in_column()))
}

/// A line number for a reading; 0, "none", beyond four thousand million.
fn short(number: u64) -> u32 {
    u32::try_from(number).unwrap_or(0)
}
