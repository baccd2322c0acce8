//! Options that say how runs are reduced.

use super::{NoiseArgs, by_its_parser};
use clap::Args;
use spheresum_core::correct::{Floor, RangeLoss};
use spheresum_core::fill::Fill;
use spheresum_core::reduce::ReduceOptions;
use spheresum_core::rule::{EdgesChoice, RuleChoice};

/// How runs are reduced.
#[derive(Debug, Args)]
#[command(next_help_heading = "Reducing")]
pub struct ReducingArgs {
    /// Range loss of each polarisation, positive dB: a file with frequency_mhz,loss_theta_db,loss_phi_db, a Touchstone file with
    /// --range-path, or the two numbers.
    #[arg(long, value_name = "FILE|theta=DB,phi=DB")]
    pub range: Option<String>,
    /// Which transfers of a Touchstone range file are the paths of the polarisations, such as theta=S21,phi=S31; ports=N says
    /// how many ports it has, where it does not.
    #[arg(long, value_name = "theta=S21,phi=S31", requires = "range")]
    pub range_path: Option<String>,
    /// Integration rule: auto, sine or clenshaw-curtis. auto is sine on 15° and 30° grids and where a pole was not measured.
    #[arg(long, value_name = "RULE", default_value = "auto", hide_default_value = true, value_parser = by_its_parser::<RuleChoice>)]
    pub rule: RuleChoice,
    /// Form of partial windows: auto, half or exact.
    #[arg(long, value_name = "FORM", default_value = "auto", hide_default_value = true, value_parser = by_its_parser::<EdgesChoice>)]
    pub edges: EdgesChoice,
    /// How missing directions are filled: cuts (along them, in linear power), harmonic (by spherical harmonics fitted to all readings), auto
    /// (whichever predicts readings next to the gap better) or none.
    #[arg(long, value_name = "METHOD", default_value = "auto", hide_default_value = true, value_parser = by_its_parser::<Fill>)]
    pub fill: Fill,
    /// Most of the sphere that may be missing before its figures are refused; 10 unless given.
    #[arg(long, value_name = "PERCENT", allow_negative_numbers = true)]
    pub max_missing: Option<f64>,
    /// Largest distance of a direction from the nominal axes, degrees; 0.1 unless given.
    #[arg(long, value_name = "DEG", allow_negative_numbers = true)]
    pub snap_deg: Option<f64>,
    /// Conducted power at the antenna port: gives the total efficiency.
    #[arg(long, value_name = "X", allow_negative_numbers = true)]
    pub conducted_power_dbm: Option<f64>,
    /// Power that the antenna accepts: gives gain and the radiation efficiency.
    #[arg(long, value_name = "X", allow_negative_numbers = true)]
    pub accepted_power_dbm: Option<f64>,
    /// Diameter of the smallest sphere around all of the device that radiates: a directivity that it cannot have is told.
    #[arg(long, value_name = "X")]
    pub device_size_mm: Option<f64>,
    /// EIS at which links were lost where the file says `inf`.
    #[arg(long, value_name = "X", allow_negative_numbers = true)]
    pub eis_max_dbm: Option<f64>,
    /// Only these figures, such as trp,nhprp_30. Their refusal gives exit status 4.
    #[arg(long, value_name = "NAME,…", value_delimiter = ',')]
    pub figures: Vec<String>,
    /// Options about noise.
    #[command(flatten)]
    pub noise: NoiseArgs,
}

impl ReducingArgs {
    /// The range loss and the noise floor as they were typed: each may be a file.
    #[must_use]
    pub fn corrections(&self) -> [Option<&str>; 2] {
        [self.range.as_deref(), self.noise.floor.as_deref()]
    }

    /// The options of a reduction, with the range loss and the noise floor once they are read.
    #[must_use]
    pub fn options(&self, range: Option<RangeLoss>, floor: Option<Floor>) -> ReduceOptions {
        let mut options = ReduceOptions::default();
        options.rule = self.rule;
        options.edges = self.edges;
        options.fill = self.fill;
        options.max_missing_percent = self.max_missing.unwrap_or(options.max_missing_percent);
        options.snap_deg = self.snap_deg.unwrap_or(options.snap_deg);
        options.range = range;
        options.floor = floor;
        options.noise = self.noise.options();
        options.eis_max_dbm = self.eis_max_dbm;
        options.conducted_power_dbm = self.conducted_power_dbm;
        options.accepted_power_dbm = self.accepted_power_dbm;
        options.device_size_mm = self.device_size_mm;
        options.name_figures(self.figures.iter().map(String::as_str));
        options
    }
}
