//! Our document of readings: `{"schema": "spheresum.readings/1", …}`.

use crate::entries::Remarks;
use crate::grid;
use crate::json::Json;
use crate::kind::Kind;
use crate::list;
use crate::names::{Known, QUANTITIES};
use crate::nearest::nearest;
use crate::shape::Member;
use spheresum_core::intake::text::{
    self, Choices, Clip, Context, Entries, Heading, Plan, Spot, Table,
};
use spheresum_core::intake::{Intake, ReadOptions};
use spheresum_core::{Error, Reading, Readings, Result};
use std::borrow::Cow;

/// The schema word of a document of readings.
pub(crate) const SCHEMA_WORD: &str = "spheresum.readings/1";

/// A document, but for its blocks.
#[derive(Debug)]
pub(crate) struct Document<'a> {
    /// The word of the quantity.
    pub(crate) quantity: Cow<'a, str>,
    /// Fields follow e^{−jωt}.
    conjugate: bool,
    /// The remarks.
    metadata: Remarks<'a>,
    /// The list of blocks.
    blocks: &'a str,
}

/// What a block is read with.
pub(crate) struct Block<'r, 'a> {
    /// The document.
    pub(crate) document: &'r Document<'a>,
    /// The options of the call.
    pub(crate) options: &'r ReadOptions,
    /// Its text.
    pub(crate) piece: &'a str,
    /// The remarks of the document, for its first block.
    entries: &'r Entries<'r>,
}

/// Reads a document.
///
/// # Errors
/// Unsupported: another document. Usage: named options. Input: with the place of the key or value.
pub(crate) fn read<'a>(
    json: &Json<'a>,
    (word, piece): (&str, &'a str),
    members: &[Member<'a>],
    options: &ReadOptions,
) -> Result<Intake> {
    if word != SCHEMA_WORD {
        return Err(other_document(word).at(json.place(piece).with_field("schema")));
    }
    if let Some(option) = options.named.keys().next() {
        return Err(Error::usage(format!(
            "the option {option} has no use for a readings document"
        ))
        .hint("the document's keys say what everything is; leave the option out")
        .at(json.place(piece).with_field("schema")));
    }
    let document = document(json, members)?;
    let first = document.metadata.entries();
    let none = Entries::default();
    let mut all: Option<Intake> = None;
    let mut locator = json.locator();
    json.items(document.blocks, "a list of blocks", |piece| {
        locator.spot(piece);
        let json = &json.from(locator.clone());
        let block = Block {
            document: &document,
            options,
            piece,
            entries: if all.is_none() { &first } else { &none },
        };
        let parts = json.object(piece, "a block")?;
        let intake = match parts.iter().any(|(name, _)| name.text == "readings") {
            true => list::read(json, &block, &parts)?,
            false => grid::read(json, &block, &parts)?,
        };
        match &mut all {
            Some(before) => join(json, before, intake, piece),
            none => {
                *none = Some(intake);
                Ok(())
            }
        }
    })?;
    all.ok_or_else(|| {
        Error::input("the document has no blocks")
            .hint("a block holds a grid, or a list of readings")
            .at(json.place(document.blocks).with_field("blocks"))
    })
}

/// The error of another document of this project.
fn other_document(word: &str) -> Error {
    let shown = Clip(word);
    if word.starts_with("spheresum.readings/") {
        return Error::unsupported(format!(
            "the document is {shown}, and this version reads {SCHEMA_WORD}"
        ))
        .hint("write the older version, or take a newer program");
    }
    Error::unsupported(format!("the document is {shown}: a result, not readings"))
        .hint("give the files of readings that it was made from")
}

fn document<'a>(json: &Json<'a>, members: &[Member<'a>]) -> Result<Document<'a>> {
    let known = Known::document();
    let mut quantity = None;
    let mut time = None;
    let mut metadata = Remarks::default();
    let mut blocks = None;
    for (name, value) in members {
        known.check(json, name)?;
        match name.text.as_ref() {
            "quantity" => {
                json.expect(value, Kind::Text, "a text, the quantity")?;
                quantity = Some(word(json, value, "quantity", &QUANTITIES)?);
            }
            "time" => {
                json.expect(value, Kind::Text, "a text, the time convention")?;
                let found = word(json, value, "time", &["exp(+jwt)", "exp(-jwt)"])?;
                time = Some((found, *value));
            }
            "metadata" => metadata = remarks(json, value)?,
            "blocks" => blocks = Some(*value),
            _ => {}
        }
    }
    let lacks = |key: &str, what: &str| {
        Error::input(format!("the document has no {key}"))
            .hint(format!("write {what}"))
            .at(json.place(json.root()))
    };
    let quantity =
        quantity.ok_or_else(|| lacks("quantity", "\"quantity\": \"eirp\", or another quantity"))?;
    if let Some((_, piece)) = time.as_ref().filter(|_| quantity != "field") {
        return Err(
            Error::input(format!("time is of fields, and the quantity is {quantity}"))
                .hint("leave the key time out")
                .at(json.place(piece).with_field("time")),
        );
    }
    Ok(Document {
        quantity,
        conjugate: time.is_some_and(|(word, _)| word == "exp(-jwt)"),
        metadata,
        blocks: blocks.ok_or_else(|| {
            lacks(
                "blocks",
                "\"blocks\": [ … ], with grids or lists of readings",
            )
        })?,
    })
}

/// One of some words.
fn word<'a>(json: &Json<'a>, piece: &'a str, key: &str, possible: &[&str]) -> Result<Cow<'a, str>> {
    let text = json.unquote(piece)?;
    if possible.contains(&text.as_ref()) {
        return Ok(text);
    }
    let near = nearest(&text, possible.iter().copied());
    let near = near.map_or_else(String::new, |n| format!("is it {n}? "));
    Err(Error::input(format!("{:?} is no {key}", Clip(&text)))
        .hint(format!("{near}possible: {}", possible.join(", ")))
        .at(json.place(piece).with_field(key)))
}

/// The remarks of a document: values, or lists of them.
fn remarks<'a>(json: &Json<'a>, piece: &'a str) -> Result<Remarks<'a>> {
    let mut all = Vec::new();
    for (name, value) in json.object(piece, "an object, the metadata")? {
        match Kind::of(value) {
            Kind::List => json.items(value, "a list", |item| {
                refuse_null(json, item)?;
                all.push((name.text.clone(), item));
                Ok(())
            })?,
            _ => {
                refuse_null(json, value)?;
                all.push((name.text, value));
            }
        }
    }
    Remarks::of(json, b'.', all.into_iter())
}

fn refuse_null<'a>(json: &Json<'a>, piece: &'a str) -> Result<()> {
    if Kind::of(piece) != Kind::Null {
        return Ok(());
    }
    Err(Error::input("a remark is null")
        .hint("leave the key out, or write a text")
        .at(json.place(piece)))
}

/// The table of a block.
pub(crate) fn table<'b>(
    block: &Block<'b, '_>,
    headings: Vec<Heading<'b>>,
    whole: Spot<'b>,
) -> Table<'b> {
    Table::new(block.entries.clone(), headings, Some(whole))
}

