//! The lines of a file, sorted: titles, entries in comments, and rows.

use crate::layout::Layout;
use crate::said::line_of;
use spheresum_core::intake::Source;
use spheresum_core::intake::source::Line;
use spheresum_core::intake::text::{Cursor, Entry, Field, field, line_at, long_line};
use spheresum_core::{Error, Limits, Place, Result};

/// What a line is.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Event<'a> {
    /// A title: what it says is in [`Body::taken`].
    Title,
    /// A comment of the form `key: value`.
    Entry(Entry<'a>),
    /// Anything else that is not blank and no comment.
    Row(Line<'a>),
}

/// Walks through the lines.
#[derive(Clone, Debug)]
pub(crate) struct Body<'l, 'a> {
    layout: &'l Layout,
    source: &'a Source,
    limits: &'l Limits,
    cursor: Cursor,
    begun: bool,
    stopped: bool,
    /// What titles have said so far, by slot.
    pub(crate) taken: Vec<Option<Field<'a>>>,
    /// The last title, as long as no row stands below it, with its slots.
    waiting: Option<(Line<'a>, Vec<usize>)>,
    found: Vec<(usize, Field<'a>)>,
    /// The last line that was seen.
    pub(crate) last: Option<Line<'a>>,
}

impl<'l, 'a> Body<'l, 'a> {
    /// The start of a file.
    pub(crate) fn new(layout: &'l Layout, source: &'a Source, limits: &'l Limits) -> Self {
        Self {
            layout,
            source,
            limits,
            cursor: Cursor::START,
            begun: false,
            stopped: false,
            taken: vec![None; layout.text.slots.len()],
            waiting: None,
            found: Vec::new(),
            last: None,
        }
    }

    /// The next line that means something; `None` at the end.
    ///
    /// # Errors
    /// Limit: a line that is too long. Input: a title without rows; `skip_until` is not found.
    pub(crate) fn next(&mut self) -> Result<Option<Event<'a>>> {
        if !self.begun {
            self.begun = true;
            self.skip()?;
        }
        while let Some(line) = self.line()? {
            if let Some(stop) = &self.layout.text.stop_at
                && line.text.contains(&stop.value)
            {
                self.stopped = true;
                break;
            }
            let text = line.text.trim();
            if text.is_empty() {
                continue;
            }
            if self.title(line)? {
                return Ok(Some(Event::Title));
            }
            match self.comment(text) {
                Some(body) => {
                    if let Some((key, value)) = field::key_value(body) {
                        return Ok(Some(Event::Entry(Entry { key, value, line })));
                    }
                }
                None => return Ok(Some(Event::Row(line))),
            }
        }
        self.no_rows_below(None)?;
        Ok(None)
    }

    /// Says that a row stands below the last title; true where it is the first one.
    pub(crate) fn row_is_there(&mut self) -> bool {
        self.waiting.take().is_some()
    }

    /// True where no row stands below the last title yet.
    pub(crate) fn is_below_title(&self) -> bool {
        self.waiting.is_some()
    }

    /// True at the last line of a text that has no line end: the file may be cut off there.
    pub(crate) fn at_open_end(&self) -> bool {
        let text = self.source.text();
        self.cursor.at >= text.len() && !text.ends_with(['\n', '\r'])
    }

    /// True where nothing but blanks follows.
    pub(crate) fn at_end(&self) -> bool {
        let rest = self.source.text().get(self.cursor.at..);
        rest.is_none_or(|rest| rest.trim().is_empty())
    }

    fn line(&mut self) -> Result<Option<Line<'a>>> {
        if self.stopped {
            return Ok(None);
        }
        let Some((line, next)) = line_at(self.source.text(), self.cursor) else {
            return Ok(None);
        };
        self.cursor = next;
        self.last = Some(line);
        if line.text.len() > self.limits.max_line_bytes {
            return Err(long_line(self.source, line, self.limits));
        }
        Ok(Some(line))
    }

    fn skip(&mut self) -> Result<()> {
        let rules = &self.layout.text;
        for _ in 0..rules.skip_lines.as_ref().map_or(0, |s| s.value) {
            if self.line()?.is_none() {
                break;
            }
        }
        let Some(until) = &rules.skip_until else {
            return Ok(());
        };
        while let Some(line) = self.line()? {
            if line.text.contains(&until.value) {
                return Ok(());
            }
        }
        Err(Error::input(format!(
            "no line contains {:?}, below which the layout starts ({})",
            until.value,
            line_of(&until.place)
        ))
        .hint("this may be another kind of file, or one that is cut off; otherwise correct skip_until")
        .at(self.end()))
    }

    /// Place of the last line, for what is missing behind it.
    pub(crate) fn end(&self) -> Place {
        self.last.map_or_else(
            || {
                Place::in_source(self.source.name())
                    .with_line(1)
                    .with_column(1)
                    .with_byte(0)
            },
            |l| self.source.place(l, 0, l.text.len()),
        )
    }

    fn title(&mut self, line: Line<'a>) -> Result<bool> {
        let titles = &self.layout.text.titles;
        let mut found = std::mem::take(&mut self.found);
        let is_title = titles.iter().any(|t| t.matches(line, &mut found));
        if is_title {
            let mut slots: Vec<usize> = found.iter().map(|(slot, _)| *slot).collect();
            self.no_rows_below(Some(&slots))?;
            for (slot, field) in &found {
                if let Some(taken) = self.taken.get_mut(*slot) {
                    *taken = Some(*field);
                }
            }
            if let Some((_, before)) = self.waiting.take() {
                slots.extend(before);
            }
            self.waiting = Some((line, slots));
        }
        self.found = found;
        Ok(is_title)
    }

    /// Refuses the last title where no row stands below it: at the end, or where the next says the same things anew.
    fn no_rows_below(&self, next: Option<&[usize]>) -> Result<()> {
        let Some((line, slots)) = &self.waiting else {
            return Ok(());
        };
        let anew = next.is_none_or(|next| next.iter().any(|slot| slots.contains(slot)));
        if !anew {
            return Ok(());
        }
        let hint = match next {
            Some(_) => "the rows are missing; export the file again, or take the title away",
            None => "the file may be cut off; export it again",
        };
        Err(Error::input("no row stands below this title")
            .hint(hint)
            .at(self.source.place(*line, 0, line.text.len())))
    }

    /// Text of a comment without its marks; `None` where the line is none.
    fn comment(&self, text: &'a str) -> Option<&'a str> {
        let marks = &self.layout.text.comments;
        let mut rest = text;
        let mut marked = false;
        while let Some(behind) = marks.iter().find_map(|m| rest.strip_prefix(m.as_str())) {
            rest = behind;
            marked = true;
        }
        marked.then(|| rest.trim())
    }
}
