//! What a layout is called, which shape it describes, and how its files are recognised.

use crate::layout::{Kind, Recognise};
use crate::parse::section::Section;
use crate::said::Said;
use spheresum_core::intake::text::Clip;
use spheresum_core::{Error, Result};

/// Most characters of an id, and of a name.
const MOST: (usize, usize) = (64, 200);

/// The id: kebab case.
///
/// # Errors
/// Input.
pub(crate) fn id(root: &Section<'_>) -> Result<Said<String>> {
    let said = root
        .text("id")?
        .ok_or_else(|| root.lacks("id", "\"gauge-export\""))?;
    let id = said.value;
    let kebab = id.starts_with(|c: char| c.is_ascii_lowercase())
        && id
            .bytes()
            .all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'-')
        && !id.ends_with('-')
        && id.len() <= MOST.0;
    if kebab {
        return Ok(said.map(ToString::to_string));
    }
    Err(Error::input(format!("{:?} is no id", Clip(id)))
        .hint(format!(
            "an id has small letters, digits and hyphens, starts with a letter and has at most {} characters, such as gauge-export",
            MOST.0
        ))
        .at(said.place))
}

/// The name: one line.
///
/// # Errors
/// Input.
pub(crate) fn name(root: &Section<'_>) -> Result<String> {
    let said = root
        .text("name")?
        .ok_or_else(|| root.lacks("name", "\"what the files are\""))?;
    let name = said.value.trim();
    if !name.is_empty() && !name.contains(char::is_control) && name.chars().count() <= MOST.1 {
        return Ok(name.to_string());
    }
    Err(Error::input("the name is not one line of text")
        .hint(format!(
            "say in at most {} characters what the files are",
            MOST.1
        ))
        .at(said.place))
}

/// The shape of the text.
///
/// # Errors
/// Input.
pub(crate) fn kind(root: &Section<'_>) -> Result<Said<Kind>> {
    let possible = "table, matrix, cuts, fixed";
    let said = root
        .text("kind")?
        .ok_or_else(|| root.lacks("kind", "\"table\" (or matrix, cuts, fixed)"))?;
    match Kind::ALL
        .into_iter()
        .find(|k| k.word() == said.value.trim())
    {
        Some(kind) => Ok(Said::new(kind, said.place)),
        None => Err(root.refuse("kind", &said, possible)),
    }
}

/// The marks of `[recognise]`.
///
/// # Errors
/// Input.
pub(crate) fn recognise(root: &Section<'_>) -> Result<Recognise> {
    let Some(section) = root.section("recognise")? else {
        return Ok(Recognise::default());
    };
    section.only(&["first_line_contains", "contains", "name_ends_with"])?;
    let texts = |key: &str| -> Result<Vec<String>> {
        let said = section.texts(key)?.unwrap_or_default();
        Ok(said.into_iter().map(|s| s.value.to_string()).collect())
    };
    Ok(Recognise {
        first_line_contains: texts("first_line_contains")?,
        contains: texts("contains")?,
        name_ends_with: texts("name_ends_with")?,
    })
}
