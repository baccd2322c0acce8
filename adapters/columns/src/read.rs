//! The read: options, what stands above the numbers, plan, rows.

use crate::body::Body;
use crate::layout::Layout;
use crate::own::Own;
use crate::row::Rules;
use crate::table::{layout, table};
use crate::top::{Top, top};
use spheresum_core::intake::source::Line;
use spheresum_core::intake::text::{
    self, Context, Cursor, Plan, Table, field, line_at, long_line, settle,
};
use spheresum_core::intake::{Intake, Pieces, ReadOptions, Source};
use spheresum_core::{Finding, Limits, Result};

/// Reads a source.
pub(crate) fn read(source: &Source, limits: &Limits, options: &ReadOptions) -> Result<Intake> {
    let own = Own::of(options, limits)?;
    let start = Start::of(source, limits, options, &own)?;
    let context = start.context(source, limits);
    let mut body = Body::new(&context, start.rules(&own))?;
    body.piece(&context, start.body, false)?;
    let findings = start.findings.clone();
    body.finish(findings)
}

/// Reads a long source piece by piece. `None` where its first piece does not tell enough: what its columns are, its decimal sign, and
/// that there is nothing wrong with them.
pub(crate) fn read_pieces(
    first: &Source,
    pieces: &mut Pieces<'_>,
    limits: &Limits,
    options: &ReadOptions,
) -> Result<Option<Intake>> {
    let own = Own::of(options, limits)?;
    let Ok(start) = Start::of(first, limits, options, &own) else {
        return Ok(None);
    };
    let rows = first.text().get(start.body.at..).unwrap_or_default();
    let has_sign = own.choices.decimal.is_some()
        || first_sign(first.text(), start.body, start.rules(&own), &start.plan).is_some();
    if rows.trim().is_empty() || !has_sign {
        return Ok(None);
    }
    let context = start.context(first, limits);
    let mut body = Body::new(&context, start.rules(&own))?;
    let mut number = body.piece(&context, start.body, !pieces.is_done())?;
    while !pieces.is_done() {
        let Some(piece) = pieces.next("", number)? else {
            return Ok(None);
        };
        let cursor = Cursor { at: 0, number };
        let of_piece = start.context(&piece, limits);
        number = body.piece(&of_piece, cursor, !pieces.is_done())?;
    }
    let findings = start.findings.clone();
    body.finish(findings).map(Some)
}

/// What a source begins with.
struct Start<'a> {
    layout: Option<Layout>,
    table: Table<'a>,
    plan: Plan,
    findings: Vec<Finding>,
    /// Where the numbers start.
    body: Cursor,
}

impl<'a> Start<'a> {
    fn of(
        source: &'a Source,
        limits: &Limits,
        options: &ReadOptions,
        own: &'a Own,
    ) -> Result<Self> {
        let top = top(source.text(), limits.max_fields);
        if let Some(line) = too_long(&top, limits) {
            return Err(long_line(source, line, limits));
        }
        let (layout, mut findings) = layout(&top, source, own, limits)?;
        let mut table = table(&top, layout.as_ref(), source, own, limits)?;
        table.choose(&own.choices, source)?;
        table.refuse_repeats(source)?;
        table.entries.index(source)?;
        let rules = Rules {
            layout: layout.as_ref(),
            own,
        };
        let (plan, more) = text::plan(&table, source, &own.choices, options, |plan| {
            first_sign(source.text(), top.body, rules, plan)
        })?;
        findings.extend(more);
        Ok(Self {
            layout,
            table,
            plan,
            findings,
            body: top.body,
        })
    }

    fn rules<'r>(&'r self, own: &'r Own) -> Rules<'r> {
        Rules {
            layout: self.layout.as_ref(),
            own,
        }
    }

    /// The context of the source, or of a piece of it.
    fn context<'c>(&'c self, source: &'c Source, limits: &'c Limits) -> Context<'c> {
        Context {
            source,
            table: &self.table,
            plan: &self.plan,
            limits,
        }
    }
}

/// A line above the numbers that is too long.
fn too_long<'a>(top: &Top<'a>, limits: &Limits) -> Option<Line<'a>> {
    let names = top.comments.iter().chain(&top.bare).map(|n| n.line);
    let entries = top.entries.iter().map(|e| e.line);
    names
        .chain(entries)
        .chain(top.first)
        .find(|l| l.text.len() > limits.max_line_bytes)
}

/// The decimal sign of the first number in the rows that has one.
fn first_sign(text: &str, mut cursor: Cursor, rules: Rules<'_>, plan: &Plan) -> Option<u8> {
    let mut spans = Vec::new();
    while let Some((line, next)) = line_at(text, cursor) {
        cursor = next;
        if field::comment(line.text).is_some() {
            continue;
        }
        rules.spans(line.text, plan.roles.len(), &mut spans);
        let texts = spans
            .iter()
            .map(|s| line.text.get(s.0..s.1).unwrap_or_default());
        if let Some(sign) = settle::sign_of_row(plan, texts) {
            return Some(sign);
        }
    }
    None
}
