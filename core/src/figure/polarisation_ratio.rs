//! Ratio of the theta part to the phi part of what was integrated, dB.
//!
//! For radiated quantities TRPθ/TRPφ; for sensitivities the ratio of the integrals of 1/EIS, so that a positive number means more
//! sensitive in theta.

use crate::figure::{Channel, Figure, Part, Spec, Unit, is_eis, never_optional, radiated};
use crate::uncertainty::ratio;

pub(super) const SPECS: &[Spec] = &[Spec {
    name: "polarisation_ratio",
    meaning: "theta part over phi part",
    unit: Unit::Db,
    applies: |q| radiated(q) || is_eis(q),
    optional: never_optional,
    compute,
}];

fn compute(channel: &Channel<'_>, name: &'static str) -> Figure {
    let (theta, phi) = match (channel.whole(Part::Theta), channel.whole(Part::Phi)) {
        (Ok(theta), Ok(phi)) => (theta, phi),
        (Err(no), _) | (_, Err(no)) => return Figure::refused(name, Unit::Db, no.reason),
    };
    let standard = ratio::independent((theta.value, &theta.standard), (phi.value, &phi.standard));
    super::ratio(name, Unit::Db, &theta, &phi).uncertain(theta.value / phi.value, &standard)
}
