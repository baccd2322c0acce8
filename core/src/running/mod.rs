//! Running reduction: figures while the positioner still moves, so that an acquisition can warn or stop early.
//!
//! It begins with a [`Plan`] of quantity, grid, frequencies and polarisations. Readings are added in any order; at any time
//! [`Running::figures`] gives each figure with
//!
//! - a value from what is measured: every sample that was not read counts as the mean of the samples of its polarisation that were, by
//!   the weights of the rule. That is the sum over the measured part, with the weights scaled to the whole.
//!   Of a peak it is the largest sum of what was read in a direction;
//! - a lower bound, with what was not read at zero;
//! - an upper bound, with what was not read at the largest reading so far of either polarisation at that frequency. This is an
//!   assumption, and `bounds_assume` names it.
//!
//! Of sensitivities 1/EIS is what integrates, so that the bounds change places: the lower bound of a TIS is the better side, as in
//! every reduction. Until each polarisation has a reading, value and upper bound (of a sensitivity: value and lower bound) are
//! `None`.
//!
//! As samples that were not read come in, the lower bound never falls; nor does the upper rise while the largest reading stays the same
//! and has a bound itself. A direction that is read again is averaged, as assembly does, and may move both. An exact window has rings with
//! a negative weight: what was not read there counts as the largest reading in its lower bound, which then holds by the same assumption.
//!
//! A pole is one direction. It counts once both polarisations were read at one φ, or one of them all around: theta at one φ and phi at another
//! do not tell its total (at the end, where there is nothing better, assembly takes them for it).
//!
//! [`Running::finish`] is the reduction of the same readings as if they had been read from a file, to the last bit. Filling, findings and a
//! noise floor wait for it: until then a floor is not taken off.

mod add;
mod figures;
mod heard;
mod now;
mod plan;
mod progress;
#[cfg(test)]
mod tests;

use crate::correct::range;
use crate::error::{Error, Result};
use crate::figure::{self, Figure};
use crate::limits::Limits;
use crate::model::{Grid, Quantity, Readings};
use crate::reduce::{ReduceOptions, Reduction, reduce_readings, wanted};
use crate::rule::{Edges, EdgesChoice, Rule, RuleChoice, WeightTable, half_with_clenshaw_curtis};
use crate::unit::level;
use figures::Making;
use heard::Heard;
pub use plan::Plan;
pub use progress::Progress;

/// A reduction that runs along with the measurement.
///
/// ```
/// use spheresum_core::{Limits, Mark, Polarisation, Quantity, Reading, Value};
/// use spheresum_core::reduce::ReduceOptions;
/// use spheresum_core::running::{Plan, Running};
///
/// let plan = Plan::try_new(Quantity::Eirp, 30.0, 30.0)?;
/// let mut running = Running::begin(plan, ReduceOptions::default(), &Limits::default())?;
/// // A z dipole with 0 dBm TRP: EIRP = 1.5 mW sin²θ, all of it in theta. The cuts of the first half turn.
/// for i in 0..=6 {
///     for j in 0..6 {
///         let theta_deg = 30.0 * f64::from(i);
///         let sine = theta_deg.to_radians().sin();
///         for (polarisation, power) in [(Polarisation::Theta, 1.5e-3 * sine * sine), (Polarisation::Phi, 0.0)] {
///             running.add(Reading {
///                 frequency: 0,
///                 theta_deg,
///                 phi_deg: 30.0 * f64::from(j),
///                 polarisation,
///                 value: Value::Power(power),
///                 mark: Mark::Exact,
///                 line: 0,
///             })?;
///         }
///     }
/// }
/// let figures = running.figures(0)?;
/// let trp = figures.iter().find(|f| f.name == "trp");
/// // The dipole is the same all around: half a turn tells the value, which the sine rule reads 0.0044 dB high on a 30° grid.
/// assert!(trp.and_then(|f| f.value).is_some_and(|v| (v - 0.00436).abs() < 1e-5));
/// // With the other half turn at zero, half of it is left.
/// assert!(trp.and_then(|f| f.lower).is_some_and(|v| (v + 3.00594).abs() < 1e-5));
/// assert!(trp.and_then(|f| f.upper).is_some_and(|v| v > 0.00436));
/// # Ok::<(), spheresum_core::Error>(())
/// ```
#[derive(Clone, Debug)]
pub struct Running {
    plan: Plan,
    grid: Grid,
    options: ReduceOptions,
    limits: Limits,
    readings: Readings,
    /// By frequency of the plan: its index in the readings, once it has one.
    known: Vec<Option<usize>>,
    heard: Vec<Heard>,
    /// By frequency and polarisation: what the range loss multiplies what integrates by.
    factors: Vec<Vec<f64>>,
    making: Making,
}

