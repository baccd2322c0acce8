//! A list of objects, one a row, into readings or a curve.

use crate::json::Json;
use crate::keys::{Keys, ROW};
use crate::narrow::Narrow;
use crate::value::{self, Strict};
use spheresum_core::intake::Intake;
use spheresum_core::intake::text::{Context, Field, Gather, Role, Spot};
use spheresum_core::{Finding, Result};
use std::borrow::Cow;

/// Reads all rows. The plan's first columns are the `lead`, which every row has; the keys follow.
///
/// # Errors
/// Those of the rows, with the place of the value; Input: a key twice in one object.
pub(crate) fn read<'a>(
    json: &Json<'a>,
    list: &'a str,
    keys: &mut Keys<'a>,
    lead: &[Field<'a>],
    context: &Context<'_>,
    strict: Strict,
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
    let width = plan.roles.len().saturating_sub(lead.len());
    let mut gather = Gather::new(&narrow)?;
    let mut locator = json.locator();
    // The row in which each key was met last.
    let mut met = vec![0_usize; keys.names.len()];
    let mut row = 0_usize;
    let mut values: Vec<(Cow<'a, str>, Spot<'a>)> = Vec::with_capacity(width);
    json.items(list, "a list of objects", |object| {
        row += 1;
        keys.begin();
        let whole = locator.spot(object);
        // A value that the object leaves out has the place of the object.
        values.clear();
        values.resize(width, (Cow::Borrowed(""), whole));
        json.members(object, ROW, |name, piece| {
            let Some(at) = keys.find(&name) else {
                return Ok(());
            };
            if let Some(met) = met.get_mut(at)
                && std::mem::replace(met, row) == row
            {
                return Err(json.twice(&name));
            }
            let column = places.get(lead.len() + at).copied().flatten();
            let Some(column) = column else {
                return Ok(());
            };
            let role = plan.roles.get(column).copied().unwrap_or(Role::Skip);
            let text = value::text(json, piece, &name.text, role, plan.decimal, strict)?;
            let value = column.checked_sub(lead.len());
            if let Some(value) = value.and_then(|at| values.get_mut(at)) {
                *value = (text, locator.spot(piece));
            }
            Ok(())
        })?;
        let fields: Vec<Field<'_>> = lead
            .iter()
            .copied()
            .chain(values.iter().map(|(text, spot)| Field::at(text, *spot)))
            .collect();
        gather.count_line();
        gather.row(&fields, whole.line.number).map(|_| ())
    })?;
    gather.finish(findings)
}
