//! Spheres that come with the library, and the reader of their few columns.
//!
//! They are canonical readings files. Core has no adapters, so that this reads just what they hold: comma-separated numbers below
//! one of three headings.

use crate::error::Result;
use crate::limits::Limits;
use crate::model::{FieldScale, Mark, Polarisation, Quantity, Reading, Readings, Value};
use crate::table::line::{Piece, lines};
use crate::table::measure::number;
use crate::unit::level;
use num_complex::Complex64;

/// A sphere that comes with the library.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct EmbeddedSphere {
    /// Its name, as tables write it.
    pub name: &'static str,
    /// Its readings file.
    pub csv: &'static str,
}

macro_rules! embedded {
    ($($name:literal),* $(,)?) => {
        &[$(EmbeddedSphere { name: $name, csv: include_str!(concat!("../../tables/spheres/", $name, ".csv")) }),*]
    };
}

/// All spheres that come with the library.
pub const SPHERES: &[EmbeddedSphere] = embedded![
    "ds1_isotropic_15deg",
    "ds2_xdipole_15deg",
    "ds3_halfwave_30deg",
    "ds4_beam_15deg",
    "ds4_beam_5deg",
    "ds5_interferometer_10deg",
    "ds6_eis_xdipole_30deg",
    "ds7_xdipole_noise_15deg",
    "ds8_xdipole_field_15deg",
    "ds8_zdipole_field_15deg",
    "ds8_turnstile_field_15deg",
    "ds8_huygensx_field_15deg",
    "dipole_0_1_wavelength_5deg",
    "dipole_1_wavelength_5deg",
    "dipole_1_25_wavelength_5deg",
    "dipole_1_5_wavelength_2_5deg",
    "cosine_2_15deg",
    "cosine_4_15deg",
    "cosine_12_15deg",
    "cosine_14_15deg",
    "cosine_1_1deg",
    "sine_1_15deg",
    "sine_3_15deg",
    "sine_theta_sine_phi_5deg",
    "sine2_theta_sine_phi_5deg",
    "sine_theta_sine2_phi_5deg",
    "x2y2z2_30deg",
    "x4y2_30deg",
    "x2y2_30deg",
    "hansen_woodyard_2_5deg",
    "binomial_10_2_5deg",
    "line_source_5_wavelengths_2_5deg",
    "piston_ka_1_5deg",
    "piston_ka_10_2_5deg",
    "parabolic_65_65_15deg",
    "parabolic_260_130_10deg",
    "huygens_without_bottom_15deg",
    "xdipole_one_missing_15deg",
    "beam_without_peak_15deg",
    "eis_beam_without_peak_15deg",
    "zdipole_upper_half_15deg",
    "eis_upper_half_15deg",
];

/// The columns behind θ and φ.
#[derive(Clone, Copy)]
enum Columns {
    EirpMilliwatt,
    EisDbm,
    RelativeField,
}

const HEADINGS: [(&str, Columns); 3] = [
    (
        "theta_deg,phi_deg,eirp_theta_mw,eirp_phi_mw",
        Columns::EirpMilliwatt,
    ),
    (
        "theta_deg,phi_deg,eis_theta_dbm,eis_phi_dbm",
        Columns::EisDbm,
    ),
    (
        "theta_deg,phi_deg,field_theta_re,field_theta_im,field_phi_re,field_phi_im",
        Columns::RelativeField,
    ),
];

impl Columns {
    fn quantity(self) -> Quantity {
        match self {
            Self::EirpMilliwatt => Quantity::Eirp,
            Self::EisDbm => Quantity::Eis,
            Self::RelativeField => Quantity::Field(FieldScale::Relative),
        }
    }

    fn count(self) -> usize {
        match self {
            Self::EirpMilliwatt | Self::EisDbm => 4,
            Self::RelativeField => 6,
        }
    }

