//! Total radiated power and its polarisations.
//!
//! TRP = (1/4π)∮(EIRPθ + EIRPφ)dΩ, the mean of the EIRP over the sphere; dBm. Source: F1; CTIA OTA test plan, 3GPP TS 37.544.

use crate::figure::{Channel, Figure, Part, Spec, Unit, is_eirp, never_optional};
use crate::model::Quantity;

pub(super) const SPECS: &[Spec] = &[
    spec("trp", "total radiated power"),
    spec("trp_theta", "part of the TRP in the theta polarisation"),
    spec("trp_phi", "part of the TRP in the phi polarisation"),
];

const fn spec(name: &'static str, meaning: &'static str) -> Spec {
    Spec {
        name,
        meaning,
        unit: Unit::Dbm,
        applies: is_eirp,
        optional: never_optional,
        compute,
    }
}

/// What is said where a field has no scale.
pub(super) const NO_SCALE: &str = "the field has no scale, so that only ratios can be given; name the columns field_…_sqrtw or field_…_v";

fn compute(channel: &Channel<'_>, name: &'static str) -> Figure {
    if channel.quantity() == Quantity::Relative {
        return Figure::refused(name, Unit::Dbm, NO_SCALE);
    }
    let part = match name {
        "trp_theta" => Part::Theta,
        "trp_phi" => Part::Phi,
        _ => Part::Total,
    };
    match channel.whole(part) {
        Ok(i) => Figure::from_linear(name, Unit::Dbm, i.value, i.lower, i.upper)
            .integrated_by(&i)
            .uncertain(i.value, &i.standard),
        Err(no) => channel.refused(name, Unit::Dbm, &no),
    }
}
