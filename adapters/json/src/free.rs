//! A table in JSON: its headings and entries, and the plan of both.

use crate::entries::Remarks;
use crate::json::{Json, Name};
use crate::keys::Keys;
use crate::kind::Kind;
use crate::lists;
use crate::own::Own;
use crate::rows;
use crate::shape::{Body, Candidate, Found, Member};
use crate::value::Strict;
use spheresum_core::intake::text::{self, Context, Field, Heading, Meaning, Plan, Table, clip};
use spheresum_core::intake::{Intake, ReadOptions};
use spheresum_core::{Error, Finding, Result};
use std::borrow::Cow;

/// Reads a table.
///
/// # Errors
/// Those of headings, entries and rows.
pub(crate) fn read<'a>(
    json: &Json<'a>,
    found: &Found<'a>,
    own: &Own,
    options: &ReadOptions,
) -> Result<Intake> {
    let mut findings = unused(json, found);
    findings.extend(nested_entries(json, found));
    match &found.table.body {
        Body::Rows(list) => {
            let mut keys = Keys::of(json, list, |_| Ok(()))?;
            if keys.rows == 0 {
                return Err(Error::input("the list has no rows")
                    .hint("the file may be cut off; export it again")
                    .at(json.place(list)));
            }
            let names = keys.names.clone();
            let sign = |plan: &Plan| keys.sign(plan);
            let remarks = remarks(json, found, own, &names, options, sign)?;
            let table = table(json, found, own, &names, &remarks)?;
            let (plan, noted) = text::plan(&table, json.source, &own.choices, options, sign)?;
            findings.extend(noted);
            let context = context(json, &table, &plan);
            rows::read(json, list, &mut keys, &[], &context, Strict::No, findings)
        }
        Body::Lists(columns) => {
            let names: Vec<Name<'a>> = columns.iter().map(|(name, _)| name.clone()).collect();
            let sign = |plan: &Plan| lists::sign(json, columns, plan);
            let remarks = remarks(json, found, own, &names, options, sign)?;
            let table = table(json, found, own, &names, &remarks)?;
            let (plan, noted) = text::plan(&table, json.source, &own.choices, options, sign)?;
            findings.extend(noted);
            let context = context(json, &table, &plan);
            lists::read(json, columns, &context, findings)
        }
    }
}

/// The values beside the table. Where the texts of the table have decimal commas, the numbers beside it get them too.
fn remarks<'a>(
    json: &Json<'a>,
    found: &Found<'a>,
    own: &Own,
    names: &[Name<'a>],
    options: &ReadOptions,
    sign: impl Fn(&Plan) -> Option<u8>,
) -> Result<Remarks<'a>> {
    let with = |decimal| {
        let beside = found.beside.iter();
        Remarks::of(
            json,
            decimal,
            beside.map(|(key, piece)| (Cow::Owned(key.clone()), *piece)),
        )
    };
    let plain = with(b'.')?;
    let mut first = own.choices.decimal;
    if first.is_none() {
        let table = table(json, found, own, names, &plain)?;
        // What is wrong with it is said later.
        let _ = text::plan(&table, json.source, &own.choices, options, |plan| {
            first = sign(plan);
            first
        });
    }
    match first {
        Some(b',') => with(b','),
        _ => Ok(plain),
    }
}

/// The table of headings and entries.
fn table<'b, 'a: 'b>(
    json: &Json<'a>,
    found: &Found<'a>,
    own: &Own,
    names: &'b [Name<'a>],
    remarks: &'b Remarks<'a>,
) -> Result<Table<'b>> {
    let mut table = Table::new(
        remarks.entries(),
        headings(json, names),
        Some(json.spot(found.table.piece)),
    );
    table.entries.index(json.source)?;
    table.choose(&own.choices, json.source)?;
    table.refuse_repeats(json.source)?;
    Ok(table)
}

/// Headings of keys.
pub(crate) fn headings<'b, 'a: 'b>(json: &Json<'a>, names: &'b [Name<'a>]) -> Vec<Heading<'b>> {
    let mut locator = json.locator();
    names
        .iter()
        .map(|name| Heading::of(Field::at(&name.text, locator.spot(name.piece))))
        .collect()
}

