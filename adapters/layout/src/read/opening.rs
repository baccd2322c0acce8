//! How a file opens: entries, titles, and the heading line or the first row.

use crate::layout::Layout;
use crate::read::body::{Body, Event};
use spheresum_core::intake::Source;
use spheresum_core::intake::source::Line;
use spheresum_core::intake::text::{Entries, Entry, field};
use spheresum_core::{Error, Result};

/// The opening of a file.
#[derive(Clone, Debug)]
pub(crate) struct Opening<'l, 'a> {
    /// Entries above the rows.
    pub(crate) entries: Entries<'a>,
    /// The heading line, or the first row.
    pub(crate) line: Line<'a>,
    /// The walk in front of that line.
    pub(crate) before: Body<'l, 'a>,
    /// The walk where the rows start.
    pub(crate) after: Body<'l, 'a>,
    has_heading: bool,
}

impl<'a> Opening<'_, 'a> {
    /// The heading line, where there is one.
    pub(crate) fn heading(&self) -> Option<Line<'a>> {
        self.has_heading.then_some(self.line)
    }
}

/// Reads the opening.
///
/// # Errors
/// Input: there is nothing below it.
pub(crate) fn opening<'l, 'a>(
    layout: &'l Layout,
    source: &'a Source,
    body: &mut Body<'l, 'a>,
) -> Result<Opening<'l, 'a>> {
    let mut entries = Entries::default();
    loop {
        let before = body.clone();
        match body.next()? {
            Some(Event::Title) => {}
            Some(Event::Entry(entry)) => entries.all.push(entry),
            Some(Event::Row(line)) => {
                if let Some((key, value)) = field::key_value(line.text) {
                    entries.all.push(Entry { key, value, line });
                    continue;
                }
                let has_heading = layout.text.heading_line;
                return Ok(Opening {
                    entries,
                    line,
                    after: if has_heading {
                        body.clone()
                    } else {
                        before.clone()
                    },
                    before,
                    has_heading,
                });
            }
            None => {
                let what = if layout.text.heading_line {
                    "no heading line"
                } else {
                    "no row"
                };
                return Err(Error::input(format!("there is {what}"))
                    .hint(format!(
                        "the file may be cut off; otherwise check skip_lines, skip_until, stop_at and comments of the layout {}",
                        layout.file
                    ))
                    .at(body.last.map_or_else(
                        || body.end(),
                        |l| source.place(l, 0, l.text.len()),
                    )));
            }
        }
    }
}
