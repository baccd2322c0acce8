//! A block that lists readings, one direction an object.

use crate::free;
use crate::json::Json;
use crate::keys::Keys;
use crate::kind::Kind;
use crate::model::{self, Block};
use crate::names::{FREQUENCY, Known};
use crate::rows;
use crate::shape::Member;
use crate::value::Strict;
use spheresum_core::intake::Intake;
use spheresum_core::intake::text::{Field, Heading};
use spheresum_core::{Error, Result};

/// Reads a block with readings.
///
/// # Errors
/// Input, Limit, Ambiguous: with the place of the key or value.
pub(crate) fn read<'a>(
    json: &Json<'a>,
    block: &Block<'_, 'a>,
    parts: &[Member<'a>],
) -> Result<Intake> {
    let known = Known::list_block();
    let of_reading = Known::reading(&block.document.quantity);
    let mut list = None;
    let mut frequency: Option<&Member<'a>> = None;
    for part in parts {
        let (name, value) = part;
        known.check(json, name)?;
        if name.text == "readings" {
            list = Some(*value);
        } else if let Some((first, _)) = frequency.replace(part) {
            return Err(json.says_twice("the frequency", first, name));
        }
    }
    let Some(list) = list else {
        return Err(Error::input("the block has no readings").at(json.place(block.piece)));
    };
    let mut lead = Vec::new();
    let mut headings = Vec::new();
    if let Some((name, piece)) = frequency {
        json.expect(
            piece,
            Kind::Number,
            "a number, the frequency of all readings of the block",
        )?;
        lead.push(Field::at(piece, json.spot(piece)));
        headings.push(Heading::of(Field::at(&name.text, json.spot(name.piece))));
    }
    let mut keys = Keys::of(json, list, |name| {
        of_reading.check(json, name)?;
        match frequency {
            Some((first, _)) if FREQUENCY.contains(&name.text.as_ref()) => {
                Err(json.says_twice("the frequency", first, name))
            }
            _ => Ok(()),
        }
    })?;
    if keys.rows == 0 {
        return Err(Error::input("the list has no readings")
            .hint("leave a block without readings out; or the file may be cut off: export it again")
            .at(json.place(list).with_field("readings")));
    }
    keys.sort_by_key(|name| of_reading.rank(&name.text));
    let names = keys.names.clone();
    headings.extend(free::headings(json, &names));
    let table = model::table(block, headings, json.spot(list));
    let plan = model::plan(json, block, &table)?;
    let context = model::context(json, &table, &plan);
    rows::read(
        json,
        list,
        &mut keys,
        &lead,
        &context,
        Strict::Yes,
        Vec::new(),
    )
}
