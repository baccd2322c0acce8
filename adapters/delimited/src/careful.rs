//! The careful path of a row: every error comes from here, with line, column, field and hint.

use crate::own::Own;
use crate::table::Found;
use spheresum_core::intake::source::Line;
use spheresum_core::intake::text::{Context, Field, Span, ragged, split};
use spheresum_core::{Error, Result};

/// A row split into its fields.
#[derive(Debug, Default)]
pub(crate) struct Fields<'a> {
    spans: Vec<Span>,
    /// The fields, one for each heading.
    pub(crate) all: Vec<Field<'a>>,
}

impl<'a> Fields<'a> {
    /// Splits a line.
    ///
    /// # Errors
    /// Input, Ambiguous, Limit: not one field for each heading, or the heading line again.
    pub(crate) fn split(
        &mut self,
        context: &Context<'_>,
        found: &Found<'_>,
        own: &Own,
        line: Line<'a>,
        is_last: bool,
    ) -> Result<()> {
        let headings = &found.table.headings;
        split(line.text, found.separator, headings.len(), &mut self.spans);
        let is_heading = self.spans.len() == headings.len()
            && self
                .spans
                .iter()
                .zip(headings)
                .all(|(s, h)| line.text[s.0..s.1].eq_ignore_ascii_case(h.text()));
        if is_heading {
            return Err(Error::input("a heading line in the middle of the rows")
                .hint("two files were joined: give them as two files, or take the line away if they belong together")
                .at(context.source.place(line, 0, line.text.len())));
        }
        if self.spans.len() != headings.len() {
            let is_open = own.separator.is_none() && own.choices.decimal.is_none();
            return Err(ragged(
                context.source,
                &found.table,
                (found.separator, is_open),
                context.limits,
                line,
                is_last,
            ));
        }
        self.all.clear();
        self.all
            .extend(self.spans.iter().map(|s| Field::of(line, s.0, s.1)));
        Ok(())
    }
}
