//! Range loss: from what the instrument saw to what the device did.

use crate::correct::pole::join_poles;
use crate::error::{Error, Result};
use crate::history::Step;
use crate::model::{Curve, Data, Layout, Polarisation, PortMatrix, Quantity, Sphere};
use crate::unit::{Frequency, level};
use std::fmt;
use std::str::FromStr;

/// Path loss of each polarisation, positive dB, from a range reference measurement.
#[derive(Clone, Debug, PartialEq)]
pub enum RangeLoss {
    /// One loss a polarisation, for every frequency.
    Constant {
        /// Loss of the theta polarisation, dB.
        theta_db: f64,
        /// Loss of the phi polarisation, dB.
        phi_db: f64,
    },
    /// Losses against frequency, interpolated in dB and never extrapolated.
    Curve(Curve),
}

impl RangeLoss {
    /// One loss a polarisation.
    ///
    /// # Errors
    /// Usage: a loss that is negative or not finite.
    pub fn constant(theta_db: f64, phi_db: f64) -> Result<Self> {
        for loss in [theta_db, phi_db] {
            check(loss).map_err(Error::usage).map_err(with_sign_hint)?;
        }
        Ok(Self::Constant { theta_db, phi_db })
    }

    /// Losses against frequency.
    ///
    /// # Errors
    /// Input: no points for a polarisation, or a negative loss. Usage: port data of which no one said which transfer is the path
    /// of a polarisation.
    pub fn curve(curve: Curve) -> Result<Self> {
        let place = || crate::Place::in_source(curve.source());
        for polarisation in [Polarisation::Theta, Polarisation::Phi] {
            let points = curve.points(polarisation);
            if points.is_empty() {
                if let Some(ports) = curve.ports() {
                    return Err(no_path(polarisation, ports).at(place()));
                }
                return Err(Error::input(format!("no range loss for the {polarisation} polarisation"))
                    .hint("give loss_theta_db and loss_phi_db; the two polarisations have their own probes and cables")
                    .at(place()));
            }
            for (frequency, loss) in points {
                check(*loss)
                    .map_err(|m| Error::input(format!("{m} ({polarisation}, {frequency})")))
                    .map_err(|e| match curve.ports() {
                        Some(_) => e.hint(
                            "the transfer gains power there; name that of the path without amplifier, or give the losses as a table",
                        ),
                        None => with_sign_hint(e),
                    })
                    .map_err(|e| e.at(place()))?;
            }
        }
        Ok(Self::Curve(curve))
    }

    /// Loss of a polarisation at a frequency, dB.
    ///
    /// # Errors
    /// Domain: the frequency is outside the points, or is unknown while losses are given against frequency.
    pub fn at(&self, polarisation: Polarisation, frequency: Option<Frequency>) -> Result<f64> {
        match self {
            Self::Constant { theta_db, phi_db } => Ok(match polarisation {
                Polarisation::Phi => *phi_db,
                Polarisation::Theta | Polarisation::Total => *theta_db,
            }),
            Self::Curve(curve) => {
                let Some(frequency) = frequency else {
                    return Err(Error::domain(
                        "the range loss is given against frequency, and the readings have none",
                    )
                    .hint(
                        "say the frequency with --frequency-mhz, or give one loss a polarisation",
                    ));
                };
                interpolate(curve.points(polarisation), frequency).ok_or_else(|| {
                    Error::domain(format!("{frequency} is outside the frequencies of the range loss; it is not extrapolated"))
                        .hint("measure the range reference over the whole band")
                })
            }
        }
    }

    /// Loss of a polarisation of a layout at a frequency, dB: a total has that of theta and phi where they are the same.
    ///
    /// # Errors
    /// Domain: as [`RangeLoss::at`]; different losses on a total alone.
    pub(crate) fn in_layout(
        &self,
        layout: Layout,
        polarisation: Polarisation,
        frequency: Option<Frequency>,
    ) -> Result<f64> {
        if layout != Layout::TotalOnly {
            return self.at(polarisation, frequency);
        }
        let theta_db = self.at(Polarisation::Theta, frequency)?;
        if theta_db != self.at(Polarisation::Phi, frequency)? {
            return Err(Error::domain(
                "the total alone cannot be corrected: its polarisations have different losses",
            )
            .hint("export the two polarisations apart"));
        }
        Ok(theta_db)
    }

    /// What theta is multiplied by, over phi, at a frequency; 1 where a loss is not known there.
    pub(crate) fn theta_over_phi(&self, frequency: Option<Frequency>) -> f64 {
        let at = |polarisation| self.at(polarisation, frequency).ok();
        match (at(Polarisation::Theta), at(Polarisation::Phi)) {
            (Some(theta), Some(phi)) => level::ratio_from_db(theta - phi),
            _ => 1.0,
        }
    }
}

impl fmt::Display for RangeLoss {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Constant { theta_db, phi_db } => write!(f, "theta={theta_db},phi={phi_db}"),
            Self::Curve(curve) => f.write_str(curve.source()),
        }
    }
}

impl FromStr for RangeLoss {
    type Err = Error;

