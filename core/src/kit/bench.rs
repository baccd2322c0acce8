//! The bench: looks and reads for the checks, with panics caught and faults noted.

use super::report::{Failure, Failures, Report, Tally};
use super::sample::Sample;
use super::{Kit, error, intake};
use crate::error::Error;
use crate::intake::{Adapter, Confidence, Feed, Head, Intake, Look, ReadOptions, Source};
use crate::limits::Limits;
use std::panic::{AssertUnwindSafe, catch_unwind};

/// A promise that was not kept. The advice names the promise: the same advice is the same promise.
pub(super) struct Fault {
    pub(super) seen: String,
    pub(super) advice: &'static str,
}

impl Fault {
    pub(super) fn new(seen: impl Into<String>, advice: &'static str) -> Self {
        Self {
            seen: seen.into(),
            advice,
        }
    }
}

/// One thing to read: a sample, or what was made of it.
#[derive(Clone)]
pub(super) struct Case<'s> {
    pub(super) name: &'s str,
    pub(super) done: String,
    pub(super) bytes: Vec<u8>,
    pub(super) options: ReadOptions,
    pub(super) limits: Limits,
}

impl<'s> Case<'s> {
    /// The sample as it is.
    pub(super) fn of(sample: &'s Sample) -> Self {
        Self {
            name: &sample.name,
            done: "as it is".to_string(),
            bytes: sample.bytes.clone(),
            options: sample.options.clone(),
            limits: Limits::default(),
        }
    }

    /// With other bytes, and how they were made.
    pub(super) fn with(sample: &'s Sample, done: impl Into<String>, bytes: Vec<u8>) -> Self {
        Self {
            name: &sample.name,
            done: done.into(),
            bytes,
            options: sample.options.clone(),
            limits: Limits::default(),
        }
    }

    fn source(&self) -> Result<Source, Error> {
        Source::from_bytes(self.name, self.bytes.clone(), &self.limits)
    }
}

/// What came of a read.
pub(super) enum Outcome {
    /// Readings or a curve.
    Read(Box<Intake>),
    /// An error of the adapter.
    Refused(Error),
    /// An error of the source, before the adapter had it.
    Undecoded(Error),
    /// A panic, with its message.
    Panicked(String),
}

impl Outcome {
    fn of(read: Result<Result<Intake, Error>, String>) -> Self {
        match read {
            Ok(Ok(intake)) => Self::Read(Box::new(intake)),
            Ok(Err(error)) => Self::Refused(error),
            Err(message) => Self::Panicked(message),
        }
    }

    /// In a few words.
    pub(super) fn words(&self) -> String {
        match self {
            Self::Read(intake) => format!(
                "it was read: {}",
                match (&intake.readings, &intake.curve) {
                    (Some(readings), _) => format!("{} readings", readings.len()),
                    (None, Some(_)) => "a curve".to_string(),
                    (None, None) => "nothing".to_string(),
                }
            ),
            Self::Refused(e) | Self::Undecoded(e) => format!("{}: {e}", e.group().as_str()),
            Self::Panicked(message) => format!("a panic: {message}"),
        }
    }

    /// As debug text, which tells apart what `==` holds equal (0 and −0).
    pub(super) fn debug(&self) -> String {
        match self {
            Self::Read(intake) => format!("{intake:?}"),
            Self::Refused(error) | Self::Undecoded(error) => format!("{error:?}"),
            Self::Panicked(message) => message.clone(),
        }
    }
}

const NO_PANIC: &str = "no input may end in a panic: use `get` in place of indices, checked arithmetic, and return an error";
const REASON: &str = "say in one short line why a look is as sure as it is";

/// The kit at work.
pub(super) struct Bench<'k> {
    pub(super) kit: &'k Kit<'k>,
    tallies: Vec<Tally>,
    failures: Vec<Failure>,
}

impl<'k> Bench<'k> {
    pub(super) fn new(kit: &'k Kit<'k>) -> Self {
        Self {
            kit,
            tallies: Vec::new(),
            failures: Vec::new(),
        }
    }

    /// Begins a check.
    pub(super) fn begin(&mut self, check: &'static str) {
        self.tallies.push(Tally { check, trials: 0 });
    }

    pub(super) fn end(self) -> Result<Report, Failures> {
        let report = Report {
            adapter: self.kit.adapter.describe().id.clone(),
            seed: self.kit.seed,
            checks: self.tallies,
        };
        if self.failures.is_empty() {
            return Ok(report);
        }
        Err(Failures {
            report,
            list: self.failures,
        })
    }

    pub(super) fn good(&self) -> impl Iterator<Item = &'k Sample> + use<'k> {
        self.kit.samples.iter().filter(|s| s.is_good())
    }

    /// Counts a trial.
    pub(super) fn count(&mut self) {
        if let Some(tally) = self.tallies.last_mut() {
            tally.trials += 1;
        }
    }

    /// Notes a fault of a case.
    pub(super) fn fail(&mut self, case: &Case<'_>, fault: Fault) {
        self.note(case.name, &case.done, &case.bytes, fault);
    }

