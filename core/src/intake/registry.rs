//! Registry: the adapters a program knows. A value that is built and passed, never global.

use crate::error::{Error, Result};
use crate::intake::adapter::{Adapter, Confidence, Head, Intake, Look, ReadOptions};
use crate::intake::source::Source;
use crate::limits::Limits;
use crate::place::Place;
use std::sync::Arc;

/// Adapters by id.
#[derive(Clone, Default)]
pub struct Registry {
    adapters: Vec<Arc<dyn Adapter>>,
}

/// An adapter's id with what it said of a file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Candidate {
    /// Id of the adapter.
    pub id: String,
    /// How sure it is, and why.
    pub look: Look,
}

impl Registry {
    /// No adapters yet.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    /// Adds an adapter.
    ///
    /// # Errors
    /// Usage: its id is taken, or is not kebab case.
    pub fn add(&mut self, adapter: impl Adapter + 'static) -> Result<()> {
        let id = adapter.describe().id.clone();
        let kebab = !id.is_empty()
            && id
                .bytes()
                .all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'-');
        if !kebab {
            return Err(Error::usage(format!("adapter id {id:?} is not kebab case")));
        }
        if self.adapters.iter().any(|a| a.describe().id == id) {
            return Err(Error::usage(format!(
                "an adapter with the id {id} is there already"
            )));
        }
        self.adapters.push(Arc::new(adapter));
        Ok(())
    }

    /// The adapters in the order in which they were added.
    pub fn iter(&self) -> impl Iterator<Item = &dyn Adapter> {
        self.adapters.iter().map(AsRef::as_ref)
    }

    /// What every adapter says of a source, surest first, equals by id.
    #[must_use]
    pub fn identify(&self, source: &Source) -> Vec<Candidate> {
        let head = Head::of(source);
        let mut found: Vec<Candidate> = self
            .iter()
            .map(|a| Candidate {
                id: a.describe().id.clone(),
                look: a.look(&head),
            })
            .collect();
        found.sort_by(|a, b| {
            b.look
                .confidence
                .cmp(&a.look.confidence)
                .then_with(|| a.id.cmp(&b.id))
        });
        found
    }

    /// Reads a source with the adapter that fits best, or with the one `forced` by id. Gives its id with what it read.
    ///
    /// # Errors
    /// - Usage: no adapter has the forced id;
    /// - Unsupported: no adapter recognises the source (says what was tried);
    /// - Ambiguous: two fit equally well;
    /// - what the adapter's read gives.
    pub fn read(
        &self,
        source: &Source,
        forced: Option<&str>,
        limits: &Limits,
        options: &ReadOptions,
    ) -> Result<(String, Intake)> {
        let id = match forced {
            Some(id) => id.to_string(),
            None => self.best(source)?,
        };
        let Some(adapter) = self.iter().find(|a| a.describe().id == id) else {
            let known: Vec<&str> = self.iter().map(|a| a.describe().id.as_str()).collect();
            return Err(Error::usage(format!("no adapter has the id {id}"))
                .hint(format!("known adapters: {}", known.join(", "))));
        };
        Ok((id, adapter.read(source, limits, options)?))
    }

    fn best(&self, source: &Source) -> Result<String> {
        let found = self.identify(source);
        let first = source.lines().find(|l| !l.text.trim().is_empty());
        let place = || {
            first.map_or_else(
                || Place::in_source(source.name()),
                |l| source.place(l, 0, l.text.len()),
            )
        };
        match found.as_slice() {
            [first, second, ..]
                if first.look.confidence > Confidence::None
                    && first.look.confidence == second.look.confidence =>
            {
                Err(Error::ambiguous(format!(
                    "the adapters {} ({}) and {} ({}) fit equally well",
                    first.id, first.look.reason, second.id, second.look.reason
                ))
                .hint("choose one by its id (--adapter ID)")
                .at(place()))
            }
            [first, ..] if first.look.confidence > Confidence::None => Ok(first.id.clone()),
            _ => {
                let tried: Vec<String> = found
                    .iter()
                    .map(|c| format!("{}: {}", c.id, c.look.reason))
                    .collect();
                Err(Error::unsupported("no adapter recognises this file")
                    .hint(format!(
                        "tried {}; force one with --adapter ID",
                        tried.join("; ")
                    ))
                    .at(place()))
            }
        }
    }
}