    /// Values of theta and phi, from the fields behind the two angles.
    fn values(self, fields: &[Piece<'_>]) -> Result<[(Value, Mark); 2]> {
        let at = |i: usize| -> Result<f64> {
            let piece = fields[i];
            number(piece.text)
                .ok_or_else(|| piece.error(format!("{:?} is not a number", piece.text)))
        };
        let power = |i: usize| -> Result<(Value, Mark)> {
            match self {
                Self::EisDbm if fields[i].text == "inf" => {
                    Ok((Value::Power(f64::INFINITY), Mark::AtLeast))
                }
                Self::EisDbm => Ok((Value::Power(level::w_from_dbm(at(i)?)), Mark::Exact)),
                _ => Ok((Value::Power(at(i)? * 1e-3), Mark::Exact)),
            }
        };
        match self {
            Self::EirpMilliwatt | Self::EisDbm => Ok([power(0)?, power(1)?]),
            Self::RelativeField => Ok([
                (Value::Field(Complex64::new(at(0)?, at(1)?)), Mark::Exact),
                (Value::Field(Complex64::new(at(2)?, at(3)?)), Mark::Exact),
            ]),
        }
    }
}

impl EmbeddedSphere {
    /// The sphere of a name; `None` where there is none.
    #[must_use]
    pub fn of(name: &str) -> Option<Self> {
        SPHERES.iter().copied().find(|s| s.name == name)
    }

    /// What its readings are readings of; `None` where the heading is unknown.
    #[must_use]
    pub fn quantity(&self) -> Option<Quantity> {
        let heading = self.csv.lines().find(|l| !l.starts_with('#'))?;
        HEADINGS
            .iter()
            .find(|h| h.0 == heading)
            .map(|h| h.1.quantity())
    }

    /// Its readings.
    ///
    /// # Errors
    /// Input, with the place: a heading that is unknown, a row of another length, a field that is not a number.
    pub fn readings(&self) -> Result<Readings> {
        let limits = Limits::default();
        let mut rows = lines(self.name, self.csv).filter(|l| !l.is_silent());
        let Some(heading) = rows.next() else {
            return Err(crate::Error::input(format!(
                "the sphere {} is empty",
                self.name
            )));
        };
        let Some((_, columns)) = HEADINGS.iter().find(|h| h.0 == heading.text) else {
            return Err(heading
                .whole()
                .error("the columns of this sphere are unknown"));
        };
        let mut readings = Readings::new(self.name, columns.quantity(), &limits);
        let frequency = readings.frequency_index(None, &limits)?;
        for row in rows {
            let fields = row.whole().parts(",", usize::MAX);
            if fields.len() != columns.count() {
                return Err(row
                    .whole()
                    .error(format!("a row has {} fields", columns.count())));
            }
            let angle = |i: usize| -> Result<f64> {
                number(fields[i].text)
                    .ok_or_else(|| fields[i].error("this is not an angle in degrees"))
            };
            let (theta_deg, phi_deg) = (angle(0)?, angle(1)?);
            let values = columns.values(&fields[2..])?;
            for (polarisation, (value, mark)) in [Polarisation::Theta, Polarisation::Phi]
                .into_iter()
                .zip(values)
            {
                readings.push(Reading {
                    frequency,
                    theta_deg,
                    phi_deg,
                    polarisation,
                    value,
                    mark,
                    line: u32::try_from(row.number).unwrap_or(u32::MAX),
                })?;
            }
        }
        Ok(readings)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_sphere_reads() {
        for sphere in SPHERES {
            let readings = sphere.readings();
            assert!(readings.is_ok(), "{}: {readings:?}", sphere.name);
            assert_eq!(readings.ok().map(|r| r.quantity()), sphere.quantity());
        }
    }

    #[test]
    fn bad_rows_are_told_with_their_place() {
        let place = |csv: &'static str| {
            let error = EmbeddedSphere { name: "bad", csv }.readings().err();
            error.and_then(|e| e.place().map(|p| (p.line, p.column)))
        };
        assert_eq!(place("# a: b\ntheta,phi\n"), Some((Some(2), Some(1))));
        let heading = "theta_deg,phi_deg,eirp_theta_mw,eirp_phi_mw\n0,0,1,1\n";
        assert!(place(heading).is_none());
        assert_eq!(
            place("theta_deg,phi_deg,eirp_theta_mw,eirp_phi_mw\n0,0,1,1\n0,15,1,x1\n"),
            Some((Some(3), Some(8)))
        );
        assert_eq!(
            place("theta_deg,phi_deg,eirp_theta_mw,eirp_phi_mw\n0,0,1\n"),
            Some((Some(2), Some(1)))
        );
    }
}
