//! A table of the TOML text: its keys read one by one, each with its place.

use crate::said::Said;
use spheresum_core::intake::Source;
use spheresum_core::intake::source::Line;
use spheresum_core::intake::text::{Clip, number};
use spheresum_core::spelling::nearest;
use spheresum_core::{Error, Place, Result};
use std::ops::Range;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// The place of a range of bytes of a source's text.
pub(crate) fn place_of(source: &Source, span: Range<usize>) -> Place {
    let mut last: Option<Line<'_>> = None;
    for line in source.lines() {
        if line.at > span.start {
            break;
        }
        last = Some(line);
    }
    let Some(line) = last else {
        return Place::in_source(source.name());
    };
    let start = (span.start - line.at).min(line.text.len());
    let end = span
        .end
        .saturating_sub(line.at)
        .clamp(start, line.text.len());
    source.place(line, start, end)
}

/// A table of a layout, with what it is called.
#[derive(Clone, Debug)]
pub(crate) struct Section<'t> {
    source: &'t Source,
    /// Such as `[text]`; empty for the whole.
    name: String,
    table: &'t DeTable<'t>,
    span: Range<usize>,
}

impl<'t> Section<'t> {
    /// The whole layout.
    pub(crate) fn root(source: &'t Source, table: &'t DeTable<'t>) -> Self {
        Self {
            source,
            name: String::new(),
            table,
            span: 0..0,
        }
    }

    /// Its place: its name in the layout.
    pub(crate) fn place(&self) -> Place {
        place_of(self.source, self.span.clone())
    }

    /// Its keys and values in the order of the text.
    pub(crate) fn entries(&self) -> Vec<(&'t str, Range<usize>, &'t Spanned<DeValue<'t>>)> {
        let mut all: Vec<_> = self
            .table
            .iter()
            .map(|(key, value)| (key.get_ref().as_ref(), key.span(), value))
            .collect();
        all.sort_by_key(|(_, span, _)| span.start);
        all
    }

    /// Refuses keys that are not among those given.
    ///
    /// # Errors
    /// Input, at the first of them.
    pub(crate) fn only(&self, keys: &[&str]) -> Result<()> {
        let Some((key, span, _)) = self
            .entries()
            .into_iter()
            .find(|(key, ..)| !keys.contains(key))
        else {
            return Ok(());
        };
        let meant = nearest(key, keys.iter().copied())
            .map_or_else(String::new, |near| format!("did you mean {near}? "));
        let place = place_of(self.source, span).with_field(key);
        Err(
            Error::input(format!("{:?} is no key of {}", Clip(key), self.called()))
                .hint(format!("{meant}its keys: {}", keys.join(", ")))
                .at(place),
        )
    }

    fn called(&self) -> &str {
        if self.name.is_empty() {
            "a layout"
        } else {
            &self.name
        }
    }

    /// The value of a key.
    pub(crate) fn value(&self, key: &str) -> Option<&'t Spanned<DeValue<'t>>> {
        self.table.get(key)
    }

    /// Place of a key's value.
    pub(crate) fn place_of_value(&self, key: &str, value: &Spanned<DeValue<'_>>) -> Place {
        place_of(self.source, value.span()).with_field(key)
    }

    /// The error of a value that is of the wrong type.
    fn wrong(&self, key: &str, value: &Spanned<DeValue<'_>>, wanted: &str) -> Error {
        Error::input(format!(
            "{key} has to be {wanted}, and is {}",
            type_name(value.get_ref())
        ))
        .hint(format!("write {key} = {}", example(wanted)))
        .at(self.place_of_value(key, value))
    }

    /// The error of a value that the key does not take.
    pub(crate) fn refuse(&self, key: &str, said: &Said<&str>, possible: &str) -> Error {
        let words: Vec<&str> = possible.split(", ").collect();
        let meant = nearest(said.value, words)
            .map_or_else(String::new, |near| format!("did you mean {near}? "));
        Error::input(format!("{:?} is no value of {key}", Clip(said.value)))
            .hint(format!("{meant}possible: {possible}"))
            .at(said.place.clone())
    }

    /// The error of a key that is missing.
    pub(crate) fn lacks(&self, key: &str, example: &str) -> Error {
        let place = self.place();
        let place = if place.line.is_some() {
            place
        } else {
            place_of(self.source, 0..0)
        };
        Error::input(format!("{} has no {key}", self.called()))
            .hint(format!("add a line {key} = {example}"))
            .at(place)
    }

