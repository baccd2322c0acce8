//! Figures of spheres whose ring means are plain numbers.

#![allow(clippy::unwrap_used, clippy::panic)]

use super::*;
use crate::figure::samples::{M, Parts, near};
use crate::fill::FilledGap;
use crate::model::{Layout, State};
use crate::rule::{Edges, Rule, Window, clenshaw_curtis};

const HALF_ROOT: f64 = std::f64::consts::FRAC_1_SQRT_2;
const THETA: [f64; 5] = [2.0, 3.0, 10.0, 7.0, 4.0];
const PHI: [f64; 5] = [2.0, 1.0, 5.0, 11.0, 4.0];

/// Ring means THETA and PHI at N = 4; inner rings run over −1, 0 and +1 about them.
fn plain() -> Parts {
    Parts::new(4, Layout::ThetaPhi, |p, ring, j| {
        let mean = [THETA, PHI][p][ring];
        if ring == 0 || ring == 4 {
            mean
        } else {
            mean + j as f64 - 1.0
        }
    })
}

/// ½ Σ wᵢ pᵢ by the sine rule of N = 4: π/8·(√½·p₁ + p₂ + √½·p₃), with weights of the edges at rings 1 and 3.
fn sine(p: &[f64; 5], edge: f64) -> f64 {
    std::f64::consts::PI / 8.0 * (edge * HALF_ROOT * (p[1] + p[3]) + p[2])
}

/// By Clenshaw–Curtis: (p₀ + 8p₁ + 12p₂ + 8p₃ + p₄)/30 (QUADRULE tables).
fn clenshaw(p: &[f64; 5]) -> f64 {
    (p[0] + 8.0 * p[1] + 12.0 * p[2] + 8.0 * p[3] + p[4]) / 30.0
}

fn db(x: f64) -> f64 {
    10.0 * libm::log10(x)
}

#[test]
fn means_follow_part_rule_and_window() {
    let mut parts = plain();
    parts.with(|c| {
        let whole = c.whole(Part::Theta).unwrap();
        near(whole.value, sine(&THETA, 1.0));
        assert_eq!(
            (whole.lower, whole.upper),
            (Some(whole.value), Some(whole.value))
        );
        assert_eq!((whole.rule, whole.edges), (Rule::Sine, None));
        assert_eq!(whole.assume, integral::COMPLETE);
        assert_eq!(whole.noise, None);
        near(c.whole(Part::Phi).unwrap().value, sine(&PHI, 1.0));
        near(
            c.whole(Part::Total).unwrap().value,
            sine(&THETA, 1.0) + sine(&PHI, 1.0),
        );
        let other = c.whole_by(Part::Phi, Rule::ClenshawCurtis).unwrap();
        near(other.value, clenshaw(&PHI));
        assert_eq!(other.rule, Rule::ClenshawCurtis);
        let window = c.window(Part::Theta, Window::near_horizon(45.0)).unwrap();
        near(window.value, sine(&THETA, 0.5));
        assert_eq!(window.edges, Some(Edges::Half));
        // Rings of 45° hold no edge at 60°.
        let window = c.window(Part::Theta, Window::near_horizon(30.0)).unwrap();
        assert_eq!(
            (window.edges, window.rule),
            (Some(Edges::Exact), Rule::ClenshawCurtis)
        );
        let unknown = c.window_by(Part::Theta, Window::near_horizon(10.0), Edges::Exact);
        assert_eq!(
            unknown.unwrap_err().reason,
            "there are no weights for the window θ 80…100° in this form"
        );
        assert!(!c.has_fitted_poles());
        assert!(!c.rises_into_gap);
        assert_eq!(c.quantity(), Quantity::Eirp);
    });
    parts.setting.edges = crate::rule::EdgesChoice::Fixed(Edges::Half);
    let reason = parts.with(|c| {
        c.window(Part::Total, Window::near_horizon(30.0))
            .unwrap_err()
            .reason
    });
    assert!(
        reason
            .starts_with("the edges of the window θ 60…120° are not on rings of the 45° grid; use"),
        "{reason}"
    );
    let total = Parts::new(4, Layout::TotalOnly, |_, ring, _| THETA[ring]);
    total.with(|c| {
        near(c.whole(Part::Total).unwrap().value, sine(&THETA, 1.0));
        for part in [Part::Theta, Part::Phi] {
            let no = c.whole(part).unwrap_err();
            assert_eq!(no.reason, "the readings are totals of both polarisations");
        }
    });
    // Weights of another grid are none.
    let mut other = plain();
    other.setting.weights = crate::rule::WeightTable::new(5, &windows());
    assert!(Channel::new(&other.sphere(), 1, &other.setting, &other.missing).is_none());
}

