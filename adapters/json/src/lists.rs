//! Lists of values, one a column, into readings or a curve.

use crate::json::{Json, Name};
use crate::kind::Kind;
use crate::locate::Locator;
use crate::narrow::Narrow;
use crate::shape::Member;
use crate::value::{self, Strict};
use spheresum_core::intake::Intake;
use spheresum_core::intake::text::{Context, Field, Gather, Plan, Role, Spot, settle};
use spheresum_core::{Error, Finding, Result};
use std::borrow::Cow;

/// The items of a list, at most as many as readings are allowed.
///
/// # Errors
/// Input: no list. Limit: too many.
pub(crate) fn pieces<'a>(json: &Json<'a>, list: &'a str, key: &str) -> Result<Vec<&'a str>> {
    let most = json.limits.max_readings;
    let mut all = Vec::new();
    json.items(list, "a list of values", |item| {
        if all.len() >= most {
            return Err(Error::limit(format!("more than {most} values in one list"))
                .hint("raise the limit on readings, or split the file")
                .at(json.place(item).with_field(key)));
        }
        all.push(item);
        Ok(())
    })?;
    Ok(all)
}

/// The decimal sign of the first number in quotes that has one.
pub(crate) fn sign(json: &Json<'_>, columns: &[Member<'_>], plan: &Plan) -> Option<u8> {
    let mut found = None;
    let numbers = columns
        .iter()
        .zip(&plan.roles)
        .filter(|(_, role)| role.is_number());
    for ((_, list), _) in numbers {
        // What stops it is refused where the list is read.
        let _ = json.items(list, "a list", |item| {
            found = match Kind::of(item) {
                Kind::Text => settle::sign_of(item),
                _ => None,
            };
            match found {
                Some(_) => Err(Error::input("enough")),
                None => Ok(()),
            }
        });
        if found.is_some() {
            break;
        }
    }
    found
}

/// Reads all columns, one a column of the plan.
///
/// # Errors
/// Those of the rows, with the place of the value; Input: lists of different lengths.
pub(crate) fn read<'a>(
    json: &Json<'a>,
    columns: &[Member<'a>],
    context: &Context<'_>,
    findings: Vec<Finding>,
) -> Result<Intake> {
    let Narrow {
        table,
        plan,
        places,
    } = Narrow::of(context.table, context.plan);
    let narrow = Context {
        table: &table,
        plan: &plan,
        ..*context
    };
    let mut used = Vec::new();
    for ((name, list), _) in columns.iter().zip(&places).filter(|(_, p)| p.is_some()) {
        used.push(Used {
            name,
            pieces: pieces(json, list, &name.text)?,
            locator: json.locator(),
        });
    }
    let rows = length(json, &used)?;
    let mut gather = Gather::new(&narrow)?;
    let mut values: Vec<(Cow<'a, str>, Spot<'a>)> = Vec::with_capacity(used.len());
    for row in 0..rows {
        values.clear();
        // The line of a row is that of its first value.
        let (mut line, mut is_value) = (0, false);
        for (column, role) in used.iter_mut().zip(&plan.roles) {
            let Some(piece) = column.pieces.get(row) else {
                continue;
            };
            let key = &column.name.text;
            let spot = column.locator.spot(piece);
            if !is_value {
                line = spot.line.number;
                is_value = matches!(role, Role::Cell(_));
            }
            let text = value::text(json, piece, key, *role, plan.decimal, Strict::No)?;
            values.push((text, spot));
        }
        let fields: Vec<Field<'_>> = values
            .iter()
            .map(|(text, spot)| Field::at(text, *spot))
            .collect();
        gather.count_line();
        gather.row(&fields, line)?;
    }
    gather.finish(findings)
}

/// A column that is used: its items, and its own finder of lines.
struct Used<'c, 'a> {
    name: &'c Name<'a>,
    pieces: Vec<&'a str>,
    locator: Locator<'a>,
}

/// The one length of all lists that are used.
fn length(json: &Json<'_>, used: &[Used<'_, '_>]) -> Result<usize> {
    let mut lengths = used.iter().map(|used| (used.name, used.pieces.len()));
    let Some((first, length)) = lengths.next() else {
        return Ok(0);
    };
    match lengths.find(|(_, other)| *other != length) {
        None if length == 0 => Err(Error::input(format!("the list {} is empty", first.text))
            .hint("the file may be cut off; export it again")
            .at(json.place(first.piece).with_field(&first.text))),
        None => Ok(length),
        Some((other, count)) => Err(Error::input(format!(
            "{} has {count} values, and {} has {length}",
            other.text, first.text
        ))
        .hint("every list has one value a row; write null where a value is missing")
        .at(json.place(other.piece).with_field(&other.text))),
    }
}
