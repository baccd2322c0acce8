//! Options that name layouts.

use clap::Args;
use std::path::{Path, PathBuf};

/// Layouts: TOML texts that describe formats which no adapter reads.
#[derive(Debug, Default, Args)]
#[command(next_help_heading = "Reading")]
pub struct LayoutArgs {
    /// Read files by this layout, a TOML text that describes their format; `spheresum look --propose-layout FILE` writes one to
    /// start from. One layout without --adapter reads all files of readings; of several, each file is read by the one that
    /// recognises it.
    #[arg(long = "layout", value_name = "FILE[,FILE…]", value_delimiter = ',')]
    pub named: Vec<PathBuf>,
    /// Folder whose layouts (*.toml) take part in recognising files. Without it, the environment variable SPHERESUM_LAYOUTS names
    /// the folder.
    #[arg(long = "layouts", value_name = "FOLDER")]
    pub folder: Option<PathBuf>,
}

impl LayoutArgs {
    /// The environment variable that names the folder of layouts.
    pub const VARIABLE: &str = "SPHERESUM_LAYOUTS";

    /// The folder of layouts, as it was typed or as the environment names it.
    #[must_use]
    pub fn folder(&self) -> Option<PathBuf> {
        let named = || {
            std::env::var_os(Self::VARIABLE)
                .filter(|name| !name.is_empty())
                .map(PathBuf::from)
        };
        self.folder.clone().or_else(named)
    }

    /// The layout files that were typed, for the history.
    #[must_use]
    pub fn typed(&self) -> Option<String> {
        let names: Vec<_> = self.named.iter().map(|f| f.to_string_lossy()).collect();
        (!names.is_empty()).then(|| names.join(","))
    }

    /// The layout files that were typed.
    pub fn paths(&self) -> impl Iterator<Item = &Path> {
        self.named.iter().map(PathBuf::as_path)
    }
}
