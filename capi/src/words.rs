//! Numbers that stand for the words of the trade.

use crate::error::SpheresumError;
use spheresum_core::model::FieldScale;
use spheresum_core::{Group, Polarisation, Quantity};

/// Quantity: effective isotropic radiated power in a direction, dBm or W.
pub const SPHERESUM_QUANTITY_EIRP: i32 = 1;
/// Quantity: effective isotropic sensitivity in a direction, dBm or W.
pub const SPHERESUM_QUANTITY_EIS: i32 = 2;
/// Quantity: antenna gain in a direction, dBi or a ratio.
pub const SPHERESUM_QUANTITY_GAIN: i32 = 3;
/// Quantity: power at the receiver, before the range loss, dBm or W.
pub const SPHERESUM_QUANTITY_RECEIVED: i32 = 4;
/// Quantity: what the instrument sent when the link just held, before the range loss, dBm or W.
pub const SPHERESUM_QUANTITY_LEVEL: i32 = 5;
/// Quantity: complex field, whose squared size is EIRP in W.
pub const SPHERESUM_QUANTITY_FIELD_SQRTW: i32 = 6;
/// Quantity: complex field times distance, V (rms).
pub const SPHERESUM_QUANTITY_FIELD_V: i32 = 7;
/// Quantity: complex field without scale.
pub const SPHERESUM_QUANTITY_FIELD: i32 = 8;
/// Quantity: power without scale. Results only.
pub const SPHERESUM_QUANTITY_RELATIVE: i32 = 9;

/// Polarisation: theta.
pub const SPHERESUM_POLARISATION_THETA: i32 = 0;
/// Polarisation: phi.
pub const SPHERESUM_POLARISATION_PHI: i32 = 1;
/// Polarisation: the sum of both.
pub const SPHERESUM_POLARISATION_TOTAL: i32 = 2;

/// Unit of levels: decibels, dBm of powers and sensitivities, dBi of gains.
pub const SPHERESUM_UNIT_DECIBEL: i32 = 0;
/// Unit of levels: linear, W of powers and sensitivities, a ratio of gains.
pub const SPHERESUM_UNIT_LINEAR: i32 = 1;

/// Every quantity with its number.
const QUANTITIES: [(i32, Quantity); 9] = [
    (SPHERESUM_QUANTITY_EIRP, Quantity::Eirp),
    (SPHERESUM_QUANTITY_EIS, Quantity::Eis),
    (SPHERESUM_QUANTITY_GAIN, Quantity::Gain),
    (SPHERESUM_QUANTITY_RECEIVED, Quantity::ReceivedPower),
    (SPHERESUM_QUANTITY_LEVEL, Quantity::InstrumentLevel),
    (
        SPHERESUM_QUANTITY_FIELD_SQRTW,
        Quantity::Field(FieldScale::SqrtWatt),
    ),
    (
        SPHERESUM_QUANTITY_FIELD_V,
        Quantity::Field(FieldScale::Volt),
    ),
    (
        SPHERESUM_QUANTITY_FIELD,
        Quantity::Field(FieldScale::Relative),
    ),
    (SPHERESUM_QUANTITY_RELATIVE, Quantity::Relative),
];

/// The quantity that a caller means.
pub(crate) fn quantity(number: i32) -> Result<Quantity, SpheresumError> {
    let found = QUANTITIES
        .iter()
        .find(|q| q.0 == number && q.1 != Quantity::Relative);
    found.map(|q| q.1).ok_or_else(|| {
        SpheresumError::of(Group::Usage, &format!("there is no quantity {number}"))
            .field("quantity")
            .hint("use one of the constants SPHERESUM_QUANTITY_...")
    })
}

/// The number of a quantity; 0 for one that has none.
pub(crate) fn number_of(quantity: Quantity) -> i32 {
    let found = QUANTITIES.iter().find(|q| q.1 == quantity);
    found.map_or(0, |q| q.0)
}

/// The polarisation that a caller means.
pub(crate) fn polarisation(number: i32) -> Result<Polarisation, SpheresumError> {
    match number {
        SPHERESUM_POLARISATION_THETA => Ok(Polarisation::Theta),
        SPHERESUM_POLARISATION_PHI => Ok(Polarisation::Phi),
        SPHERESUM_POLARISATION_TOTAL => Ok(Polarisation::Total),
        _ => Err(
            SpheresumError::of(Group::Usage, &format!("there is no polarisation {number}"))
                .field("polarisation")
                .hint("use one of the constants SPHERESUM_POLARISATION_..."),
        ),
    }
}

/// The number of a polarisation.
pub(crate) fn number_of_polarisation(polarisation: Polarisation) -> i32 {
    match polarisation {
        Polarisation::Theta => SPHERESUM_POLARISATION_THETA,
        Polarisation::Phi => SPHERESUM_POLARISATION_PHI,
        Polarisation::Total => SPHERESUM_POLARISATION_TOTAL,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_and_words_belong_together() {
        for (number, of) in QUANTITIES {
            assert_eq!(number_of(of), number);
            assert_eq!(quantity(number).is_ok(), of != Quantity::Relative);
        }
        for bad in [0, -1, 10, i32::MAX, i32::MIN] {
            assert_eq!(quantity(bad).unwrap_err().code(), 2000);
        }
        for number in 0..3 {
            assert_eq!(
                number_of_polarisation(polarisation(number).unwrap()),
                number
            );
        }
        assert!(polarisation(3).is_err() && polarisation(-1).is_err());
    }
}