#[test]
fn marks_and_gaps_bound_the_means() {
    let mut parts = plain();
    // Phi of ring 1, column 1, stands at 1 in 0 … 3: the ring mean in ⅔ … 5/3.
    parts.mark(1, M + 1, State::AtMost, 0.0, Some(3.0));
    let third = std::f64::consts::PI / 8.0 * HALF_ROOT / 3.0;
    parts.with(|c| {
        let whole = c.whole(Part::Phi).unwrap();
        near(whole.value, sine(&PHI, 1.0));
        near(whole.lower.unwrap(), whole.value - third);
        near(whole.upper.unwrap(), whole.value + 2.0 * third);
        assert_eq!(whole.assume, "marked samples lie between their bounds");
        assert_eq!(c.whole(Part::Theta).unwrap().assume, integral::COMPLETE);
        // Where a ring has a negative weight its bounds change places.
        let window = window_of("lhrp").unwrap();
        let weights = window.exact_weights(4);
        assert!(weights[1] < 0.0);
        let part = c.window_by(Part::Phi, window, Edges::Exact).unwrap();
        near(
            part.lower.unwrap(),
            part.value + weights[1] / 2.0 * 2.0 / 3.0,
        );
        near(part.upper.unwrap(), part.value - weights[1] / 2.0 / 3.0);
    });
    // A gap of theta in ring 2, column 0: 9 in 0 … 12.
    parts.mark(0, 2 * M, State::Filled, 0.0, Some(12.0));
    let gap = |polarisation, ring, part, error| FilledGap {
        frequency: 1,
        polarisation,
        rings: vec![(ring, part), (0, 1.0)],
        error,
    };
    parts.missing.filled = vec![
        gap(0, 2, 1.0 / 3.0, Some(0.6)),
        gap(0, 1, 2.0 / 3.0, Some(0.5)),
        gap(1, 3, 1.0 / 3.0, Some(0.9)),
    ];
    let eighth = std::f64::consts::PI / 8.0;
    let of_theta = libm::hypot(eighth / 3.0 * 0.6, eighth * HALF_ROOT * 2.0 / 3.0 * 0.5);
    let of_phi = eighth * HALF_ROOT / 3.0 * 0.9;
    parts.with(|c| {
        let whole = c.whole(Part::Theta).unwrap();
        near(whole.lower.unwrap(), whole.value - eighth * 3.0);
        near(whole.upper.unwrap(), whole.value + eighth);
        assert_eq!(
            whole.assume,
            "a gap lies between zero and its largest bordering reading"
        );
        near(whole.standard.gaps.unwrap(), of_theta);
        let both = c.whole(Part::Total).unwrap();
        near(both.standard.gaps.unwrap(), of_theta + of_phi);
        assert!(both.assume.starts_with("a gap lies") && both.assume.contains("; marked samples"));
        assert_eq!((both.standard.noise, both.standard.floor), (None, None));
    });
    // One that nobody knows leaves nothing known.
    parts.missing.filled[1].error = None;
    parts.with(|c| assert_eq!(c.whole(Part::Total).unwrap().standard.gaps, None));
    // What carries no weight does not matter: the gap at a pole under the sine rule.
    parts.missing.filled[1].rings = vec![(0, 1.0)];
    parts.with(|c| {
        near(
            c.whole(Part::Theta).unwrap().standard.gaps.unwrap(),
            eighth / 3.0 * 0.6,
        );
    });
    // No upper bound of a sample, none of the mean.
    parts.bounds[1].upper = None;
    parts.with(|c| {
        let whole = c.whole(Part::Theta).unwrap();
        assert_eq!(whole.upper, None);
        assert_eq!(whole.assume, "missing directions are at zero or above");
    });
}

