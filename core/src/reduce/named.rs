//! Options of a reduction by name, in any order.

use crate::assemble::check_snap_deg;
use crate::correct::floor_parts::{FloorParts, without_floor};
use crate::correct::{FloorSource, RangeLoss};
use crate::error::{Error, Result};
use crate::named::{OptionName, find, number};
use crate::reduce::{ReduceOptions, figures};

/// The options of a reduction that have a name.
pub const OPTION_NAMES: &[OptionName] = &[
    OptionName::new("rule", "auto, sine or clenshaw-curtis", "Integration rule."),
    OptionName::new("edges", "auto, half or exact", "Form of partial windows."),
    OptionName::new(
        "fill",
        "auto, cuts, harmonic or none",
        "How missing directions are filled.",
    ),
    OptionName::new(
        "max-missing",
        "per cent, 0 to 100",
        "Most of the sphere that may be missing before its figures are refused.",
    ),
    OptionName::new(
        "snap-deg",
        "degrees, above 0, at most 10",
        "Largest distance of a direction from the nominal axes.",
    ),
    OptionName::new(
        "conducted-power-dbm",
        "dBm, -300 to 300",
        "Conducted power at the antenna port: gives the total efficiency.",
    ),
    OptionName::new(
        "accepted-power-dbm",
        "dBm, -300 to 300",
        "Power that the antenna accepts: gives gain and the radiation efficiency.",
    ),
    OptionName::new(
        "device-size-mm",
        "mm, above 0, below 1e6",
        "Diameter of the smallest sphere around all of the device that radiates.",
    ),
    OptionName::new(
        "eis-max-dbm",
        "dBm, -300 to 300",
        "EIS at which links were lost whose level is unknown.",
    ),
    OptionName::new(
        "figures",
        "names with commas between them, such as trp,nhprp_30",
        "Only these figures.",
    ),
    OptionName::new(
        "range",
        "theta=DB,phi=DB, positive",
        "Range loss of each polarisation, for every frequency.",
    ),
    OptionName::new(
        "floor",
        "dBm, theta=DBM,phi=DBM or estimated",
        "Noise floor that is taken off.",
    ),
    OptionName::new("detector", "rms or log", "What the receiver averages."),
    OptionName::new("signal", "cw or noise-like", "What the device sends."),
    OptionName::new(
        "averages",
        "a number, 1 or more",
        "Independent averages in each reading, of every run.",
    ),
    OptionName::new(
        "floor-averages",
        "a number, 1 or more",
        "Independent averages in a floor that is given as levels.",
    ),
    OptionName::new(
        "noise-clear",
        "dB, 0.001 to 100",
        "Largest raw bias of a run that is clear of noise.",
    ),
    OptionName::new(
        "noise-limit",
        "dB, 0.001 to 100",
        "Largest half-width of the 95 % interval of a run that noise does not limit.",
    ),
    OptionName::new(
        "target-uncertainty",
        "dB, 0.001 to 100",
        "Standard uncertainty by noise that a slower sweep should reach.",
    ),
    OptionName::new(
        "sweep-minutes",
        "minutes, 0.001 to 1e6",
        "What the present sweep takes.",
    ),
];

/// Options of a reduction that are set one after the other, in any order, by the names in [`OPTION_NAMES`].
///
/// What depends on several of them is checked when all are there, by [`NamedOptions::build`].
///
/// ```
/// use spheresum_core::reduce::NamedOptions;
///
/// let mut named = NamedOptions::new();
/// named.set("detector", "rms")?;
/// named.set("floor", "theta=-91,phi=-92.5")?;
/// let options = named.build()?;
/// assert!(options.floor.is_some());
/// let error = named.set("detecter", "rms").unwrap_err();
/// assert!(error.advice().is_some_and(|a| a.starts_with("did you mean detector?")));
/// # Ok::<(), spheresum_core::Error>(())
/// ```
#[derive(Clone, Debug, Default, PartialEq)]
pub struct NamedOptions {
    options: ReduceOptions,
    floor: FloorParts,
    /// The first option that was set and says nothing without a floor.
    about_noise: Option<&'static str>,
}

