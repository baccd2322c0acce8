//! Registry: the adapters a program knows. A value that is built and passed, never global.

use crate::error::{Error, Group, Result};
use crate::intake::adapter::{Adapter, Confidence, Head, Intake, Look, ReadOptions};
use crate::intake::feed::Feed;
use crate::intake::source::Source;
use crate::limits::Limits;
use crate::place::Place;
use crate::spelling::nearest;
use crate::watch::{Span, Unwatched, Watch};
use std::sync::Arc;

/// How much of a read is done when the adapter is chosen.
const CHOSEN: f64 = 0.05;

/// Adapters by id.
#[derive(Clone, Default)]
pub struct Registry {
    adapters: Vec<Arc<dyn Adapter>>,
    absent: Vec<Absent>,
}

/// An adapter that is known and not there: a feature of the build brings it.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct Absent {
    /// Its id.
    pub id: String,
    /// One line on what it reads.
    pub name: String,
    /// The feature that brings it.
    pub feature: String,
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
        self.add_shared(Arc::new(adapter))
    }

    /// Adds an adapter that was made at run time.
    ///
    /// # Errors
    /// As [`Registry::add`].
    pub fn add_boxed(&mut self, adapter: Box<dyn Adapter>) -> Result<()> {
        self.add_shared(Arc::from(adapter))
    }

    /// Adds an adapter that others hold too.
    ///
    /// # Errors
    /// As [`Registry::add`].
    pub fn add_shared(&mut self, adapter: Arc<dyn Adapter>) -> Result<()> {
        let id = adapter.describe().id.clone();
        let kebab = !id.is_empty()
            && id
                .bytes()
                .all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'-');
        if !kebab {
            return Err(Error::usage(format!("adapter id {id:?} is not kebab case")));
        }
        if self.find(&id).is_some() {
            return Err(Error::usage(format!(
                "an adapter with the id {id} is there already"
            )));
        }
        self.absent.retain(|a| a.id != id);
        self.adapters.push(adapter);
        Ok(())
    }

    /// Remembers an adapter that is known and not compiled in, so that who asks for it hears which feature brings it. An id that
    /// is there, or is mentioned, stays as it is.
    pub fn mention(&mut self, id: &str, name: &str, feature: &str) {
        if self.find(id).is_none() && self.absent.iter().all(|a| a.id != id) {
            self.absent.push(Absent {
                id: id.to_string(),
                name: name.to_string(),
                feature: feature.to_string(),
            });
        }
    }

    /// The adapters in the order in which they were added.
    pub fn iter(&self) -> impl Iterator<Item = &dyn Adapter> {
        self.adapters.iter().map(AsRef::as_ref)
    }

    /// The adapters that are known and not there, in the order in which they were mentioned.
    #[must_use]
    pub fn absent(&self) -> &[Absent] {
        &self.absent
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

    /// Reads a source with the adapter that fits best, or with the one `forced` by id. Gives its id with what it read; a note
    /// says what was assumed where the text is not UTF-8.
    ///
    /// # Errors
    /// - Usage: no adapter has the forced id;
    /// - Unsupported: the forced adapter is not compiled in; no adapter recognises the source (says what was tried);
    /// - Ambiguous: two or more fit equally well;
    /// - what the adapter's read gives, with the source as its place where it has none.
    pub fn read(
        &self,
        source: &Source,
        forced: Option<&str>,
        limits: &Limits,
        options: &ReadOptions,
    ) -> Result<(String, Intake)> {
        self.read_watched(source, forced, limits, options, &Unwatched)
    }

    /// As [`Registry::read`], with progress told to a watch, which can stop it before and after the adapter reads.
    ///
    /// # Errors
    /// As [`Registry::read`]; Cancelled: the watch said stop.
    pub fn read_watched(
        &self,
        source: &Source,
        forced: Option<&str>,
        limits: &Limits,
        options: &ReadOptions,
        watch: &dyn Watch,
    ) -> Result<(String, Intake)> {
        let span = Span::whole(watch);
        span.at(0.0, "choosing the adapter")?;
        let (id, adapter) = self.choose(source, forced)?;
        span.at(CHOSEN, "reading")?;
        let read = handed_over(id, adapter.read(source, limits, options), source)?;
        span.at(1.0, "read")?;
        Ok(read)
    }

    /// As [`Registry::read`], of a file whose text need not be held whole. A feed that was read in pieces and is read again is held whole.
    ///
    /// Of a long file that is refused, what stands behind the refused line may not have been looked at: a byte that is no text, or
    /// damage of a compressed file.
    ///
    /// # Errors
    /// As [`Registry::read`] and [`Feed::open`].
    pub fn read_feed(
        &self,
        feed: &mut Feed<'_>,
        forced: Option<&str>,
        limits: &Limits,
        options: &ReadOptions,
    ) -> Result<(String, Intake)> {
        self.read_feed_watched(feed, forced, limits, options, &Unwatched)
    }

    /// As [`Registry::read_feed`], with progress told to a watch, which can stop it between pieces. The feed can be read again then.
    ///
    /// # Errors
    /// As [`Registry::read_feed`]; Cancelled: the watch said stop.
    pub fn read_feed_watched(
        &self,
        feed: &mut Feed<'_>,
        forced: Option<&str>,
        limits: &Limits,
        options: &ReadOptions,
        watch: &dyn Watch,
    ) -> Result<(String, Intake)> {
        let span = Span::whole(watch);
        span.at(0.0, "choosing the adapter")?;
        let (id, adapter) = self.choose(feed.source(), forced)?;
        let mut rest = span.part(CHOSEN, 1.0);
        if let Some((first, mut pieces)) = feed.split() {
            rest.at(0.0, "reading")?;
            pieces.watched_within(rest);
            let read = adapter.read_pieces(first, &mut pieces, limits, options);
            // An adapter may have taken it for something else.
            pieces.go_on()?;
            if let Some(read) = read.transpose() {
                let read = handed_over(id, read, first)?;
                span.at(1.0, "read")?;
                return Ok(read);
            }
            rest = rest.part(pieces.told(), 1.0);
        }
        feed.hold(rest.part(0.0, 0.5))?;
        rest.at(0.5, "reading")?;
        let source = feed.source();
        let read = handed_over(id, adapter.read(source, limits, options), source)?;
        span.at(1.0, "read")?;
        Ok(read)
    }

    /// The adapter that reads a source, and its id.
    fn choose(&self, source: &Source, forced: Option<&str>) -> Result<(String, &dyn Adapter)> {
        let id = match forced {
            Some(id) => id.to_string(),
            None => self.best(source)?,
        };
        let adapter = self.find(&id).ok_or_else(|| self.unknown(&id, source))?;
        Ok((id, adapter))
    }

    fn find(&self, id: &str) -> Option<&dyn Adapter> {
        self.iter().find(|a| a.describe().id == id)
    }

    /// The error of an id that no adapter has.
    fn unknown(&self, id: &str, source: &Source) -> Error {
        if let Some(absent) = self.absent.iter().find(|a| a.id == id) {
            return Error::unsupported(format!(
                "the adapter {id} ({}) is known but not compiled in",
                absent.name
            ))
            .hint(format!("build with the feature {}", absent.feature))
            .at(start_of(source));
        }
        let known: Vec<&str> = self.iter().map(|a| a.describe().id.as_str()).collect();
        let absent = self.absent.iter().map(|a| a.id.as_str());
        let meant = nearest(id, known.iter().copied().chain(absent))
            .map_or_else(String::new, |near| format!("did you mean {near}? "));
        let known = if known.is_empty() {
            "no adapter is compiled in".to_string()
        } else {
            format!("known adapters: {}", known.join(", "))
        };
        Error::usage(format!("no adapter has the id {id}")).hint(format!("{meant}{known}"))
    }

    fn best(&self, source: &Source) -> Result<String> {
        let found = self.identify(source);
        let sure = |c: &&Candidate| c.look.confidence > Confidence::None;
        let Some(first) = found.first().filter(sure) else {
            return Err(self.unrecognised(&found).at(start_of(source)));
        };
        let ties: Vec<String> = found
            .iter()
            .take_while(|c| c.look.confidence == first.look.confidence)
            .map(|c| format!("{} ({})", c.id, c.look.reason))
            .collect();
        if ties.len() > 1 {
            return Err(Error::ambiguous(format!(
                "the adapters {} fit equally well",
                ties.join(" and ")
            ))
            .hint("choose one by its id (--adapter ID)")
            .at(start_of(source)));
        }
        Ok(first.id.clone())
    }

    fn unrecognised(&self, found: &[Candidate]) -> Error {
        let tried: Vec<String> = found
            .iter()
            .map(|c| format!("{}: {}", c.id, c.look.reason))
            .collect();
        let mut hint = if tried.is_empty() {
            "no adapter is compiled in".to_string()
        } else {
            format!(
                "tried {}; force one with --adapter ID, or describe the format by a layout (spheresum look --propose-layout FILE \
                 writes one to start from)",
                tried.join("; ")
            )
        };
        if !self.absent.is_empty() {
            let absent: Vec<&str> = self.absent.iter().map(|a| a.id.as_str()).collect();
            hint = format!("{hint}; not compiled in: {}", absent.join(", "));
        }
        Error::unsupported("no adapter recognises this file").hint(hint)
    }
}

