//! Reading a file with the adapter that fits, and remembering how.

use crate::args::{FileArg, ReadingArgs};
use crate::failure::Failure;
use crate::intake::bytes::{self, Hash};
use crate::intake::{Layouts, RunPlan};
use spheresum_adapters::layout::propose;
use spheresum_core::document::Input;
use spheresum_core::history::Step;
use spheresum_core::intake::{Candidate, Confidence, Feed, Intake, ReadOptions, Registry, Source};
use spheresum_core::reduce::{Prepared, ReduceOptions, prepare};
use spheresum_core::{Error, Finding, Frequency, Limits, Place, Readings, Result};
use std::collections::BTreeMap;
use std::num::NonZero;

/// A file that was read.
pub struct Loaded {
    /// What it is, for the result.
    pub input: Input,
    /// What every adapter said of it.
    pub candidates: Vec<Candidate>,
    /// What it holds.
    pub intake: Intake,
    /// The step of the history.
    pub step: Step,
}

/// A file that was opened.
pub struct Opened {
    name: String,
    hash: Hash,
    feed: Feed<'static>,
}

impl Opened {
    /// Its text, or the first lines of it.
    pub fn source(&self) -> &Source {
        self.feed.source()
    }
}

/// Reads files under the same options.
pub struct Reader {
    registry: Registry,
    layouts: Layouts,
    limits: Limits,
    adapter: Option<String>,
    frequency: Option<(String, Frequency)>,
    named: BTreeMap<String, String>,
}

impl Reader {
    /// A reader with all adapters and layouts, by the options given.
    ///
    /// # Errors
    /// Those of the layouts.
    pub fn new(args: &ReadingArgs) -> Result<Self> {
        let mut registry = spheresum_adapters::registry();
        let layouts = Layouts::add(&args.layouts, &mut registry)?;
        Ok(Self {
            registry,
            layouts,
            limits: Limits::default(),
            adapter: args.adapter.clone(),
            frequency: args
                .frequency_mhz
                .as_ref()
                .map(|f| (f.text.clone(), f.frequency)),
            named: args.named()?,
        })
    }

    /// The limits that hold.
    #[must_use]
    pub fn limits(&self) -> &Limits {
        &self.limits
    }

    /// The options that an adapter takes by name.
    pub(super) fn named(&self) -> &BTreeMap<String, String> {
        &self.named
    }

    /// The adapter that every file of readings is read with, if one was chosen.
    pub(super) fn forced(&self) -> Option<&str> {
        self.adapter.as_deref().or(self.layouts.forced())
    }

    /// The options that hold for every file.
    pub(super) fn plain_options(&self) -> ReadOptions {
        let mut options = ReadOptions::default();
        options.frequency = self.frequency.as_ref().map(|f| f.1);
        options.named = self.named.clone();
        options
    }

    /// Reads a file of a run.
    ///
    /// # Errors
    /// As the file's adapter; Io; Limit.
    fn load(&self, opened: &mut Opened, file: &FileArg, run: &RunPlan) -> Result<Loaded> {
        let mut options = self.plain_options();
        options.frequency = file.frequency.or(options.frequency);
        options.polarisation = file.polarisation;
        let mut loaded = self.read_opened(opened, self.forced(), &options)?;
        let frequency = self.frequency.as_ref().map(|f| f.0.as_str());
        let mut step = Step::new("read")
            .option(
                "run",
                run.named.then(|| format!("{}={}", run.name, file.text)),
            )
            .option("adapter", self.adapter.as_deref())
            .option("frequency-mhz", frequency);
        for (name, value) in self.layouts.options() {
            step = step.option(name, value.as_ref());
        }
        for (name, value) in &self.named {
            if ReadingArgs::NAMED.contains(&name.as_str()) {
                step = step.option(name, Some(value));
            }
        }
        let of_one: Vec<String> = self
            .named
            .iter()
            .filter(|(name, _)| !ReadingArgs::NAMED.contains(&name.as_str()))
            .map(|(name, value)| format!("{name}={value}"))
            .collect();
        let mut step = step.option("option", (!of_one.is_empty()).then(|| of_one.join(";")));
        step.did.append(&mut loaded.step.did);
        loaded.step = step;
        Ok(loaded)
    }

    /// Reads a file with the adapter `forced` or the one that fits.
    pub(super) fn read(
        &self,
        file: &FileArg,
        forced: Option<&str>,
        options: &ReadOptions,
    ) -> Result<Loaded> {
        self.read_opened(&mut self.open(file)?, forced, options)
    }

    /// Opens a file.
    ///
    /// # Errors
    /// Io; Limit; Input and Unsupported: the bytes are no text.
    pub fn open(&self, file: &FileArg) -> Result<Opened> {
        let (feed, hash) = bytes::open(&file.path, &self.limits)?;
        let name = file.path.to_string_lossy().into_owned();
        Ok(Opened { name, hash, feed })
    }