#[test]
fn what_lacks_is_refused_with_its_bounds() {
    let mut parts = plain();
    parts.mark(1, 2 * M, State::Filled, 0.0, Some(12.0));
    for (share, reason) in [
        (0.25, None),
        (
            0.26,
            Some("more of the sphere is missing than max-missing allows"),
        ),
        (
            0.99,
            Some("more of the sphere is missing than max-missing allows"),
        ),
        (0.995, Some("a whole polarisation was not measured")),
    ] {
        parts.missing.share[1][1] = share;
        parts.with(|c| match (c.whole(Part::Total), reason) {
            (Ok(whole), None) => near(whole.value, sine(&THETA, 1.0) + sine(&PHI, 1.0)),
            (Err(no), Some(reason)) => {
                assert_eq!(no.reason, reason);
                // Column 0 of phi in ring 2 is 4, in 0 … 12.
                let eighth = std::f64::consts::PI / 8.0 / 3.0;
                let value = sine(&THETA, 1.0) + sine(&PHI, 1.0);
                near(no.lower.unwrap(), value - 4.0 * eighth);
                near(no.upper.unwrap(), value + 8.0 * eighth);
                // The other polarisation is not concerned.
                near(c.whole(Part::Theta).unwrap().value, sine(&THETA, 1.0));
            }
            other => panic!("{share}: {other:?}"),
        });
    }
    let refused = parts.figure("trp");
    assert_eq!((refused.state, refused.value), (FigureState::Refused, None));
    assert!(refused.lower.is_some() && refused.upper.is_some());
    assert!(refused.bounds_assume.is_some());
    // A sample that is missing altogether.
    let mut parts = plain();
    parts.states[(1, 0, 2 * M)] = State::Missing;
    parts.values[(1, 0, 2 * M)] = 0.0;
    parts.with(|c| {
        let no = c.whole(Part::Theta).unwrap_err();
        assert_eq!(no.reason, "directions are missing that carry weight");
        // What is missing counts as 0: ring 2 holds (0 + 10 + 11)/3 = 7 instead of 10.
        near(
            no.lower.unwrap(),
            sine(&THETA, 1.0) - std::f64::consts::PI / 8.0 * 3.0,
        );
        assert_eq!(no.upper, None);
        assert_eq!(no.assume, "missing directions are at zero or above");
    });
    // One bound alone has its assumption too.
    let open = Some("missing directions are at zero or above");
    let refused = parts.figure("trp_theta");
    assert!(refused.lower.is_some() && refused.upper.is_none());
    assert_eq!(refused.bounds_assume.as_deref(), open);
    parts.quantity = Quantity::Eis;
    let refused = parts.figure("tis_theta");
    assert!(refused.lower.is_none() && refused.upper.is_some());
    assert_eq!(refused.bounds_assume.as_deref(), open);
}

