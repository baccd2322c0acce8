//! Partial figures over a window in θ. They keep the divisor 4π.
//!
//! Near horizon ±α is θ = 90°−α … 90°+α. The `_ratio` of a window is its share of the whole-sphere figure of the *same*
//! family, in dB: half-weighted edges with the sine rule, exact edges with Clenshaw–Curtis. For sensitivities it is the ratio of
//! the integrals of 1/EIS. Source: F3, F3b; CTIA OTA test plan (from memory).

use crate::figure::trp::NO_SCALE;
use crate::figure::{Channel, Figure, Part, Spec, Unit, is_eirp, is_eis, never_optional};
use crate::model::Quantity;
use crate::rule::Window;
use crate::uncertainty::ratio;

/// Name of each window with the name of its share.
const WINDOWS: &[(&str, &str, Window)] = &[
    ("nhprp_45", "nhprp_45_ratio", Window::near_horizon(45.0)),
    ("nhprp_30", "nhprp_30_ratio", Window::near_horizon(30.0)),
    ("nhprp_22_5", "nhprp_22_5_ratio", Window::near_horizon(22.5)),
    ("uhrp", "uhrp_ratio", UPPER),
    ("lhrp", "lhrp_ratio", LOWER),
    ("nhpis_45", "nhpis_45_ratio", Window::near_horizon(45.0)),
    ("nhpis_30", "nhpis_30_ratio", Window::near_horizon(30.0)),
    ("nhpis_22_5", "nhpis_22_5_ratio", Window::near_horizon(22.5)),
    ("uhis", "uhis_ratio", UPPER),
    (
        "pigs",
        "pigs_ratio",
        Window {
            from_deg: 0.0,
            to_deg: 120.0,
        },
    ),
];

const UPPER: Window = Window {
    from_deg: 0.0,
    to_deg: 90.0,
};
const LOWER: Window = Window {
    from_deg: 90.0,
    to_deg: 180.0,
};

/// The window that a figure integrates over; `None` for other figures.
#[must_use]
pub fn window_of(name: &str) -> Option<Window> {
    WINDOWS.iter().find(|w| w.0 == name).map(|w| w.2)
}

/// The windows of all figures.
#[must_use]
pub fn windows() -> Vec<Window> {
    WINDOWS.iter().map(|w| w.2).collect()
}

pub(super) const SPECS: &[Spec] = &[
    power("nhprp_45", "near-horizon partial radiated power, ±45°"),
    share("nhprp_45_ratio", "its share of the TRP", is_eirp),
    power("nhprp_30", "near-horizon partial radiated power, ±30°"),
    share("nhprp_30_ratio", "its share of the TRP", is_eirp),
    power("nhprp_22_5", "near-horizon partial radiated power, ±22.5°"),
    share("nhprp_22_5_ratio", "its share of the TRP", is_eirp),
    power("uhrp", "upper-hemisphere radiated power"),
    share("uhrp_ratio", "its share of the TRP", is_eirp),
    power("lhrp", "lower-hemisphere radiated power"),
    share("lhrp_ratio", "its share of the TRP", is_eirp),
    sensitivity(
        "nhpis_45",
        "near-horizon partial isotropic sensitivity, ±45°",
    ),
    share(
        "nhpis_45_ratio",
        "its share of the integral of 1/EIS",
        is_eis,
    ),
    sensitivity(
        "nhpis_30",
        "near-horizon partial isotropic sensitivity, ±30°",
    ),
    share(
        "nhpis_30_ratio",
        "its share of the integral of 1/EIS",
        is_eis,
    ),
    sensitivity(
        "nhpis_22_5",
        "near-horizon partial isotropic sensitivity, ±22.5°",
    ),
    share(
        "nhpis_22_5_ratio",
        "its share of the integral of 1/EIS",
        is_eis,
    ),
    sensitivity("uhis", "upper-hemisphere isotropic sensitivity"),
    share("uhis_ratio", "its share of the integral of 1/EIS", is_eis),
    sensitivity(
        "pigs",
        "partial isotropic sensitivity for satellite navigation, θ 0…120°",
    ),
    share("pigs_ratio", "its share of the integral of 1/EIS", is_eis),
];

const fn power(name: &'static str, meaning: &'static str) -> Spec {
    Spec {
        name,
        meaning,
        unit: Unit::Dbm,
        applies: is_eirp,
        optional: never_optional,
        compute: compute_power,
    }
}

const fn sensitivity(name: &'static str, meaning: &'static str) -> Spec {
    Spec {
        name,
        meaning,
        unit: Unit::Dbm,
        applies: is_eis,
        optional: never_optional,
        compute: compute_sensitivity,
    }
}

const fn share(name: &'static str, meaning: &'static str, applies: fn(Quantity) -> bool) -> Spec {
    Spec {
        name,
        meaning,
        unit: Unit::Db,
        applies,
        optional: never_optional,
        compute: compute_share,
    }
}

fn compute_power(channel: &Channel<'_>, name: &'static str) -> Figure {
    if channel.quantity() == Quantity::Relative {
        return Figure::refused(name, Unit::Dbm, NO_SCALE);
    }
    match channel.window(Part::Total, window_of(name).unwrap_or(Window::WHOLE)) {
        Ok(i) => Figure::from_linear(name, Unit::Dbm, i.value, i.lower, i.upper)
            .integrated_by(&i)
            .uncertain(i.value, &i.standard),
        Err(no) => channel.refused(name, Unit::Dbm, &no),
    }
}

fn compute_sensitivity(channel: &Channel<'_>, name: &'static str) -> Figure {
    match channel.window(Part::Total, window_of(name).unwrap_or(Window::WHOLE)) {
        Ok(i) => Figure::from_reciprocal(name, i.value, i.lower, i.upper)
            .integrated_by(&i)
            .uncertain_reciprocal(i.value, &i.standard),
        Err(no) => channel.refused_sensitivity(name, &no),
    }
}

fn compute_share(channel: &Channel<'_>, name: &'static str) -> Figure {
    let window = WINDOWS
        .iter()
        .find(|w| w.1 == name)
        .map_or(Window::WHOLE, |w| w.2);
    let part = match channel.window(Part::Total, window) {
        Ok(i) => i,
        Err(no) => return Figure::refused(name, Unit::Db, no.reason),
    };
    match channel.whole_by(Part::Total, part.rule) {
        Ok(whole) => {
            let covariance = part
                .edges
                .map_or(0.0, |e| channel.noise_covariance(window, e, part.rule));
            let standard = ratio::share(
                (part.value, &part.standard),
                (whole.value, &whole.standard),
                covariance,
            );
            let mut figure = super::ratio(name, Unit::Db, &part, &whole)
                .uncertain(part.value / whole.value, &standard);
            figure.edges = part.edges;
            // A part of the whole is not more than the whole.
            if let Some(value) = figure.value {
                figure.upper = Some(figure.upper.unwrap_or(0.0).min(0.0).max(value));
            }
            figure
        }
        Err(no) => Figure::refused(name, Unit::Db, no.reason),
    }
}
