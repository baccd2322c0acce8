//! The command line: what can be typed, with the help texts.

mod checking;
mod layouts;
mod naming;
mod noise;
mod output;
mod reading;
mod reducing;

pub use checking::CheckArgs;
pub use layouts::LayoutArgs;
pub use naming::{FileArg, RunArg};
pub use noise::NoiseArgs;
pub use output::{OutputArgs, ResultArgs};
pub use reading::ReadingArgs;
pub use reducing::ReducingArgs;

use clap::{Args, CommandFactory, FromArgMatches, Parser, Subcommand};
use std::ffi::OsString;
use std::path::PathBuf;

/// Reduces over-the-air antenna chamber measurements to figures, and compares them.
///
/// Files of readings over the sphere in two polarisations become total radiated power, total isotropic sensitivity and their
/// kin, with bounds for what was marked or not measured, and two configurations are set side by side. Results go to standard
/// output, everything else to standard error.
#[derive(Debug, Parser)]
#[command(
    name = "spheresum",
    version,
    max_term_width = 110,
    disable_help_subcommand = true
)]
#[command(after_help = EXIT_STATUS)]
pub struct Cli {
    /// What to do.
    #[command(subcommand)]
    pub command: Command,
}

const EXIT_STATUS: &str = "\
Exit status: 0 done; 1 done, and the answer is no (a limit was missed); 2 usage; 3 a file cannot be read; \
4 the data cannot support what was asked; 70 a fault in the program. With several files the highest counts.

Example:
  spheresum demo";

/// The commands.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Writes the built-in scenario to a folder, then compares it: the main job with no file of your own.
    ///
    /// The scenario is a river-level telemetry gauge on 868.3 MHz in three configurations, with received power on a 15° grid
    /// and the range loss of the chamber. The files are invented, but physical. They are written to the folder, the command lines that
    /// reduce and compare them are shown, and the comparison is run.
    #[command(after_help = "Example:\n  spheresum demo my-folder")]
    Demo(DemoArgs),
    /// Says what a file holds and what is odd about it, without integrating it.
    ///
    /// Shows which adapter reads the file and why, the quantity, frequencies, polarisations and levels, the grid with its gaps,
    /// repeats, and whether the file could be integrated as it is. A file that cannot be integrated is looked at all the same. For
    /// a file that no adapter recognises, a layout to start from is written: a TOML text that describes the file, with a ? in the
    /// places where only a person knows what they mean.
    #[command(
        after_help = "Examples:\n  spheresum look gauge.csv\n  spheresum look --propose-layout gauge.txt --output gauge.toml"
    )]
    Look(LookArgs),
    /// Reduces each file to its figures.
    ///
    /// Each file is a run of its own, unless --run puts several into one. Readings are assembled into a sphere, corrected by the range
    /// loss, filled where directions are missing, and integrated. Every figure comes with the bounds that marked and missing readings
    /// leave it.
    #[command(
        after_help = "Examples:\n  spheresum reduce gauge.csv --range range-loss.csv\n  spheresum reduce --run gauge=vertical.csv@theta,horizontal.csv@phi --json"
    )]
    Reduce(ReduceArgs),
    /// Compares runs with the first: how many dB, what share of the power, what range.
    ///
    /// The first run is the reference. All runs are reduced alike, with one rule, one window form and one fill method. For each figure
    /// the difference, the share of the power that is lost and the factor on the range are given, and one sentence tells the result.
    #[command(
        override_usage = "spheresum compare [OPTIONS] REFERENCE TEST…\n       spheresum compare [OPTIONS] --run NAME=FILE[,FILE…] --run NAME=FILE[,FILE…] …",
        after_help = "Example:\n  spheresum compare rev-a.csv rev-b.csv --range range-loss.csv --max-drop 1.5"
    )]
    Compare(CompareArgs),
    /// Lists the adapters: what each reads, and where the format is specified.
    ///
    /// An adapter reads one family of file formats. `look` says which one fits a file; --adapter forces one by its id. Layouts are
    /// adapters too: TOML texts that describe a format, named by --layout, --layouts or SPHERESUM_LAYOUTS.
    #[command(after_help = "Example:\n  spheresum formats")]
    Formats(FormatsArgs),
    /// Validates this program by reference tables, and writes a record of it.
    ///
    /// Without tables all that come with the program are run: outside values with their sources, and how far a result may be off. A table of your
    /// own (a device that was measured elsewhere, a figure of a handbook) has the same format, core/tables/README.md, and may name files, which are looked for
    /// beside it. The exit status is 1 where a row fails.
    #[command(
        after_help = "Examples:\n  spheresum check\n  spheresum check --junit --output validation.xml\n  spheresum check golden-device.tbl --markdown\n  spheresum check --write-skeleton gauge.csv --range range-loss.csv --output golden-device.tbl"
    )]
    Check(CheckArgs),
}

/// Arguments of `demo`.
#[derive(Debug, Args)]
pub struct DemoArgs {
    /// Folder that the files are written to; it is made if need be.
    #[arg(value_name = "FOLDER", default_value = "spheresum-demo")]
    pub folder: PathBuf,
    /// Overwrite files of the scenario that are there and differ.
    #[arg(long)]
    pub force: bool,
}

