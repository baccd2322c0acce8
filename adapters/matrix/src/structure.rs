//! The structure of a file: its blocks, each with title, labels and rows.

use crate::kinds::{self, Kind, Labels};
use crate::own::Own;
use crate::rows::{self, no_labels, no_rows};
use spheresum_core::intake::Source;
use spheresum_core::intake::source::Line;
use spheresum_core::intake::text::title::{Said, Statement, statements};
use spheresum_core::intake::text::{
    Cursor, Flaw, Separator, Span, Spot, field, line_at, refuse_long_lines, split,
};
use spheresum_core::{Error, Limits, Result};

/// A block.
#[derive(Clone, Debug)]
pub(crate) struct Block<'a> {
    /// What its title says.
    pub(crate) title: Vec<Statement<'a>>,
    /// The line of labels.
    pub(crate) line: Line<'a>,
    /// Where corner and labels stand in it.
    pub(crate) labels: Labels,
    /// The line behind the labels.
    pub(crate) start: Cursor,
    /// Number of rows.
    pub(crate) rows: usize,
}

impl<'a> Block<'a> {
    /// Where the corner stands; the line of labels where there is none.
    pub(crate) fn corner(&self) -> Spot<'a> {
        let (start, end) = self.labels.corner;
        match start < end {
            true => Spot::new(self.line, start, end),
            false => Spot::whole(self.line),
        }
    }
}

/// The blocks of a file.
#[derive(Clone, Debug)]
pub(crate) struct Structure<'a> {
    /// What stands between fields.
    pub(crate) separator: Separator,
    /// The blocks; at least one, and each has rows.
    pub(crate) blocks: Vec<Block<'a>>,
    /// What is said below the last block.
    pub(crate) trailer: Vec<Statement<'a>>,
}

/// The separator: the first under which there is a line of labels, best one that names both angles, above a row.
pub(crate) fn separator(text: &str, own: &Own, most: usize) -> Option<Separator> {
    let possible = |separator: &Separator| match own.separator {
        Some(given) => given == *separator,
        None => *separator != Separator::Comma || own.choices.decimal != Some(b','),
    };
    for named in [true, false] {
        let found = Separator::ALL
            .into_iter()
            .filter(possible)
            .find(|separator| first_labels(text, *separator, most, named));
        if found.is_some() {
            return found;
        }
    }
    None
}

/// True where a separator shows a line of labels with a row below it.
fn first_labels(text: &str, separator: Separator, most: usize, named: bool) -> bool {
    let mut scan = Scan::new(text, separator, most);
    let mut cursor = Cursor::START;
    let mut is_below_row = false;
    while let Some((line, next)) = line_at(text, cursor) {
        let kind = scan.kind(line);
        let is_row = kind == Kind::Row;
        let labels = match kind {
            Kind::Labels(labels) => Some(labels),
            // Below a row, one that is shorter than the next is ragged, and no labels.
            Kind::Row if !named && !is_below_row => scan.labels_without_corner(next),
            _ => None,
        };
        is_below_row = is_row;
        if let Some(labels) = labels
            && (labels.named || !named)
            && (labels.named && labels.numbers || scan.row_follows(next, labels.count))
        {
            return true;
        }
        cursor = next;
    }
    false
}

/// Splits lines and sees what they are.
struct Scan<'a> {
    text: &'a str,
    separator: Separator,
    most: usize,
    spans: Vec<Span>,
    /// What is wrong with the quotes of the last line.
    flaw: Option<Flaw>,
    ahead: Vec<Span>,
}

impl<'a> Scan<'a> {
    fn new(text: &'a str, separator: Separator, most: usize) -> Self {
        Self {
            text,
            separator,
            most,
            spans: Vec::new(),
            flaw: None,
            ahead: Vec::new(),
        }
    }

    fn kind(&mut self, line: Line<'a>) -> Kind {
        self.flaw = split(line.text, self.separator, self.most, &mut self.spans);
        kinds::of(line, self.separator, &self.spans)
    }

    /// The next line that is neither blank nor comment, split into `ahead`, and its kind.
    fn next(&mut self, mut cursor: Cursor) -> Option<Kind> {
        while let Some((line, next)) = line_at(self.text, cursor) {
            cursor = next;
            split(line.text, self.separator, self.most, &mut self.ahead);
            match kinds::of(line, self.separator, &self.ahead) {
                Kind::Blank | Kind::Comment => {}
                kind => return Some(kind),
            }
        }
        None
    }

    /// True where a row comes next, of a label and as many cells as there are labels.
    fn row_follows(&mut self, cursor: Cursor, count: usize) -> bool {
        self.next(cursor) == Some(Kind::Row) && self.ahead.len() > count
    }

