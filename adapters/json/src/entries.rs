//! Values beside a table, as the entries that text adapters share.

use crate::json::Json;
use crate::kind::Kind;
use crate::value;
use spheresum_core::Result;
use spheresum_core::intake::source::Line;
use spheresum_core::intake::text::{Entries, Entry, Meaning, Spot, classify};
use std::borrow::Cow;

/// A key and a value with where it stands.
#[derive(Clone, Debug)]
pub(crate) struct Remark<'a> {
    key: Cow<'a, str>,
    value: Cow<'a, str>,
    spot: Spot<'a>,
}

/// Remarks in the order of the file.
#[derive(Clone, Debug, Default)]
pub(crate) struct Remarks<'a>(Vec<Remark<'a>>);

impl<'a> Remarks<'a> {
    /// The remarks of keys and values that have no parts. A frequency gets the decimal sign of the file's
    /// texts.
    ///
    /// # Errors
    /// Input: a value with parts. Limit: one that is too long.
    pub(crate) fn of(
        json: &Json<'a>,
        decimal: u8,
        values: impl Iterator<Item = (Cow<'a, str>, &'a str)>,
    ) -> Result<Self> {
        let mut locator = json.locator();
        let mut all = Vec::new();
        for (key, piece) in values {
            // Blanks at the ends of a text belong to it.
            let value = match Kind::of(piece) {
                Kind::Text => json.unquote(piece)?,
                _ if classify(&key).0 == Meaning::Frequency => {
                    value::with_sign(piece, json.scalar(piece)?, decimal)
                }
                _ => json.scalar(piece)?,
            };
            let spot = locator.spot(piece);
            all.push(Remark { key, value, spot });
        }
        Ok(Self(all))
    }

    /// As entries; what they mean is not looked at yet.
    pub(crate) fn entries(&self) -> Entries<'_> {
        let mut entries = Entries::default();
        entries.all.extend(self.0.iter().map(|remark| Entry {
            key: &remark.key,
            value: &remark.value,
            line: line_up_to(&remark.value, remark.spot),
        }));
        entries
    }
}

/// The line of a value up to the value's end: an entry finds its value at the last place where it stands in the line. Where it is
/// written in another way than it reads, the line ends where it starts.
fn line_up_to<'a>(value: &str, spot: Spot<'a>) -> Line<'a> {
    let up_to = |end: usize| Line {
        text: spot.line.text.get(..end).unwrap_or_default(),
        ..spot.line
    };
    let whole = up_to(spot.end);
    if whole.text.ends_with(value) {
        whole
    } else {
        up_to(spot.start)
    }
}