/// Arguments of `look`.
#[derive(Debug, Args)]
pub struct LookArgs {
    /// Files to look at; `-` is standard input.
    #[arg(value_name = "FILE", required_unless_present = "runs")]
    pub files: Vec<PathBuf>,
    /// Write a layout to start from for each file, and nothing else.
    #[arg(long)]
    pub propose_layout: bool,
    /// How the files are read.
    #[command(flatten)]
    pub reading: ReadingArgs,
    /// Largest distance of a direction from the nominal axes, degrees.
    #[arg(long, value_name = "DEG", default_value_t = spheresum_core::assemble::DEFAULT_SNAP_DEG, allow_negative_numbers = true)]
    pub snap_deg: f64,
    /// Where the text goes.
    #[command(flatten)]
    pub output: OutputArgs,
}

/// Arguments of `reduce`.
#[derive(Debug, Args)]
pub struct ReduceArgs {
    /// Files of readings, each a run of its own; `-` is standard input.
    #[arg(value_name = "FILE", required_unless_present = "runs")]
    pub files: Vec<PathBuf>,
    /// How the files are read.
    #[command(flatten)]
    pub reading: ReadingArgs,
    /// How the runs are reduced.
    #[command(flatten)]
    pub reducing: ReducingArgs,
    /// What is written where.
    #[command(flatten)]
    pub result: ResultArgs,
}

/// Arguments of `compare`.
#[derive(Debug, Args)]
pub struct CompareArgs {
    /// The reference, then the tests; `-` is standard input.
    #[arg(value_name = "FILE", required_unless_present = "runs")]
    pub files: Vec<PathBuf>,
    /// How the files are read.
    #[command(flatten)]
    pub reading: ReadingArgs,
    /// How the runs are reduced.
    #[command(flatten)]
    pub reducing: ReducingArgs,
    /// Exponent of the path-loss model for a second range factor; 2 is free space.
    #[arg(
        long,
        value_name = "N",
        help_heading = "Comparing",
        allow_negative_numbers = true
    )]
    pub path_loss_exponent: Option<f64>,
    /// Exit with 1 if the headline figure (TRP, or a gain) is lower than the reference's by more than this at any frequency, or a
    /// TIS is higher.
    #[arg(
        long,
        value_name = "DB",
        help_heading = "Comparing",
        allow_negative_numbers = true
    )]
    pub max_drop: Option<f64>,
    /// What is written where.
    #[command(flatten)]
    pub result: ResultArgs,
}

/// Arguments of `formats`.
#[derive(Debug, Args)]
pub struct FormatsArgs {
    /// Layouts that are listed too.
    #[command(flatten)]
    pub layouts: LayoutArgs,
    /// Where the text goes.
    #[command(flatten)]
    pub output: OutputArgs,
}

impl Cli {
    /// The command line of this process.
    ///
    /// # Errors
    /// What is wrong with it, or the help that was asked for.
    pub fn read() -> Result<Self, clap::Error> {
        Self::read_from(std::env::args_os())
    }

    /// A command line, the program's name first.
    ///
    /// # Errors
    /// As [`Cli::read`].
    pub fn read_from<T: Into<OsString> + Clone>(
        words: impl IntoIterator<Item = T>,
    ) -> Result<Self, clap::Error> {
        let command = Self::command().mut_subcommand("check", CheckArgs::settle);
        let matches = command.clone().try_get_matches_from(words)?;
        let mut cli = Self::from_arg_matches(&matches)?;
        if let (Command::Check(args), Some((name, of_check))) =
            (&mut cli.command, matches.subcommand())
            && let Some(check) = command.find_subcommand(name)
        {
            args.remember(check, of_check);
        }
        Ok(cli)
    }
}

/// Reads an option's value by its own parser, with what is possible.
fn by_its_parser<T>(text: &str) -> Result<T, String>
where
    T: std::str::FromStr<Err = spheresum_core::Error>,
{
    text.parse()
        .map_err(|e: spheresum_core::Error| match e.advice() {
            Some(advice) => format!("{} ({advice})", e.message()),
            None => e.message().to_string(),
        })
}

#[cfg(test)]
mod tests {
    use super::*;
    use spheresum_core::{compare, reduce};
    use std::collections::BTreeSet;

    /// The long options of `compare` under some headings.
    fn long_options(headings: &[&str]) -> BTreeSet<String> {
        let command = Cli::command();
        let compare = command.find_subcommand("compare").unwrap();
        compare
            .get_arguments()
            .filter(|a| a.get_help_heading().is_some_and(|h| headings.contains(&h)))
            .filter_map(|a| a.get_long().map(str::to_string))
            .collect()
    }

    #[test]
    fn options_of_core_have_the_names_that_are_typed() {
        // The paths are for the reader of the range file, and the limit is the command's own.
        for (headings, names, other) in [
            (
                &["Reducing", "Noise"][..],
                reduce::OPTION_NAMES,
                "range-path",
            ),
            (&["Comparing"][..], compare::OPTION_NAMES, "max-drop"),
        ] {
            let mut typed = long_options(headings);
            assert!(typed.remove(other));
            let named: BTreeSet<String> = names.iter().map(|o| o.name.to_string()).collect();
            assert_eq!(named, typed);
        }
    }
}
