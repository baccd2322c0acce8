//! The read of a file by a layout.

mod blame;
mod body;
mod decide;
mod matrix;
pub(crate) mod numbers;
mod opening;
mod rows;
mod split;
mod table;
mod virtuals;

use crate::layout::{Kind, Layout, StandsFor};
use body::Body;
use spheresum_core::intake::text::{self, Context, Gather, Key, Plan, Table};
use spheresum_core::intake::{Intake, ReadOptions, Source};
use spheresum_core::{Error, Finding, Limits, Result};

/// Reads a source by a layout.
///
/// # Errors
/// Those of a text adapter; Input where the file is not what the layout says, with both places.
pub(crate) fn read(
    layout: &Layout,
    source: &Source,
    limits: &Limits,
    options: &ReadOptions,
) -> Result<Intake> {
    let (choices, options) = decide::decide(layout, options)?;
    let mut body = Body::new(layout, source, limits);
    let opening = opening::opening(layout, source, &mut body)?;
    let names = table::Names::of(layout, opening.line, limits);
    let mut table = table::table(layout, source, &opening, &names, limits)?;
    table.choose(&choices, source)?;
    table.entries.index(source)?;
    let rows = match layout.kind.value {
        Kind::Matrix => &opening.before,
        _ => &opening.after,
    };
    let (plan, findings) = prepare(
        layout,
        source,
        &table,
        |plan| split::first_sign(layout, source, limits, rows.clone(), plan),
        &choices,
        &options,
    )
    .map_err(|e| blame::add(e, layout, source.name()))?;
    let context = Context {
        source,
        table: &table,
        plan: &plan,
        limits,
    };
    let mut gather = Gather::new(&context)?;
    let done = match &layout.matrix {
        Some(matrix) => matrix::blocks(layout, matrix, &context, rows.clone(), &mut gather),
        None => rows::rows(
            layout,
            &context,
            rows.clone(),
            opening.heading(),
            &mut gather,
        ),
    };
    done.and_then(|()| gather.finish(findings))
        .map_err(|e| blame::add(e, layout, source.name()))
}

/// The plan, with what the layout alone can say.
fn prepare<'a>(
    layout: &Layout,
    source: &Source,
    table: &Table<'a>,
    first_sign: impl FnOnce(&Plan) -> Option<u8>,
    choices: &text::Choices,
    options: &ReadOptions,
) -> Result<(Plan, Vec<Finding>)> {
    frequency(layout, source, table)?;
    let (mut plan, mut findings) = text::plan(table, source, choices, options, first_sign)?;
    if layout.text.decimal.is_some() {
        findings.retain(|f| f.code != "decimal-comma");
    }
    if let Some(said) = &layout.conventions.conjugate {
        if let Some(entry) = table.entries.get(Key::Time)
            && plan.conjugate != said.value
        {
            return Err(Error::input(format!(
                "the file says {}: {}, and the layout says otherwise in {}",
                entry.key,
                entry.value,
                crate::said::line_of(&said.place)
            ))
            .hint("correct the layout, or the file")
            .at(entry.place(source)));
        }
        plan.conjugate = said.value;
    }
    plan.stand_ins = layout
        .tokens
        .iter()
        .map(|token| {
            let level = |level: &str| level.replace('.', &char::from(plan.decimal).to_string());
            let meant = match &token.stands_for {
                StandsFor::Missing => String::new(),
                StandsFor::AtMost(x) => format!("<{}", level(x)),
                StandsFor::AtLeast(x) => format!(">{}", level(x)),
                StandsFor::Lost => "inf".to_string(),
            };
            (token.text.clone(), meant)
        })
        .collect();
    Ok((plan, findings))
}

/// The file's own frequency against that of the layout.
fn frequency(layout: &Layout, source: &Source, table: &Table<'_>) -> Result<()> {
    let (Some(said), Some(entry)) = (
        &layout.constants.frequency,
        table.entries.get(Key::Frequency),
    ) else {
        return Ok(());
    };
    let decimal = layout.text.decimal.as_ref().map_or(b'.', |d| d.value);
    match table.entries.frequency(source, decimal) {
        Ok(Some((frequency, _))) if frequency != said.value => Err(Error::input(format!(
            "the file says {frequency}, and the layout says {} in {}",
            said.value,
            crate::said::line_of(&said.place)
        ))
        .hint("take the frequency out of the layout: the file has its own")
        .at(entry.place(source))),
        _ => Ok(()),
    }
}
