//! From the TOML text to a layout that is complete and free of contradictions.

mod check;
mod columns;
mod constants;
mod conventions;
mod head;
mod matrix;
mod role;
mod section;
mod text;
mod title;
mod tokens;
mod unfilled;

pub(crate) use unfilled::is_unfilled;

use crate::layout::Layout;
use section::{Section, place_of};
use spheresum_core::intake::Source;
use spheresum_core::intake::source::Encoding;
use spheresum_core::intake::text::Clip;
use spheresum_core::{Error, Limits, Place, Result};
use toml::de::DeTable;

impl Layout {
    /// Reads a layout from its TOML text. `name` is that of its file, for places.
    ///
    /// # Errors
    /// Input: not TOML, an unknown key, a value that a key does not take, a `?` that is to be filled in, something that is missing or
    /// said twice; Limit: larger than [`Layout::MAX_BYTES`]. All with their place in the layout.
    pub fn parse(name: &str, toml_text: &str) -> Result<Self> {
        Self::from_bytes(name, toml_text.as_bytes().to_vec())
    }

    /// Reads a layout from the bytes of its file.
    ///
    /// # Errors
    /// As [`Layout::parse`]; Input: the bytes are not UTF-8.
    pub fn from_bytes(name: &str, bytes: Vec<u8>) -> Result<Self> {
        if bytes.len() > Self::MAX_BYTES {
            return Err(Error::limit(format!(
                "the layout has {} bytes, more than the limit of {}",
                bytes.len(),
                Self::MAX_BYTES
            ))
            .hint("a layout has about ten lines: check that this is one")
            .at(Place::in_source(name)
                .with_line(1)
                .with_column(1)
                .with_byte(0)));
        }
        if bytes.trim_ascii().is_empty() {
            return Err(Error::input("the layout is empty")
                .hint("it starts with id, name and kind")
                .at(Place::in_source(name)
                    .with_line(1)
                    .with_column(1)
                    .with_byte(0)));
        }
        let source = Source::from_bytes(name, bytes, &Limits::default())?;
        of_source(&source)
    }
}

fn of_source(source: &Source) -> Result<Layout> {
    if source.encoding() != Encoding::Utf8 {
        let odd = source.text().find(|c: char| !c.is_ascii()).unwrap_or(0);
        return Err(Error::input("the layout is not UTF-8 text")
            .hint("save it as UTF-8")
            .at(place_of(source, odd..odd)));
    }
    let table = DeTable::parse(source.text()).map_err(|e| {
        let said = e.message().lines().collect::<Vec<_>>().join(", ");
        Error::input(format!("the layout is not TOML: {}", Clip(&said)))
            .hint("texts stand in quotes, a \\ in a text is written twice or the text stands in single quotes; see toml.io")
            .at(place_of(source, e.span().unwrap_or(0..0)))
    })?;
    let root = Section::root(source, table.get_ref());
    root.only(&[
        "id",
        "name",
        "kind",
        "recognise",
        "text",
        "column",
        "matrix",
        "constants",
        "conventions",
        "tokens",
        "polarisation_words",
    ])?;
    unfilled::refuse(source, &root)?;
    let kind = head::kind(&root)?;
    let text = text::text(&root, &kind)?;
    let layout = Layout {
        file: source.name().to_string(),
        id: head::id(&root)?,
        name: head::name(&root)?,
        recognise: head::recognise(&root)?,
        columns: columns::columns(&root, kind.value, &text)?,
        matrix: matrix::matrix(&root, &kind)?,
        constants: constants::constants(&root)?,
        conventions: conventions::conventions(&root)?,
        tokens: tokens::tokens(&root)?,
        polarisation_words: tokens::polarisation_words(&root)?,
        kind,
        text,
    };
    check::check(&layout)?;
    Ok(layout)
}
