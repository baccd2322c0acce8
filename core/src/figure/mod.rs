//! Figures of merit, one a file.
//!
//! Each file has a `SPECS` list that says what the figure is called, for which quantities it exists, and how it is computed from a
//! [`Channel`]. [`pages`] has a page for each: definition, formula, source, limits, and the rows that prove it.

mod average_gain;
mod channel;
mod directivity;
mod efficiency;
mod extremes;
mod integral;
mod interval;
pub mod pages;
mod peak;
mod polarisation_ratio;
mod ring_noise;
mod rings;
#[cfg(test)]
pub(crate) mod samples;
mod summary;
#[cfg(test)]
mod tests;
mod tis;
mod trp;
mod window;

pub use channel::{Channel, Given, Part, Setting};
pub use extremes::{Extreme, Extremes};
pub use integral::{Integral, NoIntegral};
pub use ring_noise::NoiseEffect;
pub use summary::{summarise, summarised_by};
pub use window::{window_of, windows};

use crate::model::Quantity;
use crate::rule::{Edges, Rule};
use crate::unit::level;

/// Whether a figure has a value.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(rename_all = "kebab-case"))]
#[non_exhaustive]
pub enum FigureState {
    /// It has one.
    Value,
    /// The linear value is exactly 0.
    Zero,
    /// The linear value is below 0, as after noise subtraction: only an upper bound can be given.
    NotAboveZero,
    /// The data cannot support it; the reason says why.
    Refused,
}

/// Unit of a figure.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub enum Unit {
    /// Decibels over one milliwatt.
    #[cfg_attr(feature = "serde", serde(rename = "dBm"))]
    Dbm,
    /// Decibels.
    #[cfg_attr(feature = "serde", serde(rename = "dB"))]
    Db,
    /// Decibels over an isotropic antenna.
    #[cfg_attr(feature = "serde", serde(rename = "dBi"))]
    Dbi,
    /// Per cent.
    #[cfg_attr(feature = "serde", serde(rename = "%"))]
    Percent,
}

impl Unit {
    /// The unit's symbol.
    #[must_use]
    pub const fn symbol(self) -> &'static str {
        match self {
            Self::Dbm => "dBm",
            Self::Db => "dB",
            Self::Dbi => "dBi",
            Self::Percent => "%",
        }
    }

    /// From linear (W or ratio) to this unit.
    #[must_use]
    pub fn of_linear(self, linear: f64) -> f64 {
        match self {
            Self::Dbm => level::dbm_from_w(linear),
            Self::Db | Self::Dbi => level::db_from_ratio(linear),
            Self::Percent => 100.0 * linear,
        }
    }

    /// From this unit to linear (W or ratio).
    #[must_use]
    pub fn to_linear(self, value: f64) -> f64 {
        match self {
            Self::Dbm => level::w_from_dbm(value),
            Self::Db | Self::Dbi => level::ratio_from_db(value),
            Self::Percent => value / 100.0,
        }
    }
}

/// Contributions to a figure's uncertainty, dB. A part that is unknown is `None`, never 0.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[non_exhaustive]
pub struct UncertaintyParts {
    /// Noise of the readings.
    pub noise: Option<f64>,
    /// Filling of gaps.
    pub gaps: Option<f64>,
    /// The grid's own error.
    pub grid: Option<f64>,
    /// The laboratory's budget.
    pub budget: Option<f64>,
}

/// A figure of merit with state, unit and bounds.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[non_exhaustive]
pub struct Figure {
    /// Its name, such as `trp`.
    pub name: String,
    /// Whether it has a value.
    pub state: FigureState,
    /// The value in `unit`.
    pub value: Option<f64>,
    /// The unit of value, bounds and interval.
    pub unit: Unit,
    /// The rule that it was integrated with.
    pub rule: Option<Rule>,
    /// The form of a partial window.
    pub edges: Option<Edges>,
    /// Not less than this, under `bounds_assume`. For sensitivities this is the better side.
    pub lower: Option<f64>,
    /// Not more than this, under `bounds_assume`; `None`: no bound is known.
    pub upper: Option<f64>,
    /// What the bounds rest on.
    pub bounds_assume: Option<String>,
    /// Lower end of a statistical interval.
    pub interval_lower: Option<f64>,
    /// Upper end of a statistical interval.
    pub interval_upper: Option<f64>,
    /// Probability that the interval covers the true value.
    pub coverage: Option<f64>,
    /// Standard uncertainty, dB.
    pub standard_uncertainty_db: Option<f64>,
    /// Where the uncertainty comes from.
    pub uncertainty_parts: UncertaintyParts,
    /// Direction that the figure belongs to.
    pub theta_deg: Option<f64>,
    /// Direction that the figure belongs to; 0 at a pole.
    pub phi_deg: Option<f64>,
    /// Why it was refused.
    pub reason: Option<String>,
}

impl Figure {
    /// A figure without value.
    #[must_use]
    pub fn refused(name: &str, unit: Unit, reason: impl Into<String>) -> Self {
        Self {
            name: name.to_string(),
            state: FigureState::Refused,
            value: None,
            unit,
            rule: None,
            edges: None,
            lower: None,
            upper: None,
            bounds_assume: None,
            interval_lower: None,
            interval_upper: None,
            coverage: None,
            standard_uncertainty_db: None,
            uncertainty_parts: UncertaintyParts::default(),
            theta_deg: None,
            phi_deg: None,
            reason: Some(reason.into()),
        }
    }