fn context<'b, 'a: 'b>(json: &Json<'a>, table: &'b Table<'b>, plan: &'b Plan) -> Context<'b> {
    Context {
        source: json.source,
        table,
        plan,
        limits: json.limits,
    }
}

/// A note of what stands beside the table and is left out.
fn unused(json: &Json<'_>, found: &Found<'_>) -> Vec<Finding> {
    let Some(first) = found.unused.first() else {
        return Vec::new();
    };
    let keys: Vec<&str> = found.unused.iter().map(|n| n.text.as_ref()).collect();
    vec![
        Finding::note(
            "keys-unused",
            format!("keys beside the table that are not used: {}", clip::list(&keys, 16, ", ")),
        )
        .at(json.place(first.piece))
        .advice("the table is chosen by the option table=KEY; values that hold for all of it stand beside it, without lists"),
    ]
}

/// A warning of what an object beside the table says that would mean something right beside the table.
fn nested_entries(json: &Json<'_>, found: &Found<'_>) -> Option<Finding> {
    let means = |key: &str| {
        matches!(
            text::classify(key).0,
            Meaning::Frequency | Meaning::Polarisation
        ) || matches!(key, "quantity" | "unit" | "units" | "angles")
    };
    let lost: Vec<&(String, &str)> = found
        .beside
        .iter()
        .filter(|(key, _)| key.split_once('.').is_some_and(|(_, inner)| means(inner)))
        .collect();
    let keys: Vec<&str> = lost.iter().map(|(key, _)| key.as_str()).collect();
    let (_, piece) = lost.first()?;
    let finding = Finding::warning(
        "entry-unused",
        format!(
            "kept as remarks, and without effect: {}",
            clip::list(&keys, 16, ", ")
        ),
    );
    Some(
        finding.at(json.place(piece)).advice(
            "if it holds for the table, take it out of its object, to stand beside the table",
        ),
    )
}

/// The error of a text that holds several tables.
pub(crate) fn several(json: &Json<'_>, all: &[Candidate<'_>]) -> Error {
    let keys: Vec<&str> = all
        .iter()
        .map(|f| {
            f.key
                .as_ref()
                .map_or("the lists at the top", |k| k.text.as_ref())
        })
        .collect();
    let place = all.iter().find_map(|f| f.key.as_ref());
    Error::ambiguous(format!(
        "the file holds several tables: {}",
        clip::list(&keys, 16, ", ")
    ))
    .hint("choose one by its key with the option table, such as table=KEY")
    .at(json.place(place.map_or(json.root(), |k| k.piece)))
}

/// The error of an object without a table.
pub(crate) fn no_table<'a>(json: &Json<'a>, members: &[Member<'a>]) -> Error {
    let is_grid = members
        .iter()
        .any(|(_, v)| Kind::of(v) == Kind::List && Kind::of_first_item(v) == Some(Kind::List));
    let is_row = members.iter().any(|(n, _)| {
        !matches!(
            text::classify(&n.text).0,
            Meaning::Unknown | Meaning::Frequency | Meaning::Polarisation
        )
    });
    Error::input("there is no table: no list of objects, and no lists of values")
        .hint(match (is_grid, is_row) {
            (true, _) => "lists of lists are read in a readings document only: {\"schema\": \"spheresum.readings/1\", …}",
            (false, true) => "one reading is an object in a list: [{\"theta_deg\": 0, …}, …]",
            (false, false) => {
                "a table is a list of objects ([{\"theta_deg\": 0, …}, …]) or an object of lists ({\"theta_deg\": [0, …], …})"
            }
        })
        .at(json.place(json.root()))
}

/// The error of a list that holds no objects.
pub(crate) fn no_objects<'a>(json: &Json<'a>, list: &'a str) -> Error {
    let empty = Kind::of_first_item(list).is_none();
    Error::input(match empty {
        true => "the list is empty",
        false => "the list holds no objects, and its values have no names",
    })
    .hint(match empty {
        true => "the file may be cut off; export it again",
        false => "write one object a row, such as [{\"theta_deg\": 0, \"phi_deg\": 0, \"eirp_theta_dbm\": -3.1}, …]",
    })
    .at(json.place(list))
}