impl NamedOptions {
    /// The defaults.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    /// Sets an option; what it was set to before is forgotten. Where that fails nothing changes.
    ///
    /// # Errors
    /// Usage: no option has the name; the value is nothing of its kind, or out of range.
    pub fn set(&mut self, name: &str, value: &str) -> Result<()> {
        let option = find(name, OPTION_NAMES)?;
        let mut new = self.clone();
        new.put(option, value)?;
        new.floor.check()?;
        new.options.check_numbers()?;
        *self = new;
        Ok(())
    }

    /// Sets the range loss, such as one that was read from a file.
    pub fn set_range(&mut self, loss: RangeLoss) {
        self.options.range = Some(loss);
    }

    /// Sets where the noise floor comes from, such as noise-only readings.
    pub fn set_floor(&mut self, source: FloorSource) {
        self.floor.source = Some(source);
    }

    /// The options as they were set.
    ///
    /// # Errors
    /// Usage: what [`FloorParts::build`] and [`ReduceOptions::check`] refuse; an option about noise without a floor.
    pub fn build(&self) -> Result<ReduceOptions> {
        let mut options = self.options.clone();
        options.floor = self.floor.clone().build()?;
        if let (None, Some(name)) = (&options.floor, self.about_noise) {
            return Err(without_floor(name));
        }
        options.check()?;
        Ok(options)
    }

    fn put(&mut self, option: &OptionName, value: &str) -> Result<()> {
        let word = value.trim();
        let of = || number(option, value);
        let (options, floor) = (&mut self.options, &mut self.floor);
        match option.name {
            "rule" => options.rule = word.parse()?,
            "edges" => options.edges = word.parse()?,
            "fill" => options.fill = word.parse()?,
            "max-missing" => options.max_missing_percent = of()?,
            "snap-deg" => {
                options.snap_deg = of()?;
                check_snap_deg(options.snap_deg)?;
            }
            "conducted-power-dbm" => options.conducted_power_dbm = Some(of()?),
            "accepted-power-dbm" => options.accepted_power_dbm = Some(of()?),
            "device-size-mm" => options.device_size_mm = Some(of()?),
            "eis-max-dbm" => options.eis_max_dbm = Some(of()?),
            "figures" => {
                options.name_figures(word.split(','));
                for name in options.figures.iter().flatten() {
                    figures::spec(figures::base(name))?;
                }
            }
            "range" => options.range = Some(spelled_out(word, "range loss")?.parse()?),
            "floor" if word == "estimated" || word.parse::<f64>().is_ok() => {
                floor.source = Some(word.parse()?);
            }
            "floor" => floor.source = Some(spelled_out(word, "noise floor")?.parse()?),
            "detector" => floor.detector = Some(word.parse()?),
            "signal" => floor.signal = Some(word.parse()?),
            "averages" => floor.averages = Some(of()?),
            "floor-averages" => floor.floor_averages = Some(of()?),
            _ => return self.put_noise(option, of()?),
        }
        Ok(())
    }

    fn put_noise(&mut self, option: &OptionName, value: f64) -> Result<()> {
        let noise = &mut self.options.noise;
        match option.name {
            "noise-clear" => noise.clear_db = value,
            "noise-limit" => noise.limit_db = value,
            "target-uncertainty" => noise.target_db = value,
            "sweep-minutes" => noise.sweep_min = Some(value),
            name => return Err(Error::usage(format!("the option {name} cannot be set"))),
        }
        self.about_noise.get_or_insert(option.name);
        Ok(())
    }
}

/// Values of both polarisations, rather than the name of a file: files are read elsewhere.
fn spelled_out<'a>(value: &'a str, what: &str) -> Result<&'a str> {
    if value.contains('=') {
        return Ok(value);
    }
    Err(Error::usage(format!("{value:?} is no {what}"))
        .hint("write theta=…,phi=… in decibels; what a file holds is read first, and handed over as what was read"))
}

#[cfg(test)]
mod tests;