impl Running {
    /// Begins a run. The figures are those of the options, or all, as far as they run: integrals over the sphere and over windows, and
    /// peaks. A rule that is left open is that of the plan's grid, poles read.
    ///
    /// # Errors
    /// What would keep the run from its end:
    /// - Usage: options that contradict each other, or do not belong to the quantity; a figure name that is unknown or does not
    ///   exist for it;
    /// - Domain: no range loss for readings that need one, a frequency outside of the loss's, different losses on a total alone;
    /// - Limit: more frequencies or samples than allowed.
    pub fn begin(plan: Plan, options: ReduceOptions, limits: &Limits) -> Result<Self> {
        plan.check(limits)?;
        options.check()?;
        if !(options.snap_deg > 0.0 && options.snap_deg <= 10.0) {
            return Err(Error::usage(format!(
                "snap distance {}° is not in 0…10°",
                options.snap_deg
            )));
        }
        let loss = range::wanted(plan.quantity(), options.range.as_ref())?;
        let quantity = loss.map_or(plan.quantity(), |(quantity, _)| quantity);
        if options.eis_max_dbm.is_some() && quantity != Quantity::Eis {
            return Err(Error::usage(
                "a largest EIS was given for readings that are no sensitivities",
            )
            .hint("leave out --eis-max-dbm"));
        }
        let mut factors = Vec::with_capacity(plan.frequencies().len());
        for frequency in plan.frequencies() {
            let mut here = Vec::new();
            for polarisation in plan.layout().polarisations() {
                here.push(match loss {
                    Some((_, loss)) => level::ratio_from_db(loss.in_layout(
                        plan.layout(),
                        *polarisation,
                        *frequency,
                    )?),
                    None => 1.0,
                });
            }
            factors.push(here);
        }
        let rule = match options.rule {
            RuleChoice::Fixed(rule) => rule,
            RuleChoice::Auto => Rule::auto(plan.grid(), true),
        };
        if rule == Rule::ClenshawCurtis && options.edges == EdgesChoice::Fixed(Edges::Half) {
            return Err(half_with_clenshaw_curtis());
        }
        let making = Making {
            names: figures::running(&wanted(quantity, &options)?),
            quantity,
            weights: WeightTable::new(plan.grid().intervals(), &figure::windows()),
            rule,
            edges: options.edges,
            given: options.given(),
            has_floor: options.floor.is_some(),
        };
        let frequencies = plan.frequencies().len();
        Ok(Self {
            grid: Grid::EqualAngle(*plan.grid()),
            readings: Readings::new(plan.source(), plan.quantity(), limits),
            known: vec![None; frequencies],
            heard: vec![Heard::new(plan.layout()); frequencies],
            limits: limits.clone(),
            plan,
            options,
            factors,
            making,
        })
    }

    /// The figures of a frequency of the plan as they stand: see the [module](self) for value and bounds. A figure without value is
    /// `Refused`, with the reason.
    ///
    /// The cost is that of looking at every sample of the frequency once.
    ///
    /// # Errors
    /// Usage: no such frequency.
    pub fn figures(&self, frequency: usize) -> Result<Vec<Figure>> {
        let (Some(heard), Some(factors)) = (self.heard.get(frequency), self.factors.get(frequency))
        else {
            return Err(
                Error::usage(format!("the plan has no frequency {frequency}"))
                    .hint("give the index of a frequency of the plan, from 0"),
            );
        };
        let lost = self.options.eis_max_dbm.map(|x| 1.0 / level::w_from_dbm(x));
        let now = heard.now(self.plan.grid(), self.plan.layout(), factors, lost);
        Ok(self.making.figures(&self.grid, &now))
    }

    /// How far the run is: by frequency of the plan, and by polarisation within it.
    #[must_use]
    pub fn progress(&self) -> Vec<Progress> {
        let planned = self.plan.directions();
        let mut all = Vec::new();
        for (frequency, heard) in self.plan.frequencies().iter().zip(&self.heard) {
            for (p, polarisation) in self.plan.layout().polarisations().iter().enumerate() {
                let (read, readings) = heard.count(p);
                all.push(Progress {
                    frequency_hz: *frequency,
                    polarisation: *polarisation,
                    read,
                    planned,
                    readings,
                });
            }
        }
        all
    }

    /// True once every sample of the plan has a reading.
    #[must_use]
    pub fn is_complete(&self) -> bool {
        self.progress().iter().all(Progress::is_complete)
    }

    /// What is going to be measured.
    #[must_use]
    pub fn plan(&self) -> &Plan {
        &self.plan
    }

    /// All readings so far, in the order in which they came.
    #[must_use]
    pub fn readings(&self) -> &Readings {
        &self.readings
    }

    /// Gives the readings away.
    #[must_use]
    pub fn into_readings(self) -> Readings {
        self.readings
    }

    /// The reduction of the readings so far: [`reduce_readings`] with the same options. Readings can be added afterwards, and none is
    /// lost where it fails. The grid is that of the readings; a frequency without any has no channel.
    ///
    /// # Errors
    /// As [`reduce_readings`]. Domain: among others, too few directions to tell a grid.
    pub fn finish(&self) -> Result<Reduction> {
        reduce_readings(
            std::slice::from_ref(&self.readings),
            &self.options,
            &self.limits,
        )
    }
}
