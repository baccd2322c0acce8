//! Patterns sampled on a grid, as readings and as a file.

use crate::error::Result;
use crate::limits::Limits;
use crate::model::{EqualAngleGrid, Mark, Polarisation, Quantity, Reading, Readings, Value};
use crate::table::pattern::Pattern;
use crate::unit::level;
use std::fmt::Write as _;

/// What the samples of a pattern are scaled to.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub enum Level {
    /// EIRP with this TRP, dBm.
    TrpDbm(f64),
    /// EIRP with this peak, dBm.
    PeakDbm(f64),
    /// EIS with this TIS, dBm.
    TisDbm(f64),
    /// EIS with this value in each polarisation, dBm; for the isotropic pattern.
    EachEisDbm(f64),
}

/// A pattern on a grid.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub struct SampledPattern {
    /// The pattern.
    pub pattern: Pattern,
    /// Where it is sampled.
    pub grid: EqualAngleGrid,
    /// True where φ = 360° is written again behind φ = 0°.
    pub repeat_seam: bool,
    /// What it is scaled to.
    pub level: Level,
}

impl SampledPattern {
    /// A pattern on a grid.
    #[must_use]
    pub fn new(pattern: Pattern, grid: EqualAngleGrid, level: Level) -> Self {
        Self {
            pattern,
            grid,
            repeat_seam: false,
            level,
        }
    }

    /// EIRP or EIS.
    #[must_use]
    pub fn quantity(&self) -> Quantity {
        match self.level {
            Level::TrpDbm(_) | Level::PeakDbm(_) => Quantity::Eirp,
            Level::TisDbm(_) | Level::EachEisDbm(_) => Quantity::Eis,
        }
    }

    /// θ, φ in degrees and the two polarisations in W, ring by ring. An EIS in a null is ∞.
    pub fn samples(&self) -> impl Iterator<Item = (f64, f64, [f64; 2])> + '_ {
        let columns = self.grid.phi_count() + usize::from(self.repeat_seam);
        (0..self.grid.rings()).flat_map(move |ring| {
            (0..columns).map(move |column| {
                let (theta_deg, phi_deg) = (self.grid.theta_deg(ring), self.grid.phi_deg(column));
                let power = self.pattern.power(theta_deg, phi_deg);
                (theta_deg, phi_deg, power.map(|p| self.scaled(p)))
            })
        })
    }

    fn scaled(&self, power: f64) -> f64 {
        let sensitivity = |tis_w: f64| {
            if power > 0.0 {
                tis_w * self.pattern.mean() / power
            } else {
                f64::INFINITY
            }
        };
        match self.level {
            Level::TrpDbm(dbm) => level::w_from_dbm(dbm) / self.pattern.mean() * power,
            Level::PeakDbm(dbm) => level::w_from_dbm(dbm) * power,
            Level::TisDbm(dbm) => sensitivity(level::w_from_dbm(dbm)),
            Level::EachEisDbm(dbm) => sensitivity(level::w_from_dbm(dbm) / 2.0),
        }
    }

    /// The samples as readings.
    ///
    /// # Errors
    /// As [`Readings::push`].
    pub fn readings(&self, name: &str) -> Result<Readings> {
        let limits = Limits::default();
        let mut readings = Readings::new(name, self.quantity(), &limits);
        let frequency = readings.frequency_index(None, &limits)?;
        for (theta_deg, phi_deg, values) in self.samples() {
            for (polarisation, value) in [Polarisation::Theta, Polarisation::Phi]
                .into_iter()
                .zip(values)
            {
                readings.push(Reading {
                    frequency,
                    theta_deg,
                    phi_deg,
                    polarisation,
                    value: Value::Power(value),
                    mark: if value.is_finite() {
                        Mark::Exact
                    } else {
                        Mark::AtLeast
                    },
                    line: 0,
                })?;
            }
        }
        Ok(readings)
    }

    /// The samples as a canonical readings file, in W with all their digits.
    #[must_use]
    pub fn csv(&self) -> String {
        let quantity = self.quantity();
        let mut text = format!("theta_deg,phi_deg,{quantity}_theta_w,{quantity}_phi_w\n");
        for (theta_deg, phi_deg, [theta, phi]) in self.samples() {
            // Writing to a string does not fail.
            let _ = writeln!(text, "{theta_deg},{phi_deg},{theta:e},{phi:e}");
        }
        text
    }
}