/// The plan of a block's table.
///
/// # Errors
/// Input: a direction or a value that no key names, or that two name.
pub(crate) fn plan(json: &Json<'_>, block: &Block<'_, '_>, table: &Table<'_>) -> Result<Plan> {
    let choices = Choices::default();
    let point = |_: &Plan| Some(b'.');
    let (mut plan, _) = text::plan(table, json.source, &choices, block.options, point)?;
    plan.conjugate = block.document.conjugate;
    Ok(plan)
}

/// What the rows of a block are read with.
pub(crate) fn context<'b, 'a: 'b>(
    json: &Json<'a>,
    table: &'b Table<'b>,
    plan: &'b Plan,
) -> Context<'b> {
    Context {
        source: json.source,
        table,
        plan,
        limits: json.limits,
    }
}

/// Puts the readings of a block behind those before it.
fn join<'a>(json: &Json<'a>, before: &mut Intake, intake: Intake, piece: &'a str) -> Result<()> {
    let Intake {
        readings: Some(more),
        findings,
        ..
    } = intake
    else {
        return Ok(());
    };
    let Some(all) = &mut before.readings else {
        return Ok(());
    };
    let place = || json.place(piece);
    if all.quantity() != more.quantity() {
        return Err(Error::input("the blocks have fields of different scales")
            .hint("write the fields of all blocks in the same scale: sqrtw, v, or none")
            .at(place()));
    }
    append(all, &more, json).map_err(|e| e.at(place()))?;
    before.findings.extend(findings);
    Ok(())
}

fn append(all: &mut Readings, more: &Readings, json: &Json<'_>) -> Result<()> {
    let mut indices = Vec::new();
    for frequency in more.frequencies() {
        indices.push(all.frequency_index(*frequency, json.limits)?);
    }
    for (at, reading) in more.iter().enumerate() {
        all.push(Reading {
            frequency: indices
                .get(reading.frequency)
                .copied()
                .unwrap_or(usize::MAX),
            ..reading
        })?;
        if let Some(time_s) = more.time_s(at) {
            all.set_last_time_s(time_s)?;
        }
    }
    Ok(())
}
