//! The look: how sure the head of a text makes us.

use crate::complete::complete;
use crate::json::Json;
use crate::model::SCHEMA_WORD;
use crate::shape::{Body, Candidate, Sight, sight};
use spheresum_core::Limits;
use spheresum_core::intake::text::{self, Clip, Entries, Field, Heading, Table};
use spheresum_core::intake::{Confidence, Head, Look, Source};

/// Looks at the head of a text.
pub(crate) fn look(head: &Head<'_>) -> Look {
    let start = head.text.trim_start();
    if !start.starts_with(['{', '[']) {
        return Look::new(
            Confidence::None,
            "JSON starts with { or [, and this does not",
        );
    }
    // The head may be cut off, or wrong in the middle, which is for the reader to say.
    let end = match judge(start) {
        Ok(look) if look.confidence > Confidence::None => return look,
        Ok(_) => start.len(),
        Err(stopped) => start.floor_char_boundary(stopped),
    };
    judge(&complete(&start[..end])).unwrap_or_else(|_| none("starts like JSON, and is not"))
}

fn none(reason: &str) -> Look {
    Look::new(Confidence::None, reason)
}

/// Judges a text; the error is the byte at which it stops being JSON.
fn judge(text: &str) -> Result<Look, usize> {
    let limits = Limits::default();
    let source = Source::from_text("", text, &limits).map_err(|_| 0_usize)?;
    let json = Json::new(&source, &limits);
    let seen = sight(&json, None).map_err(|e| {
        let at = e.place().and_then(|p| p.byte).unwrap_or(0);
        usize::try_from(at).unwrap_or(0)
    })?;
    Ok(match seen {
        Sight::Document(word, ..) if word == SCHEMA_WORD => {
            Look::new(Confidence::Certain, format!("its schema is {SCHEMA_WORD}"))
        }
        Sight::Document(word, ..) if word.starts_with("spheresum.readings/") => Look::new(
            Confidence::Certain,
            format!(
                "its schema is {}, another version of {SCHEMA_WORD}",
                Clip(&word)
            ),
        ),
        Sight::Document(word, ..) => none(&format!("a result ({}), not readings", Clip(&word))),
        Sight::Table(found) => of_table(&json, &found.table),
        Sight::Several(all) => all
            .iter()
            .map(|found| of_table(&json, found))
            .max_by_key(|look| look.confidence)
            .unwrap_or_else(|| none("no table")),
        Sight::Values(members) => {
            let keys = members.iter().map(|(n, _)| n.text.to_string()).collect();
            let look = of_headings(keys);
            // One object of values is no table; several of them, one behind the other, are refused with what to do.
            let most = look.confidence.min(Confidence::Likely);
            Look::new(most, format!("an object of values: {}", look.reason))
        }
        Sight::NoObjects(_) => none("a list that holds no objects"),
    })
}

fn of_table(json: &Json<'_>, found: &Candidate<'_>) -> Look {
    let look = of_headings(found.headings(json));
    let shape = match found.body {
        Body::Rows(_) => "a list of objects",
        Body::Lists(_) => "an object of lists",
    };
    Look::new(look.confidence, format!("{shape}: {}", look.reason))
}

fn of_headings(keys: Vec<String>) -> Look {
    let headings = keys
        .iter()
        .map(|key| Heading::of(Field::constant(key)))
        .collect();
    text::judge(&Table::new(Entries::default(), headings, None))
}
