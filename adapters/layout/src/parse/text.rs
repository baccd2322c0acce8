//! `[text]`: how the text is written.

use crate::layout::{Kind, TextRules};
use crate::parse::section::Section;
use crate::parse::title;
use crate::said::Said;
use spheresum_core::intake::text::{Clip, Separator};
use spheresum_core::{Error, Result};

/// What a separator may be, for hints.
pub(crate) const SEPARATORS: &str = "comma, semicolon, tab, blank, pipe, or one sign in quotes";

/// Marks of comments where the layout names none.
const COMMENTS: [&str; 4] = ["#", "!", "%", "//"];
/// Most lines that can be skipped.
const MOST_SKIPPED: u64 = 1_000_000_000;

const KEYS: [&str; 9] = [
    "separator",
    "decimal",
    "comments",
    "quote",
    "skip_lines",
    "skip_until",
    "stop_at",
    "heading_line",
    "title",
];

/// Reads `[text]`.
///
/// # Errors
/// Input.
pub(crate) fn text(root: &Section<'_>, kind: &Said<Kind>) -> Result<TextRules> {
    let section = root.section("text")?;
    let Some(section) = section else {
        if kind.value == Kind::Fixed {
            return Ok(plain());
        }
        return Err(Error::input("nothing says what stands between the fields")
            .hint(format!(
                "add a table [text] with separator = \"…\"; possible: {SEPARATORS}"
            ))
            .at(kind.place.clone()));
    };
    section.only(&KEYS)?;
    let (titles, slots) = title::titles(&section.texts("title")?.unwrap_or_default())?;
    let comments = section.texts("comments")?.map_or_else(
        || COMMENTS.map(ToString::to_string).to_vec(),
        |said| {
            said.into_iter()
                .map(|s| s.value.trim().to_string())
                .collect()
        },
    );
    let rules = TextRules {
        separator: separator(&section, kind)?,
        decimal: decimal(&section)?,
        comments,
        quote: quote(&section)?,
        skip_lines: section.count("skip_lines", MOST_SKIPPED)?,
        skip_until: one_text(&section, "skip_until")?,
        stop_at: one_text(&section, "stop_at")?,
        heading_line: heading_line(&section, kind.value)?,
        titles,
        slots,
    };
    contradictions(&section, &rules)?;
    Ok(rules)
}

/// The rules of fixed columns, where nothing else is said.
fn plain() -> TextRules {
    TextRules {
        separator: Separator::Blank,
        decimal: None,
        comments: COMMENTS.map(ToString::to_string).to_vec(),
        quote: None,
        skip_lines: None,
        skip_until: None,
        stop_at: None,
        heading_line: false,
        titles: Vec::new(),
        slots: Vec::new(),
    }
}

fn separator(section: &Section<'_>, kind: &Said<Kind>) -> Result<Separator> {
    let said = section.text("separator")?;
    if kind.value == Kind::Fixed {
        return match said {
            Some(said) => Err(Error::input("fixed columns have no separator")
                .hint(
                    "take the line away; the columns are told apart by from and to, in characters",
                )
                .at(said.place)),
            None => Ok(Separator::Blank),
        };
    }
    let said = said.ok_or_else(|| section.lacks("separator", "\"semicolon\" (or another)"))?;
    let word = said.value;
    let named = Separator::ALL.into_iter().find(|s| s.word() == word.trim());
    match (named, word.as_bytes()) {
        (Some(separator), _) => Ok(separator),
        (None, b" ") => Ok(Separator::Blank),
        (None, b"\t") => Ok(Separator::Tab),
        (None, b";") => Ok(Separator::Semicolon),
        (None, b",") => Ok(Separator::Comma),
        (None, b"|") => Ok(Separator::Pipe),
        (None, [byte]) if byte.is_ascii_punctuation() && !b"+-.\"'".contains(byte) => {
            Ok(Separator::Sign(*byte))
        }
        _ => Err(section.refuse("separator", &said, SEPARATORS)),
    }
}

fn decimal(section: &Section<'_>) -> Result<Option<Said<u8>>> {
    let Some(said) = section.text("decimal")? else {
        return Ok(None);
    };
    match said.value.trim() {
        "point" | "." => Ok(Some(said.map(|_| b'.'))),
        "comma" | "," => Ok(Some(said.map(|_| b','))),
        _ => Err(section.refuse("decimal", &said, "point, comma")),
    }
}

fn quote(section: &Section<'_>) -> Result<Option<u8>> {
    let Some(said) = section.text("quote")? else {
        return Ok(Some(b'"'));
    };
    match said.value {
        "\"" => Ok(Some(b'"')),
        "'" => Ok(Some(b'\'')),
        "" | "none" => Ok(None),
        _ => Err(section.refuse("quote", &said, "\", ', none")),
    }
}

fn one_text(section: &Section<'_>, key: &str) -> Result<Option<Said<String>>> {
    let said = section.text(key)?;
    match said {
        Some(said) if said.value.trim().is_empty() => Err(Error::input(format!(
            "{key} is empty, and so in every line"
        ))
        .hint("write a text that stands in the line, or take the line away")
        .at(said.place)),
        Some(said) => Ok(Some(said.map(ToString::to_string))),
        None => Ok(None),
    }
}

fn heading_line(section: &Section<'_>, kind: Kind) -> Result<bool> {
    let said = section.flag("heading_line")?;
    match (said, kind) {
        (Some(said), Kind::Matrix) => Err(Error::input("a matrix has no heading line")
            .hint("take the line away: the first line of a block holds the column axis")
            .at(said.place)),
        (Some(said), _) => Ok(said.value),
        (None, kind) => Ok(matches!(kind, Kind::Table | Kind::Cuts)),
    }
}

fn contradictions(section: &Section<'_>, rules: &TextRules) -> Result<()> {
    if let Some(decimal) = &rules.decimal
        && decimal.value == rules.separator.byte()
    {
        return Err(
            Error::input("the comma cannot be both separator and decimal sign")
                .hint("correct one of the two; where commas do both, export the file anew")
                .at(decimal.place.clone()),
        );
    }
    let separator = char::from(rules.separator.byte()).to_string();
    let clash = rules
        .comments
        .iter()
        .find(|mark| mark.starts_with(&separator) && rules.separator != Separator::Blank);
    if let (Some(mark), Some(value)) = (clash, section.value("separator")) {
        return Err(Error::input(format!(
            "{:?} marks comments, and fields are told apart by {separator:?}",
            Clip(mark)
        ))
        .hint("write comments = [\"…\"] with the marks that the files have, or comments = []")
        .at(section.place_of_value("separator", value)));
    }
    Ok(())
}
