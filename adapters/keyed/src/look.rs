//! The look: how sure the head of a text makes us.

use crate::line::{Kind, kind};
use crate::value::{Parts, joint, parts};
use spheresum_core::Limits;
use spheresum_core::intake::text::{Guess, Meaning, What, field, number};
use spheresum_core::intake::{Confidence, Head, Look, Source};

/// What the keys of a text name.
#[derive(Clone, Copy, Debug, Default)]
struct Named {
    theta: bool,
    phi: bool,
    value: bool,
    guess: bool,
}

/// Looks at the head of a text.
pub(crate) fn look(head: &Head<'_>) -> Look {
    let none = |reason: &str| Look::new(Confidence::None, reason);
    let Ok(source) = Source::from_text(head.name, head.text, &Limits::default()) else {
        return none("no text");
    };
    // The last line may be cut.
    let is_cut = head.text.len() + 4 > Head::MAX_BYTES;
    let mut named = Named::default();
    let mut lines = source.lines().peekable();
    while let Some(line) = lines.next() {
        if is_cut && lines.peek().is_none() {
            break;
        }
        match kind(line) {
            Kind::Pair(_) if named.is_complete() => {}
            Kind::Pair(pair) => named.take(pair.key_text(), pair.value_text()),
            Kind::Other => return none("a line that is no `key = value`"),
            Kind::Blank | Kind::Comment(_) | Kind::Mark(_) => {}
        }
    }
    let angles = named.theta && named.phi;
    match (angles, named.value) {
        (true, true) => Look::new(Confidence::Certain, "keys name theta, phi and a value"),
        (false, true) if named.guess => Look::new(
            Confidence::Likely,
            "keys name a value, and what may be its direction",
        ),
        (true, false) => Look::new(Confidence::Maybe, "keys name theta and phi, and no value"),
        _ => none("no keys of a direction and a value"),
    }
}

impl Named {
    /// True where no key can add anything.
    const fn is_complete(&self) -> bool {
        self.theta && self.phi && self.value
    }

    fn take(&mut self, key: &str, value: &str) {
        let found = parts(value);
        if !is_value(&found) {
            return;
        }
        match joint(key, found.unit).0 {
            Meaning::Theta => self.theta = true,
            Meaning::Phi => self.phi = true,
            Meaning::Value(name) => self.value |= name.what != What::Loss,
            Meaning::Guess(Guess::Elevation | Guess::Azimuth) => self.guess = true,
            _ => {}
        }
    }
}

/// True for a text that may be a value of a record.
fn is_value(found: &Parts<'_>) -> bool {
    let (_, body) = field::mark(found.number);
    number::whole(body, b'.')
        .or_else(|| number::whole(body, b','))
        .is_some()
        || field::is_missing(body)
        || field::infinity(body).is_some()
}