    /// The labels of a line of numbers under blanks, where the next one has one field more: the corner is empty.
    fn labels_without_corner(&mut self, cursor: Cursor) -> Option<Labels> {
        let count = self.spans.len();
        let follows = self.separator == Separator::Blank
            && self.next(cursor) == Some(Kind::Row)
            && self.ahead.len() == count + 1;
        follows.then_some(Labels {
            count,
            numbers: true,
            ..Labels::default()
        })
    }
}

/// Finds the blocks of a source.
///
/// # Errors
/// Input: no block, a block without labels or rows, a row with more or fewer cells than labels. Limit.
pub(crate) fn find<'a>(source: &'a Source, own: &Own, limits: &Limits) -> Result<Structure<'a>> {
    refuse_long_lines(source, limits)?;
    let text = source.text();
    let Some(separator) = separator(text, own, limits.max_fields) else {
        return Err(no_labels(source));
    };
    let mut scan = Scan::new(text, separator, limits.max_fields);
    let mut blocks: Vec<Block<'a>> = Vec::new();
    let mut title: Vec<Statement<'a>> = Vec::new();
    // The line that ended the last block, while no labels came.
    let mut ended: Option<Line<'a>> = None;
    let mut is_open = false;
    let mut cursor = Cursor::START;
    while let Some((line, next)) = line_at(text, cursor) {
        cursor = next;
        let mut kind = scan.kind(line);
        if scan.spans.len() > limits.max_fields {
            return Err(Error::limit(format!(
                "more than {} fields in one line",
                limits.max_fields
            ))
            .hint("raise the limit on fields, or check that this is a matrix of readings")
            .at(source.place(line, 0, line.text.len())));
        }
        let open = blocks.last_mut().filter(|_| is_open);
        if let Some(block) = &open {
            kind = rows::within(kind, line, &scan.spans, block);
        } else if kind == Kind::Row
            && let Some(labels) = scan.labels_without_corner(next)
        {
            kind = Kind::Labels(labels);
        }
        if let Some(flaw) = scan
            .flaw
            .filter(|_| matches!(kind, Kind::Row | Kind::Labels(_)))
        {
            return Err(
                flaw.refuse(line.text, "close it, or take it away", |start, end| {
                    source.place(line, start, end)
                }),
            );
        }
        match (kind, open) {
            (Kind::Blank, _) => {}
            (Kind::Labels(labels), _) => {
                if let Some(empty) = blocks.last().filter(|b| b.rows == 0) {
                    return Err(no_rows(source, empty));
                }
                if blocks.len() >= limits.max_frequencies.saturating_mul(6) {
                    return Err(Error::limit(format!("more than {} blocks", blocks.len()))
                        .hint("raise the limit on frequencies")
                        .at(source.place(line, 0, line.text.len())));
                }
                is_open = true;
                blocks.push(Block {
                    title: std::mem::take(&mut title),
                    line,
                    labels,
                    start: next,
                    rows: 0,
                });
            }
            (Kind::Row, Some(block)) => {
                let is_last = text.get(next.at..).unwrap_or_default().trim().is_empty();
                rows::check(source, separator, &scan.spans, block, line, is_last)?;
                block.rows += 1;
                if block.rows > limits.max_fields {
                    return Err(Error::limit(format!(
                        "more than {} rows in one block",
                        limits.max_fields
                    ))
                    .hint("raise the limit on fields, or check that this is a matrix of readings")
                    .at(source.place(line, 0, line.text.len())));
                }
            }
            (Kind::Row, None) => return Err(rows::stray(source, line, ended)),
            (Kind::Comment | Kind::Other, _) => {
                let said = statements(line);
                if field::comment(line.text).is_none() || said.iter().any(Statement::is_title) {
                    is_open = false;
                    ended = Some(line);
                }
                // Remarks are of use where the option `column` may name them.
                let is_kept = |s: &Statement<'_>| {
                    !own.choices.columns.is_empty() || !matches!(s.said, Said::Remark)
                };
                title.extend(said.into_iter().filter(is_kept));
            }
        }
    }
    match blocks.last() {
        None => return Err(no_labels(source)),
        Some(block) if block.rows == 0 => return Err(no_rows(source, block)),
        Some(_) => {}
    }
    if let Some(cut) = title.iter().find(|s| s.said.is_fact()) {
        return Err(Error::input("a title, and no block below it")
            .hint("the file may be cut off; export it again")
            .at(cut.field.place(source)));
    }
    Ok(Structure {
        separator,
        blocks,
        trailer: title,
    })
}
