//! Directivity, dBi: the largest total over the mean over the sphere by the same rule. Source: F14, IEEE 145 (from memory).

use crate::figure::{Channel, Figure, Part, Spec, Unit, is_eis, never_optional, peak, radiated};

pub(super) const SPECS: &[Spec] = &[Spec {
    name: "directivity",
    meaning: "peak over mean",
    unit: Unit::Dbi,
    applies: |q| radiated(q) || is_eis(q),
    optional: never_optional,
    compute,
}];

fn compute(channel: &Channel<'_>, name: &'static str) -> Figure {
    let whole = match channel.whole(Part::Total) {
        Ok(whole) => whole,
        Err(no) => return Figure::refused(name, Unit::Dbi, no.reason),
    };
    let Some(e) = channel.extremes() else {
        return Figure::refused(name, Unit::Dbi, peak::NOTHING_READ);
    };
    if channel.rises_into_gap {
        return Figure::refused(name, Unit::Dbi, peak::RISES);
    }
    if whole.value <= 0.0 {
        return Figure::refused(
            name,
            Unit::Dbi,
            "the mean over the sphere is not above zero",
        );
    }
    let over = |x: f64, by: Option<f64>| by.filter(|b| *b > 0.0).map(|b| x / b);
    let mut figure = Figure::from_linear(
        name,
        Unit::Dbi,
        e.largest.value / whole.value,
        over(e.largest_lower, whole.upper),
        e.largest_upper.and_then(|u| over(u, whole.lower)),
    )
    .integrated_by(&whole);
    if let Some(d) = channel.sphere.grid().direction(e.largest.direction) {
        figure = figure.in_direction(d.theta_deg, d.phi_deg);
    }
    figure
}