#[test]
fn poles_that_were_not_read_are_fitted() {
    // N = 5: ring means c₀ + c₂·cos 2θ at 36° … 144°, where cos 2θ has the mean −¼ and is even, so that a fit of degree 1 is c₀ − ¼c₂:
    // the pole is c₀ + c₂, and changes by 1¼·c₂.
    let cos2 = |ring: usize| libm::cos((72.0 * ring as f64).to_radians());
    let weights = clenshaw_curtis::weights(5);
    for (c0, c2, pole, change, low) in [(10.0, 4.0, 14.0, 5.0, 9.0), (10.0, -12.0, 0.0, 13.0, 0.0)]
    {
        let mut parts = Parts::new(5, Layout::TotalOnly, |_, ring, _| c0 + c2 * cos2(ring));
        for d in (0..M).chain(5 * M..6 * M) {
            parts.states[(1, 0, d)] = State::Missing;
            parts.values[(1, 0, d)] = 0.0;
        }
        parts.with(|c| {
            assert!(c.has_fitted_poles());
            let whole = c.whole_by(Part::Total, Rule::ClenshawCurtis).unwrap();
            let inner: f64 = (1..5).map(|i| weights[i] / 2.0 * (c0 + c2 * cos2(i))).sum();
            near(whole.value, inner + weights[0] * pole);
            near(whole.lower.unwrap(), inner + weights[0] * low);
            near(whole.upper.unwrap(), inner + weights[0] * (pole + change));
            assert_eq!(
                whole.assume,
                "the pole rings follow an even cosine fit of the other rings, within the change of two degrees"
            );
            assert_eq!(c.whole_by(Part::Total, Rule::Sine).unwrap().assume, integral::COMPLETE);
        });
    }
    // Three rings are too few, and a hole elsewhere leaves the poles open.
    let mut few = plain();
    for d in (0..M).chain(4 * M..5 * M) {
        few.states[(1, 0, d)] = State::Missing;
        few.states[(1, 1, d)] = State::Missing;
    }
    few.with(|c| {
        assert!(!c.has_fitted_poles());
        let no = c.whole_by(Part::Theta, Rule::ClenshawCurtis).unwrap_err();
        assert_eq!(no.reason, "directions are missing that carry weight");
        assert!(c.whole(Part::Theta).is_ok());
    });
}

#[test]
fn figures_are_ratios_of_these_means() {
    let mut parts = plain();
    parts.setting.given.accepted_power_w = Some(20.0);
    parts.setting.given.conducted_power_w = Some(40.0);
    let (theta, phi) = (sine(&THETA, 1.0), sine(&PHI, 1.0));
    let all = theta + phi;
    // Theta + phi is largest at ring 3, column 2: 8 + 12, and smallest at ring 1, column 0: 2 + 0.
    let near_45 = sine(&THETA, 0.5) + sine(&PHI, 0.5);
    for (name, value) in [
        ("trp", db(1e3 * all)),
        ("trp_theta", db(1e3 * theta)),
        ("trp_phi", db(1e3 * phi)),
        ("polarisation_ratio", db(theta / phi)),
        ("total_efficiency", 100.0 * all / 40.0),
        ("radiation_efficiency", 100.0 * all / 20.0),
        ("average_gain", db(all / 20.0)),
        ("peak_eirp", db(1e3 * 20.0)),
        ("min_eirp", db(1e3 * 2.0)),
        ("peak_gain", db(20.0 / 20.0)),
        ("directivity", db(20.0 / all)),
        ("nhprp_45", db(1e3 * near_45)),
        ("nhprp_45_ratio", db(near_45 / all)),
    ] {
        let figure = parts.figure(name);
        near(figure.value.unwrap(), value);
        near(figure.lower.unwrap_or(value), value);
        near(figure.upper.unwrap_or(value), value);
        assert_eq!(figure.state, FigureState::Value);
    }
    for name in ["peak_eirp", "directivity", "peak_gain"] {
        let figure = parts.figure(name);
        assert_eq!(
            (figure.theta_deg, figure.phi_deg),
            (Some(135.0), Some(240.0))
        );
    }
    let least = parts.figure("min_eirp");
    assert_eq!((least.theta_deg, least.phi_deg), (Some(45.0), Some(0.0)));
    let share = parts.figure("nhprp_45_ratio");
    assert_eq!(
        (share.edges, share.rule),
        (Some(Edges::Half), Some(Rule::Sine))
    );
    // Bounds of a marked sample: phi of ring 1, column 1, in 0 … 3 instead of 1.
    parts.mark(1, M + 1, State::AtMost, 0.0, Some(3.0));
    let third = std::f64::consts::PI / 8.0 * HALF_ROOT / 3.0;
    let (low, high) = (all - third, all + 2.0 * third);
    for (name, lower, upper) in [
        ("total_efficiency", 2.5 * low, 2.5 * high),
        ("radiation_efficiency", 5.0 * low, 5.0 * high),
        ("average_gain", db(low / 20.0), db(high / 20.0)),
        ("directivity", db(20.0 / high), db(20.0 / low)),
        (
            "polarisation_ratio",
            db(theta / (phi + 2.0 * third)),
            db(theta / (phi - third)),
        ),
    ] {
        let figure = parts.figure(name);
        near(figure.lower.unwrap(), lower);
        near(figure.upper.unwrap(), upper);
    }
    // Refused: the same bounds, in the same units.
    parts.mark(0, M, State::Filled, 2.0, Some(2.0));
    parts.missing.share[1][0] = 0.5;
    for (name, lower, upper) in [
        ("trp", db(1e3 * low), db(1e3 * high)),
        ("total_efficiency", 2.5 * low, 2.5 * high),
        ("average_gain", db(low / 20.0), db(high / 20.0)),
    ] {
        let figure = parts.figure(name);
        assert_eq!((figure.state, figure.value), (FigureState::Refused, None));
        near(figure.lower.unwrap(), lower);
        near(figure.upper.unwrap(), upper);
    }
    parts.setting.given = Given::default();
    for name in [
        "total_efficiency",
        "radiation_efficiency",
        "average_gain",
        "peak_gain",
    ] {
        let reason = parts.figure(name).reason.unwrap();
        assert!(reason.starts_with("give the "), "{reason}");
    }
}

