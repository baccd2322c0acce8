//! The adapter kit: takes an adapter and its sample files, and checks what the adapter contract promises.
//!
//! ```
//! # use spheresum_core::intake::{Adapter, Description, Head, Intake, Look, ReadOptions, Source, Yield};
//! # use spheresum_core::kit::{Kit, Refusal, Sample};
//! # use spheresum_core::{Group, Limits};
//! # fn promises(adapter: &dyn Adapter, registry: &spheresum_core::intake::Registry) {
//! let checked = Kit::new(adapter)
//!     .sample(Sample::good("river.txt", "slashes 868.3 MHz\n0/0/-3\n").with_rows(2..=2))
//!     .sample(Sample::bad("word.txt", "slashes 868.3 MHz\n0/0/low\n", Refusal::new(Group::Input).at(2, 5)))
//!     .others([Sample::good("table.csv", "theta_deg,phi_deg,eirp_dbm\n0,0,-3\n")])
//!     .beside(registry.iter())
//!     .check();
//! match checked {
//!     Ok(report) => println!("{report}"),
//!     Err(failures) => panic!("{failures}"),
//! }
//! # }
//! ```
//!
//! | check | promise |
//! |---|---|
//! | `description` | the id is kebab case; name, quantities and specification are there; it is the same at every call |
//! | `good-files` | good samples are read, recognised (at least `Likely`), and no adapter beside is as sure of them |
//! | `bad-files` | bad samples give the group, line, column and words that were stated |
//! | `foreign-files` | files of other formats are left to their owners: no `Certain`, no tie, no win |
//! | `truncation` | a sample cut at any length is read or refused, never a panic |
//! | `changes` | a sample with bytes flipped, put in, taken out, lines swapped or doubled: the same |
//! | `limits` | a file that just fits is read; one that does not is a Limit error; repeats and padding stay within |
//! | `row-order` | rows in another order give the same readings (for samples that state their rows) |
//! | `purity` | the same input gives the same output, whatever was read before |
//! | `line-ends` | LF, CRLF, CR and a byte-order mark change neither readings nor lines |
//! | `pieces` | a text that is read piece by piece gives what it gives whole |
//! | `unknown-options` | an option that no adapter knows is a Usage error |
//!
//! In every check each error must have a message, a hint, and (Input, Ambiguous, Unsupported, Limit) a place with source, line
//! and column that lies in the file and agrees with its byte and excerpt. Each result must be readings or a curve, as the
//! description says, from lines of the file, within the limits and in proportion to the file.
//!
//! The kit does not measure memory. What it bounds is what is handed over: readings, findings and metadata against the size of
//! the file. Peak allocation is for a run from outside, such as under `ulimit -v`.
//!
//! A panic of an adapter is caught, and still printed by the panic hook. A program built with `panic = "abort"` cannot catch it.

mod alike;
mod bad;
mod bench;
mod changes;
mod description;
mod error;
mod foreign;
mod good;
mod intake;
mod limits;
mod line_ends;
mod lines;
mod options;
mod pieces;
mod purity;
mod random;
mod report;
mod row_order;
mod sample;
mod truncation;

pub use report::{Failure, Failures, Report, Tally};
pub use sample::{Expect, Refusal, Sample};

use crate::intake::Adapter;
use bench::Bench;

/// A check: its name, and what it does.
type Check = (&'static str, fn(&mut Bench<'_>));

/// The checks in their order.
const CHECKS: &[Check] = &[
    ("description", description::check),
    ("good-files", good::check),
    ("bad-files", bad::check),
    ("foreign-files", foreign::check),
    ("truncation", truncation::check),
    ("changes", changes::check),
    ("limits", limits::check),
    ("row-order", row_order::check),
    ("purity", purity::check),
    ("line-ends", line_ends::check),
    ("pieces", pieces::check),
    ("unknown-options", options::check),
];

/// An adapter with what it is checked on.
#[must_use = "nothing is checked before `check`"]
pub struct Kit<'a> {
    adapter: &'a dyn Adapter,
    samples: Vec<Sample>,
    others: Vec<Sample>,
    beside: Vec<&'a dyn Adapter>,
    reads: usize,
    seed: u64,
}

impl<'a> Kit<'a> {
    /// Most reads of `truncation` and `changes` together, unless said otherwise.
    pub const DEFAULT_READS: usize = 3000;

    /// Seed of the changes, unless said otherwise.
    pub const DEFAULT_SEED: u64 = 868_300;

    /// A kit for an adapter, without samples yet. It needs at least one good and one bad.
    pub fn new(adapter: &'a dyn Adapter) -> Self {
        Self {
            adapter,
            samples: Vec::new(),
            others: Vec::new(),
            beside: Vec::new(),
            reads: Self::DEFAULT_READS,
            seed: Self::DEFAULT_SEED,
        }
    }

    /// With a sample of the adapter's format.
    pub fn sample(mut self, sample: Sample) -> Self {
        self.samples.push(sample);
        self
    }

    /// With samples of the adapter's format.
    pub fn samples(mut self, samples: impl IntoIterator<Item = Sample>) -> Self {
        self.samples.extend(samples);
        self
    }

    /// With good files of other formats, which the adapter must leave alone.
    pub fn others(mut self, samples: impl IntoIterator<Item = Sample>) -> Self {
        self.others.extend(samples);
        self
    }

    /// With adapters that stand beside this one in a registry (`registry.iter()`). One of the same id is passed over.
    pub fn beside(mut self, adapters: impl IntoIterator<Item = &'a dyn Adapter>) -> Self {
        self.beside.extend(adapters);
        self
    }

    /// With another number of reads for `truncation` and `changes` together, shared among the samples. The other checks need
    /// some forty reads a sample.
    pub fn reads(mut self, reads: usize) -> Self {
        self.reads = reads;
        self
    }

    /// With another seed for the changes and the orders of rows.
    pub fn seed(mut self, seed: u64) -> Self {
        self.seed = seed;
        self
    }

    /// Runs every check.
    ///
    /// # Errors
    /// Every broken promise: check, sample, what was seen, what to do.
    pub fn check(&self) -> Result<Report, Failures> {
        let mut bench = Bench::new(self);
        for (name, check) in CHECKS {
            bench.begin(name);
            check(&mut bench);
        }
        bench.end()
    }
}