    /// From `theta=DB,phi=DB`.
    fn from_str(text: &str) -> Result<Self> {
        let wrong = || {
            Error::usage(format!("{text:?} is no range loss"))
                .hint("write theta=DB,phi=DB with positive dB, or name a file with frequency_mhz,loss_theta_db,loss_phi_db")
        };
        let (mut theta, mut phi) = (None, None);
        for part in text.split(',') {
            let (name, value) = part.split_once('=').ok_or_else(wrong)?;
            let value: f64 = value.trim().parse().map_err(|_| wrong())?;
            let slot = match name.trim() {
                "theta" => &mut theta,
                "phi" => &mut phi,
                _ => return Err(wrong()),
            };
            if slot.replace(value).is_some() {
                return Err(wrong());
            }
        }
        match (theta, phi) {
            (Some(theta), Some(phi)) => Self::constant(theta, phi),
            _ => Err(wrong()),
        }
    }
}

fn check(loss_db: f64) -> std::result::Result<(), String> {
    if loss_db.is_finite() && loss_db >= 0.0 {
        Ok(())
    } else {
        Err(format!("a range loss of {loss_db} dB"))
    }
}

/// Port data hold transfers, and which of them is a polarisation's range path is for a person to say.
fn no_path(polarisation: Polarisation, ports: &PortMatrix) -> Error {
    let most = ports.ports();
    Error::usage(format!(
        "the file holds the transfers of {most} port{}, and none is named as the path of the {polarisation} polarisation",
        if most == 1 { "" } else { "s" }
    ))
    .hint(if most == 1 {
        "a range loss needs a transfer between two ports"
    } else {
        "name the path of each polarisation by the options theta and phi, such as theta=S21,phi=S31 (typed as --range-path theta=S21,phi=S31)"
    })
}

fn with_sign_hint(error: Error) -> Error {
    error.hint("a loss is a positive number of dB that is added to received power; if the file holds gains, change the sign")
}

fn interpolate(points: &[(Frequency, f64)], frequency: Frequency) -> Option<f64> {
    match points.binary_search_by_key(&frequency, |p| p.0) {
        Ok(at) => points.get(at).map(|p| p.1),
        Err(at) => {
            let (low, high) = (points.get(at.checked_sub(1)?)?, points.get(at)?);
            let t = (frequency.hz() - low.0.hz()) / (high.0.hz() - low.0.hz());
            Some(low.1 + t * (high.1 - low.1))
        }
    }
}

/// What a quantity becomes, and the loss that makes it so; `None` where none is to be applied.
///
/// # Errors
/// - Usage: a loss on readings that already are EIRP, EIS, gain or field;
/// - Domain: no loss for readings that need one.
pub(crate) fn wanted(
    quantity: Quantity,
    loss: Option<&RangeLoss>,
) -> Result<Option<(Quantity, &RangeLoss)>> {
    let target = match quantity {
        Quantity::ReceivedPower => Quantity::Eirp,
        Quantity::InstrumentLevel => Quantity::Eis,
        _ if loss.is_some() => {
            return Err(Error::usage(format!("the readings are {quantity} already; a range loss would be counted twice"))
                .hint("leave out --range, or name the columns received_… or level_… if that is what they hold"));
        }
        _ => return Ok(None),
    };
    let Some(loss) = loss else {
        let what = if quantity == Quantity::ReceivedPower {
            "received power becomes EIRP"
        } else {
            "an instrument level becomes EIS"
        };
        return Err(Error::domain(format!("{what} only with the range loss of each polarisation"))
            .hint("give it with --range FILE or --range theta=DB,phi=DB, from a range reference measurement"));
    };
    Ok(Some((target, loss)))
}

/// Applies the range loss: received power becomes EIRP (+ L), instrument level becomes EIS (− L).
///
/// # Errors
/// - Usage: a loss on readings that already are EIRP, EIS, gain or field;
/// - Domain: no loss for readings that need one; a frequency outside the loss's; different losses on a total alone.
pub fn apply(sphere: Sphere, loss: Option<&RangeLoss>) -> Result<(Sphere, Option<Step>)> {
    let Some((target, loss)) = wanted(sphere.quantity(), loss)? else {
        return Ok((sphere, None));
    };
    let mut parts = sphere.into_parts();
    let mut step = Step::new("range").option("range", Some(loss));
    for (f, frequency) in parts.frequencies.iter().enumerate() {
        let mut said = Vec::new();
        for (p, polarisation) in parts.layout.polarisations().iter().enumerate() {
            let loss_db = loss.in_layout(parts.layout, *polarisation, *frequency)?;
            said.push(format!("{polarisation} {loss_db} dB"));
            // EIRP = P·L; 1/EIS = L/level: what integrates is multiplied in both.
            let factor = level::ratio_from_db(loss_db);
            if let Data::Power(values) = &mut parts.data {
                values
                    .index_axis_mut(ndarray::Axis(0), f)
                    .index_axis_mut(ndarray::Axis(0), p)
                    .mapv_inplace(|v| v * factor);
            }
            for bound in parts
                .bounds
                .iter_mut()
                .filter(|b| b.at.0 == f && b.at.1 == p)
            {
                bound.lower *= factor;
                bound.upper = bound.upper.map(|u| u * factor);
            }
        }
        let at = frequency.map_or_else(|| "unknown frequency".to_string(), |f| f.to_string());
        step.note(format!("{at}: {}", said.join(", ")));
    }
    parts.quantity = target;
    join_poles(&mut parts);
    Ok((parts.build()?, Some(step)))
}

#[cfg(test)]
mod tests;
