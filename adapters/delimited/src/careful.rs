//! The careful path of a row: every error comes from here, with line, column, field and hint.

use crate::own::Own;
use crate::record;
use crate::sight::Found;
use spheresum_core::Result;
use spheresum_core::intake::source::Line;
use spheresum_core::intake::text::{Context, Field, Span, ragged, split};

/// A row split into its fields.
#[derive(Debug, Default)]
pub(crate) struct Fields<'a> {
    spans: Vec<Span>,
    /// The fields, one for each heading.
    pub(crate) all: Vec<Field<'a>>,
}

impl<'a> Fields<'a> {
    /// Splits a record.
    ///
    /// # Errors
    /// Input, Ambiguous, Limit: its quotes have a flaw, or it has not one field for each heading.
    pub(crate) fn split(
        &mut self,
        context: &Context<'_>,
        found: &Found<'_>,
        own: &Own,
        record: Line<'a>,
        is_last: bool,
    ) -> Result<()> {
        let headings = found.table.headings.len();
        let flaw = split(record.text, found.separator, headings, &mut self.spans);
        if let Some(flaw) = flaw {
            return Err(record::refuse(context.source, record, flaw));
        }
        if self.spans.len() != headings {
            let is_open = own.separator.is_none() && own.choices.decimal.is_none();
            return Err(ragged(
                record.text,
                &found.table,
                (found.separator, is_open),
                context.limits,
                is_last,
                |start, end| record::spot(record, start, end).place(context.source),
            ));
        }
        if record::is_long(record) {
            record::refuse_hidden_rows(context.source, record, found.separator, headings)?;
        }
        record::fields(record, &self.spans, &mut self.all);
        Ok(())
    }
}
