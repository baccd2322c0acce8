//! The read: options, shape, columns, plan, records.

use crate::columns::Columns;
use crate::line::Pair;
use crate::records::{Part, walk};
use crate::shape::{Shape, shape};
use crate::value::parts;
use spheresum_core::intake::source::Line;
use spheresum_core::intake::text::plan::Kind;
use spheresum_core::intake::text::{self, Choices, Context, Field, Gather, Role, Spot, Table};
use spheresum_core::intake::{Intake, ReadOptions, Source};
use spheresum_core::{Error, Finding, Limits, Result};

/// Reads a source.
pub(crate) fn read(source: &Source, limits: &Limits, options: &ReadOptions) -> Result<Intake> {
    let choices = Choices::of(options, "keyed", &[])?;
    let shape = shape(source, &choices, limits)?;
    let columns = Columns::of(source, &shape, limits)?;
    let mut table = columns.table(source)?;
    if columns.len() == 0 {
        return Err(no_records(source));
    }
    table.choose(&choices, source)?;
    let table = table;
    let (plan, findings) = text::plan(&table, source, &choices, options, |plan| {
        columns.first_sign(&plan.roles)
    })?;
    if plan.kind == Kind::Loss {
        return Err(Error::unsupported("a range loss in records is not read")
            .hint("write it as a table, such as frequency_mhz,loss_theta_db,loss_phi_db")
            .at(table.whole(source)));
    }
    columns.check_units(&plan.roles, source)?;
    let context = Context {
        source,
        table: &table,
        plan: &plan,
        limits,
    };
    records(&context, &shape, &columns, findings)
}

fn no_records(source: &Source) -> Error {
    let line = source.lines().find(|l| !l.text.trim().is_empty());
    let place = line.map_or_else(
        || spheresum_core::Place::in_source(source.name()),
        |l| source.place(l, 0, l.text.len()),
    );
    Error::input("there is no `key = value` of a record")
        .hint("a record has lines such as theta_deg = 30, phi_deg = 45, eirp_theta_dbm = -12.3")
        .at(place)
}

/// Records that lack values.
#[derive(Clone, Copy, Debug, Default)]
struct Lacks<'a> {
    count: u64,
    first: Option<Line<'a>>,
    /// The last record is one of them.
    last: bool,
}

/// The records, one after the other.
fn records(
    context: &Context<'_>,
    shape: &Shape,
    columns: &Columns<'_>,
    mut findings: Vec<Finding>,
) -> Result<Intake> {
    let Context {
        source,
        plan,
        limits,
        table,
    } = *context;
    let mut gather = Gather::new(context)?;
    let mut lacks = Lacks::default();
    let mut fields: Vec<Field<'_>> = Vec::new();
    let mut present: Vec<bool> = Vec::new();
    walk(source, shape, limits, &mut |part| {
        let pairs = match part {
            Part::Record(pairs) => pairs,
            Part::Entry(entry) if gather.lines() > 0 => return gather.entry(entry),
            Part::Entry(_) | Part::Head(_) => return Ok(()),
        };
        let Some(first) = pairs.first().map(|p| p.line) else {
            return Ok(());
        };
        // Settings behind the last record, such as the number of records, are no record.
        if pairs.iter().all(|p| columns.index(&p.name()).is_none()) {
            return Ok(());
        }
        let spot = Spot::whole(first);
        fields.clear();
        fields.resize(plan.roles.len(), Field::at("", spot));
        present.clear();
        present.resize(plan.roles.len(), false);
        for pair in pairs {
            if let Some(at) = columns.index(&pair.name())
                && let (Some(field), Some(role), Some(present)) =
                    (fields.get_mut(at), plan.roles.get(at), present.get_mut(at))
            {
                *field = field_of(pair, *role);
                *present = true;
            }
        }
        lacks.last = false;
        for (at, role) in plan.roles.iter().enumerate() {
            match (present.get(at), role) {
                (Some(true), _) | (_, Role::Skip | Role::Time(_)) => {}
                (_, Role::Cell(_)) => lacks.last = true,
                _ => return Err(missing(table, at, first, source)),
            }
        }
        if lacks.last {
            lacks.count += 1;
            lacks.first.get_or_insert(first);
        }
        gather.count_line();
        gather.row(&fields, first.number).map(|_| ())
    })?;
    findings.extend(note(lacks, source));
    gather.finish(findings)
}

/// The field of a pair: its number without the unit behind it.
fn field_of<'a>(pair: &Pair<'a>, role: Role) -> Field<'a> {
    let (start, end) = match role.is_number() {
        false => pair.value,
        true => (
            pair.value.0,
            pair.value.0 + parts(pair.value_text()).number.len(),
        ),
    };
    Field::of(pair.line, start, end)
}

fn missing(table: &Table<'_>, column: usize, first: Line<'_>, source: &Source) -> Error {
    let key = table.text(column);
    Error::input(format!("this record has no {key}"))
        .hint(
            "values may be left out, and nothing else; check what parts the records: blank lines, [reading 12], --- or braces, \
             the same way in the whole file",
        )
        .at(source.place(first, 0, first.text.len()).with_field(key))
}

/// A note of records that lack values; a warning where it is the last one alone.
fn note(lacks: Lacks<'_>, source: &Source) -> Option<Finding> {
    let first = lacks.first?;
    let place = source.place(first, 0, first.text.len());
    Some(match (lacks.count, lacks.last) {
        (1, true) => Finding::warning("last-record-short", "the last record alone lacks values")
            .at(place)
            .advice("the file may be cut off: compare it with what was exported"),
        (count, _) => {
            Finding::note("values-missing", format!("{count} records lack values")).at(place)
        }
    })
}
