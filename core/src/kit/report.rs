//! What the kit found: a report, or the broken promises.

use std::fmt;

/// How often a check tried something.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct Tally {
    /// Name of the check.
    pub check: &'static str,
    /// Looks and reads it made. None: no sample was given that it could use.
    pub trials: usize,
}

/// Every promise was kept.
#[derive(Clone, Debug)]
#[non_exhaustive]
pub struct Report {
    /// Id of the adapter.
    pub adapter: String,
    /// Seed of the changes and of the orders of rows.
    pub seed: u64,
    /// The checks in order.
    pub checks: Vec<Tally>,
}

impl Report {
    /// Looks and reads in all.
    #[must_use]
    pub fn trials(&self) -> usize {
        self.checks.iter().map(|t| t.trials).sum()
    }

    /// Checks that had nothing to try: they say nothing of the adapter.
    pub fn idle(&self) -> impl Iterator<Item = &'static str> + '_ {
        self.checks
            .iter()
            .filter(|t| t.trials == 0)
            .map(|t| t.check)
    }
}

impl fmt::Display for Report {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        writeln!(
            f,
            "the adapter {} keeps its promises ({} trials, seed {})",
            self.adapter,
            self.trials(),
            self.seed
        )?;
        for tally in &self.checks {
            match tally.trials {
                0 => writeln!(f, "  {:16} not tried: no sample for it", tally.check)?,
                trials => writeln!(f, "  {:16} {trials} trials", tally.check)?,
            }
        }
        Ok(())
    }
}

/// A broken promise: the first case that shows it, and how many more do.
#[derive(Clone, Debug)]
#[non_exhaustive]
pub struct Failure {
    /// Name of the check.
    pub check: &'static str,
    /// Name of the sample; empty where it is about none.
    pub sample: String,
    /// What was done with the sample.
    pub done: String,
    /// What was seen.
    pub seen: String,
    /// What to do about it.
    pub advice: &'static str,
    /// The bytes that were read.
    pub input: Vec<u8>,
    /// Further cases of the same sample that show the same.
    pub more: usize,
}

impl fmt::Display for Failure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.check)?;
        if !self.sample.is_empty() {
            write!(f, ": {}, {}", self.sample, self.done)?;
        }
        if self.more > 0 {
            write!(f, ", and {} more cases", self.more)?;
        }
        write!(f, "\n   seen  {}\n   do    {}", self.seen, self.advice)?;
        match self.input.len() {
            0 => Ok(()),
            1..=200 => write!(f, "\n   input \"{}\"", self.input.escape_ascii()),
            length => write!(f, "\n   input {length} bytes, in Failure::input"),
        }
    }
}

/// The broken promises of an adapter. `Debug` prints as `Display` does, so that `unwrap` is readable too.
#[derive(Clone)]
#[non_exhaustive]
pub struct Failures {
    /// The report of what was tried.
    pub report: Report,
    /// The broken promises in the order of the checks.
    pub list: Vec<Failure>,
}

impl fmt::Display for Failures {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        writeln!(
            f,
            "the adapter {} breaks promises ({} trials, seed {})",
            self.report.adapter,
            self.report.trials(),
            self.report.seed
        )?;
        for (index, failure) in self.list.iter().enumerate() {
            writeln!(f, "{}. {failure}", index + 1)?;
        }
        Ok(())
    }
}

impl fmt::Debug for Failures {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, f)
    }
}

impl std::error::Error for Failures {}
