//! Efficiencies, per cent: TRP over a power that was given.
//!
//! Total efficiency: over the conducted power at the port. Radiation efficiency: over the power that the antenna accepts. Source: F14,
//! IEEE 145 (from memory).

use crate::figure::{Channel, Figure, Given, NoIntegral, Part, Spec, Unit};
use crate::model::Quantity;

pub(super) const SPECS: &[Spec] = &[
    Spec {
        name: "total_efficiency",
        meaning: "TRP over the conducted power",
        unit: Unit::Percent,
        applies: |q| q == Quantity::Eirp,
        optional: |given: &Given, _| given.conducted_power_w.is_none(),
        compute,
    },
    Spec {
        name: "radiation_efficiency",
        meaning: "TRP over the accepted power",
        unit: Unit::Percent,
        applies: |q| q == Quantity::Eirp,
        optional: super::needs_accepted_power,
        compute,
    },
];

/// What is said where the accepted power is needed.
pub(super) const NO_ACCEPTED_POWER: &str =
    "give the power that the antenna accepts (--accepted-power-dbm)";
const NO_CONDUCTED_POWER: &str =
    "give the conducted power at the antenna port (--conducted-power-dbm)";

fn compute(channel: &Channel<'_>, name: &'static str) -> Figure {
    let (reference, missing) = if name == "total_efficiency" {
        (channel.setting.given.conducted_power_w, NO_CONDUCTED_POWER)
    } else {
        (channel.setting.given.accepted_power_w, NO_ACCEPTED_POWER)
    };
    let Some(reference) = reference else {
        return Figure::refused(name, Unit::Percent, missing);
    };
    let by = |x: f64| x / reference;
    match channel.whole(Part::Total) {
        Ok(i) => Figure::from_linear(
            name,
            Unit::Percent,
            by(i.value),
            i.lower.map(by),
            i.upper.map(by),
        )
        .integrated_by(&i)
        .uncertain(by(i.value), &i.standard.scaled(1.0 / reference)),
        Err(no) => {
            let scaled = NoIntegral {
                lower: no.lower.map(by),
                upper: no.upper.map(by),
                ..no
            };
            channel.refused(name, Unit::Percent, &scaled)
        }
    }
}