#[test]
fn peaks_are_refused_where_a_pattern_rises_into_a_gap() {
    let mut parts = plain();
    parts.missing.rises = vec![false, true];
    parts.setting.given.accepted_power_w = Some(10.0);
    for (name, lower) in [("peak_eirp", db(2e4)), ("peak_gain", db(2.0))] {
        let figure = parts.figure(name);
        assert_eq!((figure.state, figure.value), (FigureState::Refused, None));
        near(figure.lower.unwrap(), lower);
        assert_eq!(figure.upper, None);
        assert_eq!(figure.reason.as_deref(), Some(peak::RISES));
    }
    assert_eq!(
        parts.figure("directivity").reason.as_deref(),
        Some(peak::RISES)
    );
    near(parts.figure("min_eirp").value.unwrap(), db(2e3));
    parts.quantity = Quantity::Eis;
    let best = parts.figure("best_eis");
    assert_eq!((best.state, best.value), (FigureState::Refused, None));
    // The best EIS is 1/20 W or better.
    near(best.upper.unwrap(), db(1e3 / 20.0));
    assert_eq!(best.reason.as_deref(), Some(peak::RISES));
    parts.missing.rises = vec![true, false];
    near(parts.figure("best_eis").value.unwrap(), db(1e3 / 20.0));
    near(parts.figure("worst_eis").value.unwrap(), db(1e3 / 2.0));
    near(
        parts.figure("tis_theta").value.unwrap(),
        db(1e3 / sine(&THETA, 1.0)),
    );
    near(
        parts.figure("tis_phi").value.unwrap(),
        db(1e3 / sine(&PHI, 1.0)),
    );
    parts.quantity = Quantity::Relative;
    for name in ["trp", "peak_eirp", "nhprp_45"] {
        assert_eq!(parts.figure(name).reason.as_deref(), Some(trp::NO_SCALE));
    }
    // Nothing at all has no directivity.
    let nothing = Parts::new(4, Layout::ThetaPhi, |_, _, _| 0.0);
    for name in ["directivity", "polarisation_ratio"] {
        assert!(
            nothing
                .figure(name)
                .reason
                .unwrap()
                .contains("is not above zero")
        );
    }
    assert_eq!(nothing.figure("trp").state, FigureState::Zero);
}

