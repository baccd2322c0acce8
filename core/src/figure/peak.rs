//! Peaks and minima over the directions that were read, with their direction.
//!
//! `peak_eirp` and `min_eirp` are of the sum θ+φ; `best_eis` and `worst_eis` of 1/(1/EISθ + 1/EISφ). A pole counts once and is
//! listed with φ = 0; of equal directions the first is named. Filled directions do not take part. Source: CTIA reporting
//! practice (from memory).

use crate::figure::integral::ESTIMATED;
use crate::figure::trp::NO_SCALE;
use crate::figure::{Channel, Extreme, Figure, Spec, Unit, is_eirp, is_eis, never_optional};
use crate::model::Quantity;

pub(super) const SPECS: &[Spec] = &[
    Spec {
        name: "peak_eirp",
        meaning: "largest EIRP, both polarisations together",
        unit: Unit::Dbm,
        applies: is_eirp,
        optional: never_optional,
        compute: eirp,
    },
    Spec {
        name: "min_eirp",
        meaning: "smallest EIRP, both polarisations together",
        unit: Unit::Dbm,
        applies: is_eirp,
        optional: never_optional,
        compute: eirp,
    },
    Spec {
        name: "best_eis",
        meaning: "best EIS, both polarisations together",
        unit: Unit::Dbm,
        applies: is_eis,
        optional: never_optional,
        compute: eis,
    },
    Spec {
        name: "worst_eis",
        meaning: "worst EIS, both polarisations together",
        unit: Unit::Dbm,
        applies: is_eis,
        optional: never_optional,
        compute: eis,
    },
    Spec {
        name: "peak_gain",
        meaning: "largest gain, both polarisations together",
        unit: Unit::Dbi,
        applies: |q| matches!(q, Quantity::Gain | Quantity::Eirp),
        optional: super::needs_accepted_power,
        compute: gain,
    },
];

/// What is said where nothing was read in both polarisations.
pub(super) const NOTHING_READ: &str = "no direction was read in both polarisations";
/// What is said where a pattern rises into a gap.
pub(super) const RISES: &str = "the pattern rises into a gap, so that the peak may lie in it; measure the directions that the finding names";
const ASSUME: &str =
    "directions that were not read lie between zero and the largest reading that borders their gap";
const ASSUME_COMPLETE: &str =
    "every direction of the grid was read; between them the pattern may be higher or lower";

/// What bounds leave out: these figures have no interval of noise.
const NOISE_ASIDE: &str = "noise aside";

fn assume(channel: &Channel<'_>, unread: usize) -> String {
    let mut parts = vec![if unread == 0 { ASSUME_COMPLETE } else { ASSUME }];
    if let Some(noise) = &channel.setting.noise {
        if noise.is_estimated {
            parts.push(ESTIMATED);
        }
        parts.push(NOISE_ASIDE);
    }
    parts.join("; ")
}

fn named(channel: &Channel<'_>, mut figure: Figure, at: Extreme, unread: usize) -> Figure {
    figure.bounds_assume = Some(assume(channel, unread));
    match channel.sphere.grid().direction(at.direction) {
        Some(d) => figure.in_direction(d.theta_deg, d.phi_deg),
        None => figure,
    }
}

fn eirp(channel: &Channel<'_>, name: &'static str) -> Figure {
    if channel.quantity() == Quantity::Relative {
        return Figure::refused(name, Unit::Dbm, NO_SCALE);
    }
    let Some(e) = channel.extremes() else {
        return Figure::refused(name, Unit::Dbm, NOTHING_READ);
    };
    if name == "min_eirp" {
        let figure = Figure::from_linear(
            name,
            Unit::Dbm,
            e.smallest.value,
            Some(e.smallest_lower),
            e.smallest_upper,
        );
        return named(channel, figure, e.smallest, e.unread);
    }
    if channel.rises_into_gap {
        return refused_peak(name, Unit::Dbm, e.largest_lower);
    }
    let figure = Figure::from_linear(
        name,
        Unit::Dbm,
        e.largest.value,
        Some(e.largest_lower),
        e.largest_upper,
    );
    named(channel, figure, e.largest, e.unread)
}

