//! The strict reader: a table in, cases out, or an error with its line and column.

mod fields;
mod input;
mod options;
mod row;
mod words;

use crate::error::Result;
use crate::table::case::{Case, Check, Row, Table};
use crate::table::line::{Line, Piece, lines};
use fields::Fields;

/// Reads a table. `name` is for messages.
///
/// # Errors
/// Input, with the place: a word or unit that is unknown, a unit that is missing or glued to its number, a number that is none, a
/// name given twice, a case without input or without rows, a loose tolerance without a reason, a wrong amount without the right
/// one, a number of rows that is not the stated one.
///
/// ```
/// let text = "\
/// table: one level
/// rows: 1
///
/// case: ten-times
///   levels: 10 dB
///   gives: value | 10 1 | within 1e-14 relative | closed form: 10^(10/10)
/// ";
/// let table = spheresum_core::table::parse("levels.tbl", text)?;
/// assert_eq!(table.row_count(), 1);
/// # Ok::<(), spheresum_core::Error>(())
/// ```
pub fn parse(name: &str, text: &str) -> Result<Table> {
    // Some editors begin a file with a mark of its encoding.
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let mut head = Head::default();
    let mut cases: Vec<Case> = Vec::new();
    let mut open: Option<OpenCase<'_>> = None;
    let mut last = Line {
        source: name,
        number: 1,
        byte: 0,
        text: "",
    };
    for line in lines(name, text) {
        last = line;
        if line.is_silent() {
            continue;
        }
        let (key, value) = key_and_value(line)?;
        if head.rows.is_none() {
            head.take(key, value)?;
            continue;
        }
        if key.text == "case" {
            if let Some(before) = open.take() {
                cases.push(before.close()?);
            }
            open = Some(OpenCase::new(value, &cases)?);
            continue;
        }
        match &mut open {
            Some(case) => case.take(key, value)?,
            None => return Err(key.error(format!("{:?} stands before the first case", key.text))),
        }
    }
    if let Some(before) = open.take() {
        cases.push(before.close()?);
    }
    let Some((stated, at)) = head.rows else {
        return Err(last
            .whole()
            .end()
            .error("the table ends before its `rows:` line"));
    };
    let table = Table {
        name: name.to_string(),
        title: head.title.unwrap_or_default(),
        cases,
    };
    if table.row_count() != stated {
        let message = format!(
            "the table states {stated} rows and has {}",
            table.row_count()
        );
        return Err(at
            .error(message)
            .hint("a row is a line that begins with gives, never, is or fails"));
    }
    Ok(table)
}

fn key_and_value(line: Line<'_>) -> Result<(Piece<'_>, Piece<'_>)> {
    let whole = line.whole();
    let Some((key, value)) = whole.cut(":") else {
        return Err(whole.error("a line is a word, a colon and what belongs to it"));
    };
    if value.text.is_empty() {
        return Err(value.error(format!("nothing stands behind {:?}", key.text)));
    }
    Ok((key, value))
}

/// The two lines that every table begins with.
#[derive(Default)]
struct Head<'a> {
    title: Option<String>,
    rows: Option<(usize, Piece<'a>)>,
}

impl<'a> Head<'a> {
    fn take(&mut self, key: Piece<'a>, value: Piece<'a>) -> Result<()> {
        match (key.text, &self.title) {
            ("table", None) => self.title = Some(value.text.to_string()),
            ("rows", Some(_)) => self.rows = Some((words::count(value)?, value)),
            (_, None) => return Err(key.error("a table begins with its `table:` line")),
            (_, Some(_)) => return Err(key.error("the second line of a table is its `rows:` line")),
        }
        Ok(())
    }
}

/// A case that is being read.
struct OpenCase<'a> {
    name: Piece<'a>,
    fields: Fields<'a>,
    /// Set with the first row, when the fields are complete.
    case: Option<Case>,
    /// Where each row of the case stands.
    places: Vec<Piece<'a>>,
}

impl<'a> OpenCase<'a> {
    fn new(name: Piece<'a>, before: &[Case]) -> Result<Self> {
        let plain =
            |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || matches!(c, '-' | '_' | '.');
        if !name.text.chars().all(plain) {
            return Err(name
                .error(format!("{:?} is no name of a case", name.text))
                .hint("names have small letters, digits, hyphens, underscores and points"));
        }
        if let Some(first) = before.iter().find(|c| c.name == name.text) {
            return Err(name.error(format!(
                "the case {} is there already, in line {}",
                name.text, first.line
            )));
        }
        Ok(Self {
            name,
            fields: Fields::default(),
            case: None,
            places: Vec::new(),
        })
    }

    fn take(&mut self, key: Piece<'a>, value: Piece<'a>) -> Result<()> {
        match key.text {
            "gives" | "never" | "is" | "fails" => {
                let case = match &mut self.case {
                    Some(case) => case,
                    None => self
                        .case
                        .insert(begin(self.name, std::mem::take(&mut self.fields))?),
                };
                let row = row::read(key, value, case)?;
                if case.rows.iter().any(|r| row::asks_the_same(r, &row)) {
                    return Err(value.error("the case asks for this already, in the same unit"));
                }
                case.rows.push(row);
                self.places.push(key);
                Ok(())
            }
            "also" => {
                let row = last_row(self.case.as_mut(), key)?;
                row.sources.push(row::source(value)?);
                Ok(())
            }
            "because" => {
                let row = last_row(self.case.as_mut(), key)?;
                if row.because.is_some() {
                    return Err(key.error("the row has its reason already"));
                }
                row.because = Some(value.text.to_string());
                Ok(())
            }
            _ if self.case.is_some() => {
                let known = fields::is_known(key.text);
                let what = if known {
                    "stands behind the rows of its case"
                } else {
                    "is unknown"
                };
                Err(key.error(format!("{:?} {what}", key.text)))
            }
            _ => self.fields.add(key, value),
        }
    }

    fn close(self) -> Result<Case> {
        let Some(case) = self.case else {
            return Err(self
                .name
                .error(format!("the case {} has no row", self.name.text)));
        };
        for (row, place) in case.rows.iter().zip(&self.places) {
            row::check(row, &case, *place)?;
        }
        Ok(case)
    }
}

fn last_row<'c>(case: Option<&'c mut Case>, key: Piece<'_>) -> Result<&'c mut Row> {
    case.and_then(|c| c.rows.last_mut()).ok_or_else(|| {
        key.error(format!(
            "{:?} belongs to a row, and stands before the first",
            key.text
        ))
    })
}

fn begin<'a>(name: Piece<'a>, mut fields: Fields<'a>) -> Result<Case> {
    let input = input::read(name, &mut fields)?;
    let (options, command_options) = options::read(&input, &mut fields)?;
    fields.all_used()?;
    Ok(Case {
        name: name.text.to_string(),
        line: name.line_number(),
        input,
        options,
        command_options,
        rows: Vec::new(),
    })
}

/// True where a row is one that gives an amount.
fn gives(row: &Row) -> bool {
    matches!(row.check, Check::Gives { .. })
}
