//! What a run is going to measure.

use crate::assemble::{MAX_INTERVALS, MIN_PHI_COUNT};
use crate::error::{Error, Result};
use crate::limits::Limits;
use crate::model::{EqualAngleGrid, Layout, Quantity};
use crate::unit::Frequency;

/// A step divides a turn where it does so to this share: a third of a degree may be written with six digits.
const DIVIDES: f64 = 1e-5;

/// What a run is going to measure: one quantity on an equal-angle grid, poles included, at some frequencies, in theta and phi or as
/// their total.
#[derive(Clone, Debug, PartialEq)]
pub struct Plan {
    source: String,
    quantity: Quantity,
    grid: EqualAngleGrid,
    layout: Layout,
    frequencies: Vec<Option<Frequency>>,
}

impl Plan {
    /// Theta and phi at one frequency that is not named, on the grid with these steps, degrees, and φ from 0°.
    ///
    /// # Errors
    /// - Usage: a θ step that does not divide 180°, a φ step that does not divide 360°, or fewer than 3 rings or 3 angles φ;
    /// - Limit: a step below 0.05°;
    /// - Unsupported: fields, and powers without scale, whose figures are ratios.
    pub fn try_new(quantity: Quantity, theta_step_deg: f64, phi_step_deg: f64) -> Result<Self> {
        if quantity.is_complex() || quantity == Quantity::Relative {
            return Err(Error::unsupported(format!(
                "readings of {quantity} have no running figures"
            ))
            .hint(
                "give powers, gains or sensitivities, or reduce the readings when all are there",
            ));
        }
        let intervals = steps("θ", theta_step_deg, 180.0, 2)?;
        let columns = steps("φ", phi_step_deg, 360.0, MIN_PHI_COUNT)?;
        Ok(Self {
            source: "running".to_string(),
            quantity,
            grid: EqualAngleGrid::try_new(intervals, columns, 0.0)?,
            layout: Layout::ThetaPhi,
            frequencies: vec![None],
        })
    }

    /// With the name that stands in messages; `running` otherwise.
    #[must_use]
    pub fn named(mut self, source: &str) -> Self {
        self.source = source.to_string();
        self
    }

    /// At these frequencies.
    ///
    /// # Errors
    /// Usage: none, or one of them twice.
    pub fn at(mut self, frequencies: &[Frequency]) -> Result<Self> {
        let mut sorted = frequencies.to_vec();
        sorted.sort_unstable();
        if sorted.is_empty() || sorted.windows(2).any(|w| w[0] == w[1]) {
            return Err(
                Error::usage("a plan names at least one frequency, and each once")
                    .hint("leave the frequencies out where there is one that is not known"),
            );
        }
        self.frequencies = frequencies.iter().copied().map(Some).collect();
        Ok(self)
    }

    /// With readings of these polarisations: theta and phi apart, or their total alone.
    #[must_use]
    pub fn of(mut self, layout: Layout) -> Self {
        self.layout = layout;
        self
    }

    /// With φ from this angle on, degrees, below one step.
    ///
    /// # Errors
    /// Usage: an angle that is not in 0° … one φ step.
    pub fn from_phi(mut self, phi_start_deg: f64) -> Result<Self> {
        let grid = self.grid;
        self.grid = EqualAngleGrid::try_new(grid.intervals(), grid.phi_count(), phi_start_deg)?;
        Ok(self)
    }

    /// The name that stands in messages.
    #[must_use]
    pub fn source(&self) -> &str {
        &self.source
    }

    /// What the readings are readings of.
    #[must_use]
    pub fn quantity(&self) -> Quantity {
        self.quantity
    }

    /// The grid.
    #[must_use]
    pub fn grid(&self) -> &EqualAngleGrid {
        &self.grid
    }

    /// The polarisations.
    #[must_use]
    pub fn layout(&self) -> Layout {
        self.layout
    }

    /// The frequencies in the order in which they were given; `None` is not known.
    #[must_use]
    pub fn frequencies(&self) -> &[Option<Frequency>] {
        &self.frequencies
    }

    /// Index of a frequency.
    ///
    /// # Errors
    /// Usage: a frequency that was not declared.
    pub fn frequency_index(&self, frequency: Option<Frequency>) -> Result<usize> {
        let at = self.frequencies.iter().position(|f| *f == frequency);
        at.ok_or_else(|| {
            let named = frequency.map_or_else(|| "no frequency".to_string(), |f| f.to_string());
            Error::usage(format!("{named} is not in the plan"))
                .hint("declare every frequency before the first reading")
        })
    }

    /// Number of samples of one polarisation at one frequency: every direction once, a pole as one.
    #[must_use]
    pub fn directions(&self) -> usize {
        (self.grid.intervals() - 1) * self.grid.phi_count() + 2
    }

