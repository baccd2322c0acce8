//! Curve: values against frequency, where there are no directions.

mod ports;

pub use ports::{Parameter, PortMatrix, PortPair, PortUnit};

use crate::error::{Error, Result};
use crate::model::sample::Polarisation;
use crate::unit::{Frequency, level};

/// Values against frequency: the range loss of each polarisation in dB, and network parameters by port pair.
///
/// Points are kept in ascending frequency. A curve may hold port data without any point: which transfer is the path of which
/// polarisation is for a person to say ([`Curve::push_path`]).
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Curve {
    source: String,
    theta_db: Vec<(Frequency, f64)>,
    phi_db: Vec<(Frequency, f64)>,
    #[cfg_attr(feature = "serde", serde(skip_serializing_if = "Option::is_none"))]
    ports: Option<PortMatrix>,
}

impl Curve {
    /// A curve without points.
    #[must_use]
    pub fn new(source: &str) -> Self {
        Self {
            source: source.to_string(),
            theta_db: Vec::new(),
            phi_db: Vec::new(),
            ports: None,
        }
    }

    /// A curve of port data, without points.
    #[must_use]
    pub fn of_ports(source: &str, ports: PortMatrix) -> Self {
        Self {
            ports: Some(ports),
            ..Self::new(source)
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

    /// Adds the loss of a transfer of the port data as the points of a polarisation: −20·log10|S|, dB. With the references of
    /// the two ports it is the ratio of the power that goes in to the power that comes out, both matched.
    ///
    /// # Errors
    /// Usage: no port data, a pair that they do not have, a reflection, or [`Polarisation::Total`]. Unsupported: parameters other
    /// than S. Input: a transfer of 0, which has no finite loss; points that are there already.
    pub fn push_path(&mut self, polarisation: Polarisation, pair: PortPair) -> Result<()> {
        let Some(ports) = &self.ports else {
            return Err(Error::usage(
                "the curve has no port data to take a path from",
            ));
        };
        if ports.parameter() != Parameter::S {
            return Err(Error::unsupported(format!(
                "a loss is taken from S-parameters, and these are {}-parameters",
                ports.parameter().letter()
            ))
            .hint("export the network as S-parameters"));
        }
        if ports.value(0, pair).is_none() {
            return Err(
                Error::usage(format!("S{pair} is not there: {} ports", ports.ports()))
                    .hint("name a transfer between two of the ports"),
            );
        }
        if pair.is_reflection() {
            return Err(
                Error::usage(format!("S{pair} is a reflection, not a transfer"))
                    .hint("the range path leads from one port to another, such as S21"),
            );
        }
        let losses: Vec<(Frequency, f64)> = ports
            .magnitudes(pair)
            .map(|(f, magnitude)| (f, -level::db_from_wave(magnitude)))
            .collect();
        for (frequency, loss_db) in losses {
            self.push(polarisation, frequency, loss_db)?;
        }
        Ok(())
    }

    /// Network parameters by port pair, where the source holds them.
    #[must_use]
    pub fn ports(&self) -> Option<&PortMatrix> {
        self.ports.as_ref()
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

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::error::Group;
    use crate::unit::frequency::FrequencyUnit;
    use num_complex::Complex64;

    fn curve(parameter: Parameter, s21: f64) -> Option<Curve> {
        let frequency = Frequency::parse("868.3", FrequencyUnit::Mhz)?;
        let values = [0.3, 0.01, s21, 0.3].map(|re| Complex64::new(0.0, re));
        let matrix = PortMatrix::new(parameter, vec![50.0; 2], vec![frequency], values.to_vec());
        matrix.ok().map(|m| Curve::of_ports("t", m))
    }

    fn push(
        parameter: Parameter,
        s21: f64,
        polarisation: Polarisation,
        to: usize,
    ) -> Result<Curve> {
        let mut curve = curve(parameter, s21).ok_or_else(|| Error::input("no curve"))?;
        curve.push_path(polarisation, PortPair { to, from: 1 })?;
        Ok(curve)
    }

    #[test]
    fn a_path_becomes_a_loss() {
        // Closed form: a wave ratio of 0.001 is −60 dB, a loss of 60 dB.
        let curve = push(Parameter::S, 1e-3, Polarisation::Phi, 2).unwrap();
        assert!(curve.points(Polarisation::Theta).is_empty());
        let points = curve.points(Polarisation::Phi);
        assert_eq!(points.len(), 1);
        assert!((points[0].1 - 60.0).abs() < 1e-12);
    }

    #[test]
    fn what_is_no_path() {
        use Polarisation::{Theta, Total};
        for (parameter, s21, polarisation, to, group) in [
            (Parameter::S, 0.1, Theta, 1, Group::Usage),
            (Parameter::S, 0.1, Theta, 3, Group::Usage),
            (Parameter::S, 0.1, Total, 2, Group::Usage),
            (Parameter::S, 0.0, Theta, 2, Group::Input),
            (Parameter::Z, 0.1, Theta, 2, Group::Unsupported),
        ] {
            let error = push(parameter, s21, polarisation, to).unwrap_err();
            assert_eq!(error.group(), group, "{error}");
        }
        let pair = PortPair { to: 2, from: 1 };
        assert!(Curve::new("t").push_path(Theta, pair).is_err());
    }
}