    /// A figure from linear value and bounds (W or ratio). `upper` is `None` where nothing bounds it.
    #[must_use]
    pub fn from_linear(
        name: &str,
        unit: Unit,
        linear: f64,
        lower: Option<f64>,
        upper: Option<f64>,
    ) -> Self {
        let mut figure = Self::with_state_of(name, unit, linear);
        figure.value = above_zero(Some(linear), |x| unit.of_linear(x));
        // A percentage of 0 is a number; a level of 0 W has no decibels.
        if unit == Unit::Percent && linear == 0.0 {
            figure.value = Some(0.0);
        }
        figure.lower = above_zero(lower, |x| unit.of_linear(x));
        figure.upper = above_zero(upper, |x| unit.of_linear(x));
        figure
    }

    /// A sensitivity from what integrates (1/W): value and bounds are reciprocals, so that the bounds change places.
    #[must_use]
    pub fn from_reciprocal(
        name: &str,
        inverse: f64,
        lower: Option<f64>,
        upper: Option<f64>,
    ) -> Self {
        let to_dbm = |q: f64| level::dbm_from_w(1.0 / q);
        let mut figure = Self::with_state_of(name, Unit::Dbm, inverse);
        figure.value = above_zero(Some(inverse), to_dbm);
        figure.lower = above_zero(upper, to_dbm);
        figure.upper = above_zero(lower, to_dbm);
        figure
    }

    /// A figure without value yet, with the state that its linear value has.
    fn with_state_of(name: &str, unit: Unit, linear: f64) -> Self {
        let mut figure = Self::refused(name, unit, "");
        figure.reason = None;
        figure.state = if linear > 0.0 {
            FigureState::Value
        } else if linear == 0.0 {
            FigureState::Zero
        } else {
            FigureState::NotAboveZero
        };
        figure
    }

    /// With the rule and window form of an integral, and what its bounds assume.
    #[must_use]
    pub fn integrated_by(mut self, integral: &Integral) -> Self {
        self.rule = Some(integral.rule);
        self.edges = integral.edges;
        self.bounds_assume = Some(integral.assume.clone());
        self
    }

    /// With a direction.
    #[must_use]
    pub fn in_direction(mut self, theta_deg: f64, phi_deg: f64) -> Self {
        self.theta_deg = Some(theta_deg);
        self.phi_deg = Some(phi_deg);
        self
    }

    /// True where it has a value.
    #[must_use]
    pub fn has_value(&self) -> bool {
        self.state == FigureState::Value
    }
}

/// Converts what is above zero; nothing else has decibels.
fn above_zero(value: Option<f64>, convert: impl Fn(f64) -> f64) -> Option<f64> {
    value.filter(|x| *x > 0.0).map(convert)
}

/// What a figure is called, for which quantities it exists, and how it is computed.
#[derive(Clone, Copy)]
pub struct Spec {
    /// Its name.
    pub name: &'static str,
    /// What it is, one line.
    pub meaning: &'static str,
    /// Its unit.
    pub unit: Unit,
    /// True for the quantities it exists for.
    pub applies: fn(Quantity) -> bool,
    /// True where it is left out unless it is asked for or its inputs are given.
    pub optional: fn(&Given, Quantity) -> bool,
    /// Computes it.
    pub compute: fn(&Channel<'_>, &'static str) -> Figure,
}

/// All figures, in the order in which they are listed.
#[must_use]
pub fn specs() -> Vec<Spec> {
    [
        trp::SPECS,
        tis::SPECS,
        polarisation_ratio::SPECS,
        window::SPECS,
        peak::SPECS,
        directivity::SPECS,
        average_gain::SPECS,
        efficiency::SPECS,
    ]
    .concat()
}

/// The figure that a reduction of a quantity stands or falls with.
#[must_use]
pub fn headline(quantity: Quantity) -> &'static str {
    match quantity {
        Quantity::Eis | Quantity::InstrumentLevel => "tis",
        Quantity::Gain => "average_gain",
        Quantity::Relative | Quantity::Field(_) => "directivity",
        Quantity::Eirp | Quantity::ReceivedPower => "trp",
    }
}

/// Radiated power, gains and relative powers: everything that is not a sensitivity.
fn radiated(quantity: Quantity) -> bool {
    matches!(
        quantity,
        Quantity::Eirp | Quantity::Gain | Quantity::Relative
    )
}

fn is_eirp(quantity: Quantity) -> bool {
    matches!(quantity, Quantity::Eirp | Quantity::Relative)
}

fn is_eis(quantity: Quantity) -> bool {
    quantity == Quantity::Eis
}

fn never_optional(_: &Given, _: Quantity) -> bool {
    false
}

/// Gains of a radiated power need to know what the antenna accepted; measured gains do not.
fn needs_accepted_power(given: &Given, quantity: Quantity) -> bool {
    quantity != Quantity::Gain && given.accepted_power_w.is_none()
}

/// Ratio of two integrals with the widest bounds.
fn ratio(name: &str, unit: Unit, over: &Integral, under: &Integral) -> Figure {
    if under.value <= 0.0 {
        return Figure::refused(name, unit, "the denominator is not above zero");
    }
    let by =
        |x: Option<f64>, y: Option<f64>| x.zip(y).filter(|(_, y)| *y > 0.0).map(|(x, y)| x / y);
    let mut figure = Figure::from_linear(
        name,
        unit,
        over.value / under.value,
        by(over.lower, under.upper),
        by(over.upper, under.lower),
    )
    .integrated_by(over);
    figure.edges = None;
    figure
}