    /// # Errors
    /// Limit: more frequencies or samples than allowed.
    pub(super) fn check(&self, limits: &Limits) -> Result<()> {
        if self.frequencies.len() > limits.max_frequencies {
            return Err(Error::limit(format!(
                "more than {} different frequencies",
                limits.max_frequencies
            ))
            .hint("raise the limit, or plan fewer frequencies"));
        }
        let samples = (self.grid.rings() * self.grid.phi_count())
            .checked_mul(self.layout.polarisations().len() * self.frequencies.len());
        if samples.is_none_or(|n| n > limits.max_samples) {
            return Err(Error::limit(format!(
                "the plan has more than {} samples",
                limits.max_samples
            ))
            .hint("raise the limit on samples, or plan fewer frequencies at a time"));
        }
        Ok(())
    }
}

/// Number of steps in a turn.
fn steps(axis: &str, step_deg: f64, turn_deg: f64, least: usize) -> Result<usize> {
    let count = turn_deg / step_deg;
    let whole = count.round();
    // Also refuses what is not a number.
    if !(step_deg > 0.0 && count.is_finite() && (count / whole - 1.0).abs() <= DIVIDES) {
        return Err(Error::usage(format!(
            "a {axis} step of {step_deg}° does not divide {turn_deg}°"
        ))
        .hint("equal steps from pole to pole and around: such as 15° for both"));
    }
    if whole < least as f64 {
        return Err(Error::usage(format!(
            "a {axis} step of {step_deg}° is too coarse for a sphere"
        ))
        .hint(format!("at most {}°", turn_deg / least as f64)));
    }
    if whole > MAX_INTERVALS as f64 * turn_deg / 180.0 {
        return Err(Error::limit(format!(
            "a {axis} step of {step_deg}° is finer than {}°",
            180.0 / MAX_INTERVALS as f64
        ))
        .hint("plan a coarser grid"));
    }
    Ok(whole as usize)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::error::Group;
    use crate::model::FieldScale;

    #[test]
    fn steps_divide() {
        for (theta, phi, directions) in [(15.0, 15.0, 266), (30.0, 30.0, 62), (7.5, 7.5, 1106)] {
            // 3GPP TS 38.521-2 M.1, M.2.1 and M.4.5: unique directions of constant-step grids.
            let plan = Plan::try_new(Quantity::Eirp, theta, phi).unwrap();
            assert_eq!(plan.directions(), directions);
        }
        let third = Plan::try_new(Quantity::Eirp, 0.333_333, 120.0).unwrap();
        assert_eq!(third.grid().intervals(), 540);
        let group = |theta, phi| {
            let error = Plan::try_new(Quantity::Eirp, theta, phi).unwrap_err();
            assert!(error.advice().is_some(), "{error}");
            error.group()
        };
        for wrong in [
            (7.0, 15.0),
            (15.0, 7.0),
            (0.0, 15.0),
            (-15.0, 15.0),
            (f64::NAN, 15.0),
            (f64::INFINITY, 15.0),
            (15.0, f64::NAN),
            (180.0, 15.0),
            (15.0, 180.0),
            (1e-320, 15.0),
        ] {
            assert_eq!(group(wrong.0, wrong.1), Group::Usage, "{wrong:?}");
        }
        assert_eq!(group(0.01, 15.0), Group::Limit);
        assert_eq!(group(15.0, 0.01), Group::Limit);
    }

    #[test]
    fn what_cannot_run_is_refused() {
        for quantity in [Quantity::Field(FieldScale::SqrtWatt), Quantity::Relative] {
            let error = Plan::try_new(quantity, 15.0, 15.0).unwrap_err();
            assert_eq!(error.group(), Group::Unsupported);
        }
        let plan = || Plan::try_new(Quantity::Eirp, 15.0, 15.0).unwrap();
        let f = Frequency::from_hz(1e9).unwrap();
        assert!(plan().at(&[]).is_err());
        assert!(plan().at(&[f, f]).is_err());
        assert!(plan().from_phi(15.0).is_err());
        assert!(plan().from_phi(f64::NAN).is_err());
        let good = plan().at(&[f]).unwrap();
        assert_eq!(good.frequency_index(Some(f)).unwrap(), 0);
        assert!(good.frequency_index(None).is_err());
        let mut limits = Limits::small();
        assert!(good.check(&limits).is_ok());
        limits.max_samples = 623;
        assert_eq!(good.check(&limits).unwrap_err().group(), Group::Limit);
        limits.max_samples = 624;
        assert!(good.check(&limits).is_ok());
        limits.max_frequencies = 0;
        assert_eq!(good.check(&limits).unwrap_err().group(), Group::Limit);
    }
}
