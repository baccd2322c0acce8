//! Tables, cases and rows as they are held.

use crate::error::{Group, Result};
use crate::figure::FigureState;
use crate::model::Readings;
use crate::reduce::ReduceOptions;
use crate::rule::Rule;
use crate::table::files::Files;
use crate::table::measure::Amount;
use crate::table::sample::SampledPattern;
use crate::table::source::{Source, SourceKind};
use crate::table::spheres::EmbeddedSphere;
use std::fmt;

/// A table of cases.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct Table {
    /// Name of the text that it was read from.
    pub name: String,
    /// What it is about.
    pub title: String,
    /// Its cases.
    pub cases: Vec<Case>,
}

impl Table {
    /// Number of rows of all cases.
    #[must_use]
    pub fn row_count(&self) -> usize {
        self.cases.iter().map(|c| c.rows.len()).sum()
    }
}

/// One input with its options, and what must come out.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct Case {
    /// Its name, unique in the table.
    pub name: String,
    /// Line of its name.
    pub line: u64,
    /// What goes in.
    pub input: Input,
    /// Options of the reduction; the defaults where the input is files, whose options are only read with them.
    pub options: ReduceOptions,
    /// The options as the command takes them: name without dashes, value. Of files also those of reading.
    pub command_options: Vec<(String, String)>,
    /// What must come out.
    pub rows: Vec<Row>,
}

impl Case {
    /// The readings of a case that is reduced; `None` for the others.
    #[must_use]
    pub fn readings(&self) -> Option<Result<Readings>> {
        match &self.input {
            Input::Pattern(sampled) => Some(sampled.readings(&self.name)),
            Input::Sphere(sphere) => Some(sphere.readings()),
            _ => None,
        }
    }

    /// The readings as a file that any face can read; `None` for cases that are not reduced.
    #[must_use]
    pub fn csv(&self) -> Option<String> {
        match &self.input {
            Input::Pattern(sampled) => Some(sampled.csv()),
            Input::Sphere(sphere) => Some(sphere.csv.to_string()),
            _ => None,
        }
    }
}

/// What goes into a case.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum Input {
    /// A named pattern, sampled on a stated grid.
    Pattern(SampledPattern),
    /// A sphere that comes with the library.
    Sphere(EmbeddedSphere),
    /// A laboratory's own files.
    Files(Files),
    /// The ring weights of a rule.
    Weights {
        /// The rule.
        rule: Rule,
        /// N, the number of θ intervals.
        intervals: usize,
    },
    /// Levels, powers or ratios, to be converted, summed or averaged.
    Levels(Vec<Amount>),
    /// A difference of two levels and what follows from it.
    Difference {
        /// The difference, dB.
        d_db: f64,
        /// Exponent of the path loss; 2 is free space.
        exponent: Option<f64>,
    },
}

/// What a row asks for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Asked {
    /// One quantity.
    One(String),
    /// One quantity over another.
    Ratio(String, String),
}

impl fmt::Display for Asked {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::One(name) => f.write_str(name),
            Self::Ratio(over, under) => write!(f, "{over} / {under}"),
        }
    }
}

/// How far from the expected number is near enough.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Tolerance {
    /// In the unit of a difference of two such amounts.
    Absolute(Amount),
    /// As a share of the expected number.
    Relative(f64),
}

impl Tolerance {
    /// Absolute tolerances above this need a reason, in their own unit.
    pub const LOOSE_ABSOLUTE: f64 = 1e-9;
    /// Relative tolerances above this need a reason.
    pub const LOOSE_RELATIVE: f64 = 1e-10;

    /// The tolerance about an expected number, in the number's unit of difference.
    #[must_use]
    pub fn about(self, expected: f64) -> f64 {
        match self {
            Self::Absolute(amount) => amount.value,
            Self::Relative(share) => share * expected.abs(),
        }
    }

    /// True where a reason has to be given.
    #[must_use]
    pub fn is_loose(self) -> bool {
        match self {
            Self::Absolute(amount) => amount.value > Self::LOOSE_ABSOLUTE,
            Self::Relative(share) => share > Self::LOOSE_RELATIVE,
        }
    }
}

impl fmt::Display for Tolerance {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Absolute(amount) => write!(f, "{:e} {}", amount.value, amount.unit),
            Self::Relative(share) => write!(f, "{share:e} relative"),
        }
    }
}

/// What must come out.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum Check {
    /// `gives`: this amount.
    Gives {
        /// Of what.
        of: Asked,
        /// How much.
        amount: Amount,
        /// How near.
        within: Tolerance,
    },
    /// `never`: not this amount, which a known mistake gives.
    Never {
        /// Of what.
        of: Asked,
        /// The wrong amount.
        amount: Amount,
        /// How far off.
        beyond: Tolerance,
    },
    /// `is`: a figure in this state.
    Is {
        /// The figure.
        of: Asked,
        /// Its state.
        state: FigureState,
    },
    /// `fails`: an error of this group.
    Fails(Group),
}

/// One expectation.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub struct Row {
    /// Its line in the table.
    pub line: u64,
    /// What must come out.
    pub check: Check,
    /// Where that comes from, at least one.
    pub sources: Vec<Source>,
    /// Why the tolerance is what it is.
    pub because: Option<String>,
}

impl Row {
    /// True where nothing but earlier output of this library speaks for it.
    #[must_use]
    pub fn is_snapshot(&self) -> bool {
        self.sources.iter().all(|s| s.kind == SourceKind::Snapshot)
    }
}