/// What an adapter gave of a source, if it keeps to the contract.
fn handed_over(id: String, read: Result<Intake>, source: &Source) -> Result<(String, Intake)> {
    let mut intake = read.map_err(|e| placed(e, source))?;
    if intake.readings.is_some() == intake.curve.is_some() {
        let got = intake.readings.map_or(
            "neither readings nor a curve",
            |_| "readings and a curve at once",
        );
        return Err(
            Error::unsupported(format!("the adapter {id} handed over {got}"))
                .hint("this is a fault of the adapter: tell its author")
                .at(start_of(source)),
        );
    }
    if let Some(note) = source.encoding_finding() {
        intake.findings.insert(0, note);
    }
    Ok((id, intake))
}

/// The first line with something in it.
fn start_of(source: &Source) -> Place {
    let first = source.lines().find(|l| !l.text.trim().is_empty());
    first.map_or_else(
        || Place::in_source(source.name()),
        |l| source.place(l, 0, l.text.len()),
    )
}

/// An error about a file names the file at least.
fn placed(error: Error, source: &Source) -> Error {
    let about_the_file = matches!(
        error.group(),
        Group::Input | Group::Ambiguous | Group::Unsupported | Group::Limit
    );
    match error.place() {
        None if about_the_file => error.at(Place::in_source(source.name())),
        Some(place) if place.source.is_none() => {
            let mut place = place.clone();
            place.source = Some(source.name().to_string());
            error.at(place)
        }
        _ => error,
    }
}

#[cfg(test)]
mod tests;