    /// A text.
    pub(crate) fn text(&self, key: &str) -> Result<Option<Said<&'t str>>> {
        let Some(value) = self.value(key) else {
            return Ok(None);
        };
        match value.get_ref().as_str() {
            Some(text) => Ok(Some(Said::new(text, self.place_of_value(key, value)))),
            None => Err(self.wrong(key, value, TEXT)),
        }
    }

    /// A text, or a list of texts. None of them may be empty.
    pub(crate) fn texts(&self, key: &str) -> Result<Option<Vec<Said<&'t str>>>> {
        let Some(value) = self.value(key) else {
            return Ok(None);
        };
        let mut texts = Vec::new();
        match value.get_ref() {
            DeValue::String(text) => {
                texts.push(Said::new(text.as_ref(), self.place_of_value(key, value)));
            }
            DeValue::Array(items) => {
                for item in items.iter() {
                    match item.get_ref().as_str() {
                        Some(text) => {
                            texts.push(Said::new(text, self.place_of_value(key, item)));
                        }
                        None => return Err(self.wrong(key, item, TEXTS)),
                    }
                }
            }
            _ => return Err(self.wrong(key, value, TEXTS)),
        }
        match texts.iter().find(|t| t.value.trim().is_empty()) {
            Some(empty) => Err(Error::input(format!("a text of {key} is empty"))
                .hint("write a text, or take the line away")
                .at(empty.place.clone())),
            None => Ok(Some(texts)),
        }
    }

    /// A finite number as it is written, with a decimal point: a TOML number, or one in quotes.
    pub(crate) fn decimal(&self, key: &str) -> Result<Option<Said<String>>> {
        let Some(value) = self.value(key) else {
            return Ok(None);
        };
        let text = match value.get_ref() {
            DeValue::String(text) => text.trim().to_string(),
            DeValue::Integer(number) if number.radix() == 10 => number.as_str().to_string(),
            DeValue::Float(number) => number.as_str().to_string(),
            _ => return Err(self.wrong(key, value, NUMBER)),
        };
        let place = self.place_of_value(key, value);
        match number::whole(&text, b'.') {
            Some(_) => Ok(Some(Said::new(text, place))),
            None => Err(
                Error::input(format!("{:?} is not a decimal number", Clip(&text)))
                    .hint(format!("write {key} = {}", example(NUMBER)))
                    .at(place),
            ),
        }
    }

    /// A count from 0 up to `most`.
    pub(crate) fn count(&self, key: &str, most: u64) -> Result<Option<Said<u64>>> {
        let Some(value) = self.value(key) else {
            return Ok(None);
        };
        let count = value
            .get_ref()
            .as_integer()
            .filter(|n| n.radix() == 10)
            .ok_or_else(|| self.wrong(key, value, COUNT))?;
        let place = self.place_of_value(key, value);
        match count.as_str().parse::<u64>() {
            Ok(count) if count <= most => Ok(Some(Said::new(count, place))),
            _ => Err(
                Error::input(format!("{key} = {} is out of range", Clip(count.as_str())))
                    .hint(format!("it runs from 0 to {most}"))
                    .at(place),
            ),
        }
    }

    /// Yes or no.
    pub(crate) fn flag(&self, key: &str) -> Result<Option<Said<bool>>> {
        let Some(value) = self.value(key) else {
            return Ok(None);
        };
        match value.get_ref().as_bool() {
            Some(flag) => Ok(Some(Said::new(flag, self.place_of_value(key, value)))),
            None => Err(self.wrong(key, value, FLAG)),
        }
    }

    /// A table below a key.
    pub(crate) fn section(&self, key: &str) -> Result<Option<Self>> {
        let Some((_, span, value)) = self.entries().into_iter().find(|(k, ..)| *k == key) else {
            return Ok(None);
        };
        match value.get_ref().as_table() {
            Some(table) => Ok(Some(Self {
                source: self.source,
                name: format!("[{key}]"),
                table,
                span,
            })),
            None => Err(self.wrong(key, value, TABLE)),
        }
    }

    /// The tables of a list below a key; none where there is no such key.
    pub(crate) fn sections(&self, key: &str) -> Result<Vec<Self>> {
        let Some(value) = self.value(key) else {
            return Ok(Vec::new());
        };
        let items = value
            .get_ref()
            .as_array()
            .ok_or_else(|| self.wrong(key, value, TABLES))?;
        items
            .iter()
            .map(|item| match item.get_ref().as_table() {
                Some(table) => Ok(Self {
                    source: self.source,
                    name: format!("[[{key}]]"),
                    table,
                    span: item.span(),
                }),
                None => Err(self.wrong(key, item, TABLES)),
            })
            .collect()
    }
}

const TEXT: &str = "a text in quotes";
const TEXTS: &str = "a text in quotes, or a list of them";
const NUMBER: &str = "a decimal number";
const COUNT: &str = "a whole number";
const FLAG: &str = "true or false";
const TABLE: &str = "a table";
const TABLES: &str = "a list of tables";

fn example(wanted: &str) -> &'static str {
    match wanted {
        TEXT => "\"…\"",
        TEXTS => "\"…\", or [\"…\", \"…\"]",
        NUMBER => "12.5, or \"12.5\"",
        COUNT => "3",
        FLAG => "true, or false",
        TABLE => "{ … }, or a head of its own in brackets",
        _ => "[{ … }], or a head of its own in double brackets for each",
    }
}

fn type_name(value: &DeValue<'_>) -> &'static str {
    match value {
        DeValue::String(_) => "a text",
        DeValue::Integer(_) => "a whole number",
        DeValue::Float(_) => "a decimal number",
        DeValue::Boolean(_) => "true or false",
        DeValue::Datetime(_) => "a date",
        DeValue::Array(_) => "a list",
        DeValue::Table(_) => "a table",
    }
}