    /// Notes a fault that is about no sample.
    pub(super) fn fail_plain(&mut self, fault: Fault) {
        self.note("", "", &[], fault);
    }

    fn note(&mut self, sample: &str, done: &str, input: &[u8], fault: Fault) {
        let check = self.tallies.last().map_or("", |t| t.check);
        let same = |f: &&mut Failure| {
            f.check == check && f.sample == sample && f.advice == fault.advice && !sample.is_empty()
        };
        match self.failures.iter_mut().find(same) {
            Some(first) => first.more += 1,
            None => self.failures.push(Failure {
                check,
                sample: sample.to_string(),
                done: done.to_string(),
                seen: fault.seen,
                advice: fault.advice,
                input: input.to_vec(),
                more: 0,
            }),
        }
    }

    /// Reads a case, and judges nothing.
    pub(super) fn read(&mut self, case: &Case<'_>) -> Outcome {
        self.count();
        match case.source() {
            Ok(source) => self.read_source(&source, case),
            Err(error) => Outcome::Undecoded(error),
        }
    }

    fn read_source(&self, source: &Source, case: &Case<'_>) -> Outcome {
        let adapter = self.kit.adapter;
        Outcome::of(caught(|| adapter.read(source, &case.limits, &case.options)))
    }

    /// Reads a case of which about so many bytes are held at a time; `None` where it is held whole.
    pub(super) fn read_in_pieces(&mut self, case: &Case<'_>, size: usize) -> Option<Outcome> {
        let (adapter, open) = (self.kit.adapter, || Ok(case.bytes.as_slice()));
        let mut feed = Feed::open_by(case.name, None, open, &case.limits, size).ok()?;
        let (first, mut pieces) = feed.split()?;
        self.count();
        let read = caught(|| adapter.read_pieces(first, &mut pieces, &case.limits, &case.options));
        Some(Outcome::of(read.map(Result::transpose).transpose()?))
    }

    /// Reads a case and notes a panic, an error that lacks something, a result that cannot be.
    pub(super) fn sound(&mut self, case: &Case<'_>) -> Outcome {
        self.count();
        let source = match case.source() {
            Ok(source) => source,
            Err(error) => return Outcome::Undecoded(error),
        };
        let outcome = self.read_source(&source, case);
        let faults = match &outcome {
            Outcome::Read(read) => {
                let description = self.kit.adapter.describe();
                intake::faults(read, &source, &case.bytes, &case.limits, description)
            }
            Outcome::Refused(refused) => error::faults(refused, &source, &case.bytes),
            Outcome::Panicked(message) => vec![Fault::new(format!("a panic: {message}"), NO_PANIC)],
            Outcome::Undecoded(_) => Vec::new(),
        };
        for fault in faults {
            self.fail(case, fault);
        }
        outcome
    }

    /// What a good sample gives as it is; `None` where it is not read, which `good-files` says.
    pub(super) fn baseline(&mut self, sample: &Sample) -> Option<Intake> {
        match self.read(&Case::of(sample)) {
            Outcome::Read(intake) => Some(*intake),
            _ => None,
        }
    }

    /// The adapter's look at a case; notes a panic and a look without a reason.
    pub(super) fn look(&mut self, case: &Case<'_>) -> Option<Look> {
        self.count();
        let source = case.source().ok()?;
        match caught(|| self.kit.adapter.look(&Head::of(&source))) {
            Ok(look) => {
                if look.reason.trim().is_empty() || look.reason.chars().count() > error::MAX_CHARS {
                    self.fail(
                        case,
                        Fault::new(format!("the reason {:?}", look.reason), REASON),
                    );
                }
                Some(look)
            }
            Err(message) => {
                self.fail(
                    case,
                    Fault::new(format!("a panic of look: {message}"), NO_PANIC),
                );
                None
            }
        }
    }

    /// The adapter beside this one that is surest of a case, and how sure.
    pub(super) fn rival(&self, case: &Case<'_>) -> Option<(String, Confidence)> {
        let source = case.source().ok()?;
        let own = &self.kit.adapter.describe().id;
        let looks = self.kit.beside.iter().filter_map(|a| {
            let id = a.describe().id.clone();
            let look = caught(|| a.look(&Head::of(&source))).ok()?;
            (id != *own).then_some((id, look.confidence))
        });
        looks.max_by_key(|(_, confidence)| *confidence)
    }
}

/// Runs a call of an adapter and turns a panic into its message.
fn caught<T>(call: impl FnOnce() -> T) -> Result<T, String> {
    catch_unwind(AssertUnwindSafe(call)).map_err(|payload| {
        let text = payload.downcast_ref::<&str>().map(ToString::to_string);
        text.or_else(|| payload.downcast_ref::<String>().cloned())
            .unwrap_or_else(|| "without a message".to_string())
    })
}

/// The adapter of a kit, for checks that only describe.
impl<'k> Bench<'k> {
    pub(super) fn adapter(&self) -> &'k dyn Adapter {
        self.kit.adapter
    }
}