#[test]
fn quantities_have_their_figures() {
    use Quantity::{Eirp, Eis, Gain, InstrumentLevel, ReceivedPower, Relative};
    let all = [Eirp, Eis, Gain, InstrumentLevel, ReceivedPower, Relative];
    assert_eq!(all.map(radiated), [true, false, true, false, false, true]);
    assert_eq!(all.map(is_eirp), [true, false, false, false, false, true]);
    assert_eq!(all.map(is_eis), [false, true, false, false, false, false]);
    assert_eq!(
        all.map(headline),
        ["trp", "tis", "average_gain", "tis", "trp", "directivity"]
    );
    let given = |accepted_power_w| Given {
        accepted_power_w,
        ..Given::default()
    };
    assert!(needs_accepted_power(&given(None), Eirp));
    assert!(!needs_accepted_power(&given(None), Gain));
    assert!(!needs_accepted_power(&given(Some(1.0)), Eirp));
    assert!(!never_optional(&given(None), Eirp));
    let of = |name: &str| specs().into_iter().find(|s| s.name == name).unwrap();
    let conducted = Given {
        conducted_power_w: Some(1.0),
        ..Given::default()
    };
    assert!((of("total_efficiency").optional)(&given(Some(1.0)), Eirp));
    assert!(!(of("total_efficiency").optional)(&conducted, Eirp));
    let applies = |name| all.map(|q| (of(name).applies)(q));
    for name in ["directivity", "polarisation_ratio"] {
        assert_eq!(applies(name), [true, true, true, false, false, true]);
    }
    for name in ["peak_gain", "average_gain"] {
        assert_eq!(applies(name), [true, false, true, false, false, false]);
    }
    assert_eq!(
        applies("total_efficiency"),
        [true, false, false, false, false, false]
    );
    let horizon = Some(Window::near_horizon(22.5));
    assert_eq!(
        (window_of("nhpis_22_5"), window_of("nhprp_22_5")),
        (horizon, horizon)
    );
    assert_eq!(window_of("trp"), None);
    assert_eq!(windows().len(), 10);
    for (name, by) in [
        ("trp_average", Some("trp")),
        ("trp_lowest", Some("trp")),
        ("tis_average", Some("tis")),
        ("tis_highest", Some("tis")),
        ("trp", None),
    ] {
        assert_eq!(summarised_by(name), by);
    }
}

#[test]
fn units_and_states_follow_the_linear_value() {
    for (unit, symbol, value) in [
        (Unit::Dbm, "dBm", db(2.5e3)),
        (Unit::Db, "dB", db(2.5)),
        (Unit::Dbi, "dBi", db(2.5)),
        (Unit::Percent, "%", 250.0),
    ] {
        assert_eq!(unit.symbol(), symbol);
        near(unit.of_linear(2.5), value);
        near(unit.to_linear(value), 2.5);
    }
    let of = |unit, x| {
        let figure = Figure::from_linear("x", unit, x, Some(0.0), Some(-1.0));
        assert_eq!((figure.lower, figure.upper), (None, None));
        (figure.state, figure.has_value(), figure.value)
    };
    assert_eq!(
        of(Unit::Percent, 0.5),
        (FigureState::Value, true, Some(50.0))
    );
    assert_eq!(
        of(Unit::Percent, 0.0),
        (FigureState::Zero, false, Some(0.0))
    );
    assert_eq!(of(Unit::Dbm, 0.0), (FigureState::Zero, false, None));
    assert_eq!(
        of(Unit::Percent, -0.5),
        (FigureState::NotAboveZero, false, None)
    );
}
