//! Options that say how files are read.

use super::{LayoutArgs, RunArg};
use clap::Args;
use spheresum_core::unit::frequency::FrequencyUnit;
use spheresum_core::{Error, Frequency, Result};
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
    /// What one adapter alone asks for, such as rows=theta of a matrix, widths=8,8,14,14 or format=(2F8.3,2E14.6) of columns, or
    /// table=KEY of JSON; its specification lists them. Several are parted by semicolons.
    #[arg(long = "option", value_name = "NAME=VALUE[;…]", value_parser = pair, value_delimiter = ';')]
    pub options: Vec<(String, String)>,
    /// Layouts.
    #[command(flatten)]
    pub layouts: LayoutArgs,
    /// Frequency of files that leave it out, MHz.
    #[arg(long, value_name = "F", value_parser = megahertz, allow_negative_numbers = true)]
    pub frequency_mhz: Option<FrequencyText>,
    /// Sign between the fields: comma, semicolon, tab, pipe or blank. Without it, it is found out.
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

fn pair(text: &str) -> std::result::Result<(String, String), String> {
    match text.split_once('=') {
        Some((name, value)) if !name.trim().is_empty() => {
            Ok((name.trim().to_string(), value.to_string()))
        }
        _ => Err("an option of an adapter is NAME=VALUE, such as rows=theta".to_string()),
    }
}

impl ReadingArgs {
    /// Names of the options that one adapter alone takes by name: `--option NAME=VALUE`.
    pub const OF_ONE: [&'static str; 8] = [
        "rows", "format", "widths", "columns", "stars", "implied", "blanks", "table",
    ];

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

    /// Refuses an output file that is one of the inputs: the files, those of the runs, the layouts, the range loss, or the noise floor.
    ///
    /// # Errors
    /// Usage.
    pub fn spare_inputs(
        &self,
        files: &[PathBuf],
        corrections: [Option<&str>; 2],
        output: Option<&Path>,
    ) -> Result<()> {
        let of_runs = self
            .runs
            .iter()
            .flat_map(|r| &r.files)
            .map(|f| f.path.as_path());
        let inputs = files.iter().map(PathBuf::as_path).chain(of_runs);
        let inputs = inputs.chain(self.layouts.paths());
        crate::output::spare(
            output,
            inputs.chain(corrections.into_iter().flatten().map(Path::new)),
        )
    }

    /// The options that an adapter takes by name.
    ///
    /// # Errors
    /// Usage: one is given twice.
    pub fn named(&self) -> Result<BTreeMap<String, String>> {
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
        let own = Self::NAMED
            .into_iter()
            .zip(values)
            .filter_map(|(name, value)| Some((name.to_string(), value.clone()?)));
        let mut named = BTreeMap::new();
        for (name, value) in own.chain(self.options.iter().cloned()) {
            if named.insert(name.clone(), value).is_some() {
                return Err(Error::usage(format!("the option {name} is given twice"))
                    .hint("give each option of an adapter once"));
            }
        }
        Ok(named)
    }
}
