//! The lines of a case that stand before its rows.

use crate::error::Result;
use crate::table::line::Piece;

/// Every word that may begin such a line.
const KNOWN: [&str; 34] = [
    "pattern",
    "theta-step",
    "phi-step",
    "seam",
    "given-trp",
    "given-peak",
    "given-tis",
    "given-eis-each",
    "points",
    "spacing",
    "phase-step",
    "axis",
    "kappa",
    "axis-theta",
    "axis-phi",
    "sphere",
    "files",
    "frequency",
    "options",
    "weights",
    "intervals",
    "levels",
    "difference",
    "path-loss-exponent",
    "rule",
    "edges",
    "fill",
    "max-missing",
    "eis-max-dbm",
    "conducted-power-dbm",
    "accepted-power-dbm",
    "floor",
    "detector",
    "signal",
];

/// True for a word that may begin a line before the rows.
pub(super) fn is_known(word: &str) -> bool {
    KNOWN.contains(&word)
}

/// Lines by their words.
#[derive(Default)]
pub(super) struct Fields<'a> {
    all: Vec<(Piece<'a>, Piece<'a>)>,
}

impl<'a> Fields<'a> {
    /// Adds a line.
    pub fn add(&mut self, key: Piece<'a>, value: Piece<'a>) -> Result<()> {
        if !is_known(key.text) {
            return Err(key.error(format!("the word {:?} is unknown", key.text)).hint(format!(
                "words: {}; rows begin with gives, never, is, fails, and may be followed by also, because",
                KNOWN.join(", ")
            )));
        }
        if self.all.iter().any(|f| f.0.text == key.text) {
            return Err(key.error(format!("{:?} is given twice", key.text)));
        }
        self.all.push((key, value));
        Ok(())
    }

    /// Takes a line out.
    pub fn take(&mut self, key: &str) -> Option<Piece<'a>> {
        let at = self.all.iter().position(|f| f.0.text == key)?;
        Some(self.all.remove(at).1)
    }

    /// Takes a line out that must be there; `name` is the place for the error.
    pub fn need(&mut self, key: &str, name: Piece<'a>) -> Result<Piece<'a>> {
        self.take(key)
            .ok_or_else(|| name.error(format!("the case {} has no `{key}:` line", name.text)))
    }

    /// Every line must have been taken.
    pub fn all_used(&self) -> Result<()> {
        match self.all.first() {
            Some((key, _)) => Err(key.error(format!(
                "{:?} does not go with the input of this case",
                key.text
            ))),
            None => Ok(()),
        }
    }
}
