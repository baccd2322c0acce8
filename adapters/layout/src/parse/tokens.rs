//! `[tokens]` and `[polarisation_words]`: what the words of the files stand for.

use crate::layout::{StandsFor, Token};
use crate::parse::section::Section;
use crate::said::line_of;
use spheresum_core::intake::text::{Clip, word};
use spheresum_core::{Error, Polarisation, Result};

/// Most tokens, and most words.
const MOST: usize = 256;

/// Reads `[tokens]`.
///
/// # Errors
/// Input.
pub(crate) fn tokens(root: &Section<'_>) -> Result<Vec<Token>> {
    let Some(section) = root.section("tokens")? else {
        return Ok(Vec::new());
    };
    section.only(&["missing", "below_floor", "above", "lost"])?;
    let mut tokens = Vec::new();
    for (key, stands_for) in [("missing", StandsFor::Missing), ("lost", StandsFor::Lost)] {
        for said in section.texts(key)?.unwrap_or_default() {
            tokens.push(Token {
                text: said.value.trim().to_string(),
                stands_for: stands_for.clone(),
                place: said.place,
            });
        }
    }
    for (key, make) in [
        ("below_floor", StandsFor::AtMost as fn(String) -> StandsFor),
        ("above", StandsFor::AtLeast),
    ] {
        for item in section.sections(key)? {
            tokens.push(with_level(&item, make)?);
        }
    }
    tokens.sort_by_key(|t| t.place.byte);
    if let Some(beyond) = tokens.get(MOST) {
        return Err(Error::limit(format!("more than {MOST} tokens"))
            .hint("name those that the files have")
            .at(beyond.place.clone()));
    }
    for (at, token) in tokens.iter().enumerate() {
        let first = tokens.iter().take(at).find(|t| t.text == token.text);
        if let Some(first) = first {
            return Err(
                Error::input(format!("{:?} stands for two things", Clip(&token.text)))
                    .hint(format!("the other is in {}", line_of(&first.place)))
                    .at(token.place.clone()),
            );
        }
    }
    Ok(tokens)
}

fn with_level(item: &Section<'_>, make: fn(String) -> StandsFor) -> Result<Token> {
    item.only(&["text", "level"])?;
    let text = item
        .text("text")?
        .ok_or_else(|| item.lacks("text", "\"UND\""))?;
    if text.value.trim().is_empty() {
        return Err(Error::input("the text is empty")
            .hint("an empty field is a missing value; write the word that stands in the files")
            .at(text.place));
    }
    let level = item
        .decimal("level")?
        .ok_or_else(|| item.lacks("level", "-110, in the unit of the column"))?;
    Ok(Token {
        text: text.value.trim().to_string(),
        stands_for: make(level.value),
        place: text.place,
    })
}

/// Reads `[polarisation_words]`.
///
/// # Errors
/// Input.
pub(crate) fn polarisation_words(root: &Section<'_>) -> Result<Vec<(String, Polarisation)>> {
    let Some(section) = root.section("polarisation_words")? else {
        return Ok(Vec::new());
    };
    let mut words: Vec<(String, Polarisation)> = Vec::new();
    for (key, _, _) in section.entries() {
        let Some(said) = section.text(key)? else {
            continue;
        };
        let refuse = |message: String, hint: String| {
            Err(Error::input(message).hint(hint).at(said.place.clone()))
        };
        let Some(polarisation) = word::polarisation(said.value.trim()) else {
            return Err(section.refuse(key, &said, "theta, phi, total"));
        };
        let lower = key.trim().to_lowercase();
        if lower.is_empty() || words.len() >= MOST {
            return refuse(
                "the word is empty, or there are too many".to_string(),
                format!("name at most {MOST} words that the files have"),
            );
        }
        if words.iter().any(|(w, _)| *w == lower) {
            return refuse(
                format!("the word {:?} is there twice", Clip(key)),
                "capital and small letters are the same; keep one".to_string(),
            );
        }
        words.push((lower, polarisation));
    }
    Ok(words)
}
