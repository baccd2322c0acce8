//! Options that say what is written where.

use clap::Args;
use std::path::PathBuf;

/// Where a result goes.
#[derive(Debug, Args)]
#[command(next_help_heading = "Result")]
pub struct OutputArgs {
    /// Write the result to this file instead of standard output. The file is complete or not there.
    #[arg(long, value_name = "FILE")]
    pub output: Option<PathBuf>,
}

/// What a result looks like and where it goes.
#[derive(Debug, Args)]
#[command(next_help_heading = "Result")]
pub struct ResultArgs {
    /// Write JSON.
    #[arg(long, conflicts_with = "csv")]
    pub json: bool,
    /// Write comma-separated values, one row a figure.
    #[arg(long)]
    pub csv: bool,
    /// Where it goes.
    #[command(flatten)]
    pub output: OutputArgs,
}

impl ResultArgs {
    /// True where any of it was typed.
    #[must_use]
    pub fn is_given(&self) -> bool {
        self.json || self.csv || self.output.output.is_some()
    }
}
