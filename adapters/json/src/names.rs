//! The keys of our document: canonical column names, and no others.

use crate::json::{Json, Name};
use crate::nearest::nearest;
use spheresum_core::intake::text::{Clip, clip};
use spheresum_core::{Error, Result};

/// Quantities of a document.
pub(crate) const QUANTITIES: [&str; 6] = ["eirp", "eis", "gain", "received", "level", "field"];
/// Keys of a frequency.
pub(crate) const FREQUENCY: [&str; 4] = [
    "frequency_mhz",
    "frequency_hz",
    "frequency_khz",
    "frequency_ghz",
];
/// Key of the time of a reading.
pub(crate) const TIME: &str = "time_s";
/// Keys of θ.
pub(crate) const THETA: [&str; 2] = ["theta_deg", "theta_rad"];
/// Keys of φ.
pub(crate) const PHI: [&str; 2] = ["phi_deg", "phi_rad"];

/// The keys of values of a quantity, by polarisation.
pub(crate) fn values(quantity: &str) -> Vec<String> {
    let (polarisations, tails): (&[&str], &[&str]) = match quantity {
        "field" => (
            &["theta", "phi"],
            &["re_sqrtw", "im_sqrtw", "re_v", "im_v", "re", "im"],
        ),
        "gain" => (&["theta", "phi", "total"], &["dbi", "db", "1"]),
        _ => (&["theta", "phi", "total"], &["dbm", "dbw", "w", "mw", "uw"]),
    };
    polarisations
        .iter()
        .flat_map(|p| tails.iter().map(move |t| format!("{quantity}_{p}_{t}")))
        .collect()
}

/// Keys that may stand in one object.
#[derive(Clone, Debug)]
pub(crate) struct Known<'q> {
    /// What the object is, for a message.
    what: &'static str,
    quantity: &'q str,
    all: Vec<String>,
}

impl<'q> Known<'q> {
    /// Keys of a document.
    pub(crate) fn document() -> Self {
        let all = ["schema", "quantity", "metadata", "time", "blocks"];
        Self::new(
            "a readings document",
            "",
            all.map(ToString::to_string).to_vec(),
        )
    }

    /// Keys of a block that lists directions.
    pub(crate) fn list_block() -> Self {
        let all = FREQUENCY.iter().chain(&["readings"]);
        Self::new(
            "a block with readings",
            "",
            all.map(ToString::to_string).collect(),
        )
    }

    /// Keys of a grid.
    pub(crate) fn grid(quantity: &'q str) -> Self {
        Self::new("a grid", quantity, of_values(quantity))
    }

    /// Keys of a reading.
    pub(crate) fn reading(quantity: &'q str) -> Self {
        let mut all = of_values(quantity);
        all.push(TIME.to_string());
        Self::new("a reading", quantity, all)
    }

    fn new(what: &'static str, quantity: &'q str, all: Vec<String>) -> Self {
        Self {
            what,
            quantity,
            all,
        }
    }

    /// Rank of a key: frequency, θ, φ, values, time.
    pub(crate) fn rank(&self, key: &str) -> usize {
        let found = self.all.iter().position(|k| k == key);
        found.unwrap_or(self.all.len())
    }

    /// Refuses a key that is not known.
    ///
    /// # Errors
    /// Input, with the nearest known key.
    pub(crate) fn check(&self, json: &Json<'_>, name: &Name<'_>) -> Result<()> {
        let key = name.text.as_ref();
        if self.all.iter().any(|k| k == key) {
            return Ok(());
        }
        let place = json.place_of(name);
        let of_other = QUANTITIES
            .iter()
            .find(|q| values(q).iter().any(|k| k == key));
        if let Some(other) = of_other.filter(|q| !self.quantity.is_empty() && **q != self.quantity)
        {
            return Err(Error::input(format!(
                "{key} is a value of {other}, and the document's quantity is {}",
                self.quantity
            ))
            .hint("one document holds one quantity: correct the key or the quantity, or write two documents")
            .at(place));
        }
        let all = clip::list(&self.all, 24, ", ");
        let hint = match nearest(key, self.all.iter().map(String::as_str)) {
            Some(near) => format!("is it {near}? The keys of {} are {all}", self.what),
            None => format!(
                "the keys of {} are {all}; remarks of any name stand in metadata",
                self.what
            ),
        };
        Err(
            Error::input(format!("{} has no key {:?}", self.what, Clip(key)))
                .hint(hint)
                .at(place),
        )
    }
}

fn of_values(quantity: &str) -> Vec<String> {
    let directions = FREQUENCY.iter().chain(&THETA).chain(&PHI);
    directions
        .map(ToString::to_string)
        .chain(values(quantity))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use spheresum_core::intake::text::{Meaning, UnitText, classify};

    #[test]
    fn names_are_those_of_core() {
        for quantity in QUANTITIES {
            let all = values(quantity);
            assert!(all.len() >= 9);
            for key in all {
                let (meaning, unit) = classify(&key);
                let Meaning::Value(name) = meaning else {
                    unreachable!("{key} is no value");
                };
                assert_eq!(name.what.word(), quantity, "{key}");
                assert!(name.polarisation.is_some(), "{key}");
                assert_eq!(name.part.is_some(), quantity == "field", "{key}");
                let bare = key.ends_with("_re") || key.ends_with("_im");
                assert_eq!(unit == UnitText::None, bare, "{key}");
            }
        }
        for (keys, meaning) in [
            (FREQUENCY.as_slice(), Meaning::Frequency),
            (&THETA, Meaning::Theta),
            (&PHI, Meaning::Phi),
        ] {
            for key in keys {
                let (found, unit) = classify(key);
                assert_eq!(found, meaning, "{key}");
                assert!(unit.known().is_some(), "{key}");
            }
        }
    }
}
