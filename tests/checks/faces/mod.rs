//! The faces of the library that a row runs through.

mod c;
mod command;
mod levels;

use spheresum_core::table::{self, Case, Input, Outcome, Row};
use std::fmt;

/// A way in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Face {
    /// Calls.
    Rust,
    /// The program.
    Command,
    /// The C interface.
    C,
}

impl Face {
    pub const ALL: [Self; 3] = [Self::Rust, Self::Command, Self::C];

    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Rust => "rust",
            Self::Command => "command",
            Self::C => "c",
        }
    }

    /// True where this face gives what the row asks for: ring weights are calls of the library alone.
    pub fn has(self, case: &Case, row: &Row) -> bool {
        let reduced = matches!(case.input, Input::Pattern(_) | Input::Sphere(_));
        match self {
            Self::Rust => true,
            Self::Command => reduced || levels::has(case, row),
            Self::C => c::has(case, row),
        }
    }

    /// Runs a case.
    pub fn run(self, case: &Case) -> Outcome {
        match self {
            Self::Rust => table::run_rust(case),
            Self::Command => command::run(case),
            Self::C => c::run(case),
        }
    }
}

impl fmt::Display for Face {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.as_str())
    }
}
