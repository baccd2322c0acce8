//! Curve: values against frequency, where there are no directions.

use crate::error::{Error, Result};
use crate::model::sample::Polarisation;
use crate::unit::Frequency;

/// Values against frequency by polarisation, such as the range loss of each polarisation in dB.
///
/// Points are kept in ascending frequency.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Curve {
    source: String,
    theta_db: Vec<(Frequency, f64)>,
    phi_db: Vec<(Frequency, f64)>,
}

impl Curve {
    /// A curve without points.
    #[must_use]
    pub fn new(source: &str) -> Self {
        Self {
            source: source.to_string(),
            theta_db: Vec::new(),
            phi_db: Vec::new(),
        }
    }

    /// Adds a point, dB.
    ///
    /// # Errors
    /// Input: a value that is not finite, or a frequency that is there already. Usage: [`Polarisation::Total`].
    pub fn push(
        &mut self,
        polarisation: Polarisation,
        frequency: Frequency,
        value_db: f64,
    ) -> Result<()> {
        if !value_db.is_finite() {
            return Err(Error::input("a value of the curve is not a finite number"));
        }
        let points = match polarisation {
            Polarisation::Theta => &mut self.theta_db,
            Polarisation::Phi => &mut self.phi_db,
            Polarisation::Total => {
                return Err(Error::usage(
                    "a loss belongs to one polarisation, theta or phi",
                ));
            }
        };
        match points.binary_search_by_key(&frequency, |p| p.0) {
            Ok(_) => Err(Error::input(format!("{frequency} is given twice"))
                .hint("keep one line a frequency, or average the repeats first")),
            Err(at) => {
                points.insert(at, (frequency, value_db));
                Ok(())
            }
        }
    }

    /// Name of the source.
    #[must_use]
    pub fn source(&self) -> &str {
        &self.source
    }

    /// Points of a polarisation in ascending frequency: (frequency, dB). Empty for [`Polarisation::Total`].
    #[must_use]
    pub fn points(&self, polarisation: Polarisation) -> &[(Frequency, f64)] {
        match polarisation {
            Polarisation::Theta => &self.theta_db,
            Polarisation::Phi => &self.phi_db,
            Polarisation::Total => &[],
        }
    }
}
