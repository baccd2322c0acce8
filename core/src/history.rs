//! What was done, step by step, with the options of each step.

use std::collections::BTreeMap;

/// One step of the line from bytes to figures.
#[derive(Clone, Debug, Default, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[non_exhaustive]
pub struct Step {
    /// The step's word: `read`, `assemble`, `range`, `fill`, `reduce` …
    pub step: String,
    /// The options it ran with, by option name, as a person would write them. Given back, they reproduce the step.
    pub options: BTreeMap<String, String>,
    /// What it did, one short sentence each.
    pub did: Vec<String>,
}

impl Step {
    /// A step without options so far.
    #[must_use]
    pub fn new(step: &str) -> Self {
        Self {
            step: step.to_string(),
            ..Self::default()
        }
    }

    /// With an option; `None` leaves it out.
    #[must_use]
    pub fn option(mut self, name: &str, value: Option<impl ToString>) -> Self {
        if let Some(value) = value {
            self.options.insert(name.to_string(), value.to_string());
        }
        self
    }

    /// Appends a sentence on what was done.
    pub fn note(&mut self, sentence: impl Into<String>) {
        self.did.push(sentence.into());
    }
}

/// The steps in order.
pub type History = Vec<Step>;
