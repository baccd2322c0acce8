//! Arguments of `check`.

use super::{OutputArgs, ReadingArgs, ReducingArgs};
use clap::{Arg, ArgMatches, Args, Command, parser::ValueSource};
use std::path::PathBuf;

/// Arguments of `check`.
#[derive(Debug, Args)]
pub struct CheckArgs {
    /// Reference tables; none: all that come with the program.
    #[arg(value_name = "TABLE")]
    pub tables: Vec<PathBuf>,
    /// Run the program's own tables too, where others are given.
    #[arg(long)]
    pub builtin: bool,
    /// Write JSON.
    #[arg(long, group = "form")]
    pub json: bool,
    /// Write JUnit XML, one test case a row, for build servers.
    #[arg(long, group = "form")]
    pub junit: bool,
    /// Write Markdown.
    #[arg(long, group = "form")]
    pub markdown: bool,
    /// Write a table to start from instead: what the files of a run give today, each row marked `snapshot`. RUN is a file, or NAME=FILE[,FILE…] as
    /// behind --run; the options of reading and reducing are those of `reduce`, and are kept in the table. Repeat it for more runs.
    #[arg(long, value_name = "RUN", conflicts_with_all = ["tables", "builtin", "form"])]
    pub write_skeleton: Vec<String>,
    /// How the files of a skeleton are read.
    #[command(flatten)]
    pub reading: ReadingArgs,
    /// How the runs of a skeleton are reduced.
    #[command(flatten)]
    pub reducing: ReducingArgs,
    /// Where the record goes.
    #[command(flatten)]
    pub output: OutputArgs,
    /// The options of reading and reducing as they were typed: name without dashes, value.
    #[arg(skip)]
    pub typed: Vec<(String, String)>,
}

impl CheckArgs {
    /// Options of reading and reducing go with a skeleton only; its runs are named by itself.
    pub(super) fn settle(command: Command) -> Command {
        command
            .mut_args(|arg| match is_of_skeleton(&arg) {
                true => arg.requires("write_skeleton"),
                false => arg,
            })
            .mut_arg("runs", |arg| {
                arg.hide(true).conflicts_with("write_skeleton")
            })
    }

    /// Keeps the options as they were typed, in the order of the help.
    pub(super) fn remember(&mut self, command: &Command, matches: &ArgMatches) {
        for option in command.get_arguments().filter(|a| is_of_skeleton(a)) {
            let id = option.get_id().as_str();
            let typed = matches.value_source(id) == Some(ValueSource::CommandLine);
            let (true, Some(name), Some(values)) =
                (typed, option.get_long(), matches.get_raw_occurrences(id))
            else {
                continue;
            };
            let sign = option.get_value_delimiter().map(String::from);
            for values in values {
                let values: Vec<_> = values.map(|v| v.to_string_lossy()).collect();
                let value = values.join(sign.as_deref().unwrap_or(" "));
                self.typed.push((name.to_string(), value));
            }
        }
    }
}

/// True for the options of reading and reducing.
fn is_of_skeleton(arg: &Arg) -> bool {
    matches!(
        arg.get_help_heading(),
        Some("Reading" | "Reducing" | "Noise")
    )
}