fn refused_peak(name: &str, unit: Unit, lower: f64) -> Figure {
    let mut figure = Figure::refused(name, unit, RISES);
    figure.lower = (lower > 0.0).then(|| unit.of_linear(lower));
    figure.bounds_assume = Some("a reading in one direction cannot exceed the peak".to_string());
    figure
}

fn eis(channel: &Channel<'_>, name: &'static str) -> Figure {
    let Some(e) = channel.extremes() else {
        return Figure::refused(name, Unit::Dbm, NOTHING_READ);
    };
    if name == "worst_eis" {
        let figure = Figure::from_reciprocal(
            name,
            e.smallest.value,
            Some(e.smallest_lower),
            e.smallest_upper,
        );
        return named(channel, figure, e.smallest, e.unread);
    }
    if channel.rises_into_gap {
        let mut figure =
            Figure::from_reciprocal(name, e.largest_lower, Some(e.largest_lower), None);
        figure.state = crate::figure::FigureState::Refused;
        figure.value = None;
        figure.reason = Some(RISES.to_string());
        return figure;
    }
    let figure = Figure::from_reciprocal(
        name,
        e.largest.value,
        Some(e.largest_lower),
        e.largest_upper,
    );
    named(channel, figure, e.largest, e.unread)
}

fn gain(channel: &Channel<'_>, name: &'static str) -> Figure {
    let reference = match (channel.quantity(), channel.setting.given.accepted_power_w) {
        (Quantity::Gain, _) => 1.0,
        (_, Some(accepted)) => accepted,
        (_, None) => return Figure::refused(name, Unit::Dbi, super::efficiency::NO_ACCEPTED_POWER),
    };
    let Some(e) = channel.extremes() else {
        return Figure::refused(name, Unit::Dbi, NOTHING_READ);
    };
    if channel.rises_into_gap {
        return refused_peak(name, Unit::Dbi, e.largest_lower / reference);
    }
    let figure = Figure::from_linear(
        name,
        Unit::Dbi,
        e.largest.value / reference,
        Some(e.largest_lower / reference),
        e.largest_upper.map(|u| u / reference),
    );
    named(channel, figure, e.largest, e.unread)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use crate::correct::{Detector, Floor, FloorSource, Signal};
    use crate::figure::integral::ESTIMATED;
    use crate::limits::Limits;
    use crate::reduce::{ReduceOptions, reduce_readings};
    use crate::table::SPHERES;

    #[test]
    fn what_an_estimated_floor_took_off_may_be_signal() {
        let sphere = SPHERES
            .iter()
            .find(|s| s.name == "ds2_xdipole_15deg")
            .unwrap();
        let readings = sphere.readings().unwrap();
        let mut options = ReduceOptions::default();
        let raw = reduce_readings(
            std::slice::from_ref(&readings),
            &options,
            &Limits::default(),
        )
        .unwrap();
        options.floor = Some(Floor::new(
            FloorSource::Estimated,
            Detector::Rms,
            Signal::Cw,
        ));
        let corrected = reduce_readings(&[readings], &options, &Limits::default()).unwrap();
        for name in ["peak_eirp", "min_eirp"] {
            let (raw, corrected) = (&raw.channels[0], &corrected.channels[0]);
            let raw = raw.figure(name).unwrap().value.unwrap();
            let figure = corrected.figure(name).unwrap();
            assert!(
                (figure.upper.unwrap() - raw).abs() < 1e-9,
                "{figure:?} {raw}"
            );
            let assume = figure.bounds_assume.as_deref().unwrap();
            assert!(
                assume.contains(ESTIMATED) && assume.ends_with("noise aside"),
                "{assume}"
            );
        }
    }
}
