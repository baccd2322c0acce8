//! Options that say how files are read.

use super::{LayoutArgs, RunArg};
use clap::Args;
use spheresum_core::unit::frequency::FrequencyUnit;
use spheresum_core::{Frequency, Result};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

/// How files are read.
#[derive(Debug, Args)]
#[command(next_help_heading = "Reading")]
pub struct ReadingArgs {
    /// One run made of several files: one polarisation or frequency each. `FILE@theta`, `FILE@868.3` (MHz) or both say what a
    /// file holds. Repeat the option for more runs, or with the same name for more files; these runs come after FILEs.
    #[arg(long = "run", value_name = "NAME=FILE[,FILE…]")]
    pub runs: Vec<RunArg>,
    /// Read the files of readings with this adapter; see `spheresum formats`.
    #[arg(long, value_name = "ID")]
    pub adapter: Option<String>,
    /// Layouts.
    #[command(flatten)]
    pub layouts: LayoutArgs,
    /// Frequency of files that leave it out, MHz.
    #[arg(long, value_name = "F", value_parser = megahertz, allow_negative_numbers = true)]
    pub frequency_mhz: Option<FrequencyText>,
    /// Sign between the fields: comma, semicolon, tab or blank. Without it, it is found out.
    #[arg(long, value_name = "WORD")]
    pub separator: Option<String>,
    /// Decimal sign: point or comma. Without it, it is found out.
    #[arg(long, value_name = "WORD")]
    pub decimal: Option<String>,
    /// What columns mean whose headings do not say, such as "Pwr V=eirp_theta_dbm".
    #[arg(long, value_name = "HEADING=ROLE,…")]
    pub column: Option<String>,
    /// Which polarisation the file's words stand for, such as "V=theta,H=phi".
    #[arg(long, value_name = "WORD=POL,…")]
    pub pol: Option<String>,
    /// What values are whose headings do not say: eirp, eis, gain, received, level or field.
    #[arg(long, value_name = "WORD")]
    pub quantity: Option<String>,
    /// Unit of values whose headings do not say, such as dBm.
    #[arg(long, value_name = "UNIT")]
    pub unit: Option<String>,
    /// Unit of angles whose headings do not say: deg or rad.
    #[arg(long, value_name = "UNIT")]
    pub angles: Option<String>,
    /// Number of ports of Touchstone files that do not say it: 1 to 4.
    #[arg(long, value_name = "N")]
    pub ports: Option<String>,
}

/// A frequency, with the decimal as it was typed.
#[derive(Clone, Debug, PartialEq)]
pub struct FrequencyText {
    /// As typed.
    pub text: String,
    /// The frequency.
    pub frequency: Frequency,
}

fn megahertz(text: &str) -> std::result::Result<FrequencyText, String> {
    Frequency::parse(text, FrequencyUnit::Mhz)
        .map(|frequency| FrequencyText {
            text: text.to_string(),
            frequency,
        })
        .ok_or_else(|| "a frequency is a decimal number of MHz above 0, such as 868.3".to_string())
}

impl ReadingArgs {
    /// Names of the options that an adapter takes by name, in the order of their values in [`Self::named`].
    pub const NAMED: [&'static str; 8] = [
        "separator",
        "decimal",
        "column",
        "pol",
        "quantity",
        "unit",
        "angles",
        "ports",
    ];

    /// Refuses an output file that is one of the inputs: the files, those of the runs, the layouts, or the range loss.
    ///
    /// # Errors
    /// Usage.
    pub fn spare_inputs(
        &self,
        files: &[PathBuf],
        range: Option<&str>,
        output: Option<&Path>,
    ) -> Result<()> {
        let of_runs = self
            .runs
            .iter()
            .flat_map(|r| &r.files)
            .map(|f| f.path.as_path());
        let inputs = files.iter().map(PathBuf::as_path).chain(of_runs);
        let inputs = inputs.chain(self.layouts.paths());
        crate::output::spare(output, inputs.chain(range.map(Path::new)))
    }

    /// The options that an adapter takes by name.
    #[must_use]
    pub fn named(&self) -> BTreeMap<String, String> {
        let values = [
            &self.separator,
            &self.decimal,
            &self.column,
            &self.pol,
            &self.quantity,
            &self.unit,
            &self.angles,
            &self.ports,
        ];
        Self::NAMED
            .into_iter()
            .zip(values)
            .filter_map(|(name, value)| Some((name.to_string(), value.clone()?)))
            .collect()
    }
}
