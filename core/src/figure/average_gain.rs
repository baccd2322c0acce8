//! Average gain over the sphere, dBi: the mean of the gain over 4π.
//!
//! For readings of EIRP it is TRP over the accepted power. Over the whole sphere it equals the radiation efficiency in dB. Source:
//! F14, IEEE 145 (from memory).

use crate::figure::{Channel, Figure, Part, Spec, Unit};
use crate::model::Quantity;

pub(super) const SPECS: &[Spec] = &[Spec {
    name: "average_gain",
    meaning: "mean gain over the sphere",
    unit: Unit::Dbi,
    applies: |q| matches!(q, Quantity::Gain | Quantity::Eirp),
    optional: super::needs_accepted_power,
    compute,
}];

fn compute(channel: &Channel<'_>, name: &'static str) -> Figure {
    let reference = match (channel.quantity(), channel.setting.given.accepted_power_w) {
        (Quantity::Gain, _) => 1.0,
        (_, Some(accepted)) => accepted,
        (_, None) => return Figure::refused(name, Unit::Dbi, super::efficiency::NO_ACCEPTED_POWER),
    };
    match channel.whole(Part::Total) {
        Ok(i) => {
            let by = |x: f64| x / reference;
            Figure::from_linear(
                name,
                Unit::Dbi,
                by(i.value),
                i.lower.map(by),
                i.upper.map(by),
            )
            .integrated_by(&i)
            .uncertain(by(i.value), &i.standard.scaled(1.0 / reference))
        }
        Err(no) => {
            let by = |x: f64| x / reference;
            let scaled = crate::figure::NoIntegral {
                lower: no.lower.map(by),
                upper: no.upper.map(by),
                ..no
            };
            channel.refused(name, Unit::Dbi, &scaled)
        }
    }
}
