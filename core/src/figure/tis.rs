//! Total isotropic sensitivity and its polarisations.
//!
//! 1/TIS = (1/4π)∮(1/EISθ + 1/EISφ)dΩ, a harmonic mean; dBm, smaller is better. Where the link was lost at X, 1/EIS lies between 0
//! and 1/X and counts as 0. Source: F2; CTIA OTA test plan (formula from memory).

use crate::figure::{Channel, Figure, Part, Spec, Unit, is_eis, never_optional};

pub(super) const SPECS: &[Spec] = &[
    spec("tis", "total isotropic sensitivity"),
    spec("tis_theta", "TIS of the theta polarisation alone"),
    spec("tis_phi", "TIS of the phi polarisation alone"),
];

const fn spec(name: &'static str, meaning: &'static str) -> Spec {
    Spec {
        name,
        meaning,
        unit: Unit::Dbm,
        applies: is_eis,
        optional: never_optional,
        compute,
    }
}

fn compute(channel: &Channel<'_>, name: &'static str) -> Figure {
    let part = match name {
        "tis_theta" => Part::Theta,
        "tis_phi" => Part::Phi,
        _ => Part::Total,
    };
    match channel.whole(part) {
        Ok(i) => Figure::from_reciprocal(name, i.value, i.lower, i.upper)
            .integrated_by(&i)
            .uncertain_reciprocal(i.value, &i.standard),
        Err(no) => channel.refused_sensitivity(name, &no),
    }
}
