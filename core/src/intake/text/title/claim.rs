//! A number of rows or points that a title claims.

use crate::intake::source::Source;
use crate::intake::text::clip::Clip;
use crate::intake::text::table::Field;
use crate::{Error, Result};

/// Holds a claimed count against what was counted; any of `counted` will do.
///
/// # Errors
/// Input: another count, or no count at all.
pub fn claim(key: &str, claimed: Field<'_>, counted: &[u64], source: &Source) -> Result<()> {
    let text = claimed.text;
    if !text.is_empty()
        && let Ok(count) = text.parse::<u64>()
        && counted.contains(&count)
    {
        return Ok(());
    }
    let is_count = !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
    let error = if is_count {
        let counted: Vec<String> = counted.iter().map(ToString::to_string).collect();
        Error::input(format!(
            "{} {} are claimed, and there are {}",
            Clip(text),
            Clip(key),
            counted.join(" or ")
        ))
        .hint("the file may be cut off, or lines were added or taken away")
    } else {
        Error::input(format!("{:?} is no count", Clip(text)))
            .hint(format!("write a whole number behind {}", Clip(key)))
    };
    Err(error.at(claimed.place(source).with_field(key)))
}