    fn read_opened(
        &self,
        opened: &mut Opened,
        forced: Option<&str>,
        options: &ReadOptions,
    ) -> Result<Loaded> {
        let Opened { name, hash, feed } = opened;
        let candidates = self.registry.identify(feed.source());
        let threads = std::thread::available_parallelism().map_or(1, NonZero::get);
        let options = options.clone().with_threads(threads);
        let read = self
            .registry
            .read_feed(feed, forced, &self.limits, &options);
        let (id, intake) = read?;
        let mut step = Step::new("read");
        step.note(match &intake.readings {
            Some(readings) => format!("{name}: {} readings by the adapter {id}", readings.len()),
            None => format!("{name}: a curve by the adapter {id}"),
        });
        if let Some(sentence) = self.layouts.sentence(&id) {
            step.note(sentence);
        }
        Ok(Loaded {
            input: Input {
                path: name.clone(),
                sha256: hash.hexadecimal(),
                adapter: id,
                quantity: intake.kind().to_string(),
            },
            candidates,
            intake,
            step,
        })
    }

    /// Reads all files of a run, as far as they can be read.
    ///
    /// # Errors
    /// One for each file that cannot be read.
    pub fn load_run(&self, run: &RunPlan) -> std::result::Result<Vec<Loaded>, Vec<Failure>> {
        let (mut loaded, mut failures) = (Vec::new(), Vec::new());
        for file in &run.files {
            let mut opened = match self.open(file) {
                Ok(opened) => opened,
                Err(error) => {
                    failures.push(Failure::in_run(error, &run.name));
                    continue;
                }
            };
            match self.load(&mut opened, file, run) {
                Ok(one) => loaded.push(one),
                Err(error) => {
                    let mut failure = Failure::in_run(error, &run.name);
                    failure.proposal = self.proposal(opened.source());
                    failures.push(failure);
                }
            }
        }
        let twice = loaded.iter().enumerate().find_map(|(n, one)| {
            let before = loaded.iter().take(n);
            before
                .filter(|other| other.input.sha256 == one.input.sha256)
                .map(|other| (other.input.path.clone(), one.input.path.clone()))
                .next()
        });
        if let (Some((first, second)), Some(one)) = (twice, loaded.first_mut()) {
            one.intake.findings.push(
                Finding::warning(
                    "same-file",
                    format!("{first} and {second} of one run are the same, byte for byte"),
                )
                .advice("check that each file holds a polarisation or frequency of its own"),
            );
        }
        if failures.is_empty() {
            Ok(loaded)
        } else {
            Err(failures)
        }
    }

    /// What was tried on a file that no adapter is sure of, and a layout to start from, as one TOML text.
    fn proposal(&self, source: &Source) -> Option<String> {
        let candidates = self.registry.identify(source);
        let sure = |c: &Candidate| c.look.confidence >= Confidence::Likely;
        if self.adapter.is_some() || self.layouts.forced().is_some() || candidates.iter().any(sure)
        {
            return None;
        }
        let tried: String = candidates
            .iter()
            .map(|c| format!("#   {}: {}\n", c.id, c.look.reason))
            .collect();
        let proposal = propose(source)?;
        Some(format!(
            "# No adapter is sure of {}:\n{tried}{proposal}",
            source.name()
        ))
    }

    /// Reads a run and makes it ready to be reduced; its files stand beside it.
    ///
    /// # Errors
    /// One for each file that cannot be read, or what keeps the readings from being a sphere of powers.
    pub fn prepare(
        &self,
        run: &RunPlan,
        options: &ReduceOptions,
    ) -> std::result::Result<(Prepared, Vec<Input>), Vec<Failure>> {
        let (mut inputs, mut readings, mut findings, mut steps) =
            (Vec::new(), Vec::new(), Vec::new(), Vec::new());
        for loaded in self.load_run(run)? {
            let held = readings_of(&loaded.input, loaded.intake.readings);
            readings.push(held.map_err(|e| vec![Failure::in_run(e, &run.name)])?);
            inputs.push(loaded.input);
            findings.extend(loaded.intake.findings);
            steps.push(loaded.step);
        }
        let mut prepared = prepare(&readings, options, &self.limits)
            .map_err(|e| vec![Failure::in_run(e, &run.name)])?;
        prepared.findings.splice(0..0, findings);
        prepared.history.splice(0..0, steps);
        Ok((prepared, inputs))
    }
}

fn readings_of(input: &Input, readings: Option<Readings>) -> Result<Readings> {
    readings.ok_or_else(|| {
        Error::input("the file holds values against frequency, not readings over directions")
            .hint("if it is the range loss, give it with --range FILE")
            .at(Place::in_source(&input.path))
    })
}
