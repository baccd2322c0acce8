//! Noise of figures, from its variances in closed form.
//!
//! An rms detector with n averages shows P = S + N of a wave with the variance (2NP − N²)/n = N(2S + N)/n, at least N²/n (F12).

#![allow(clippy::unwrap_used)]

use crate::correct::noise::{AveragesFrom, Level};
use crate::correct::{Detector, Noise, Signal};
use crate::figure::Part;
use crate::figure::integral::ESTIMATED;
use crate::figure::samples::{M, Parts, near};
use crate::model::{Layout, State};
use crate::rule::{Edges, Rule, Window, clenshaw_curtis};
use std::f64::consts::{FRAC_1_SQRT_2, PI};

/// Floor of theta and phi, and standard uncertainties of it.
const FLOOR: [f64; 2] = [0.5, 0.25];
const OF_FLOOR: [f64; 2] = [0.1, 0.2];
const AVERAGES: f64 = 4.0;
const MEANS: [[f64; 5]; 2] = [[2.0, 3.0, 10.0, 7.0, 4.0], [2.0, 1.0, 5.0, 11.0, 4.0]];

fn with_noise(mut parts: Parts) -> Parts {
    let count = parts.values.dim().1;
    let levels = (0..count)
        .map(|p| Level::new(FLOOR[p], Some(OF_FLOOR[p])))
        .collect::<Vec<_>>();
    let mut raw = parts.values.clone();
    for ((_, p, _), shown) in raw.indexed_iter_mut() {
        *shown += FLOOR[p];
    }
    let other = vec![Level::new(77.0, Some(7.0)); count];
    parts.setting.noise = Some(Noise {
        levels: vec![other, levels],
        averages: AVERAGES,
        averages_from: AveragesFrom::Said,
        detector: Detector::Rms,
        signal: Signal::Cw,
        is_estimated: false,
        raw,
    });
    parts
}

fn parts() -> Parts {
    with_noise(Parts::new(4, Layout::ThetaPhi, |p, ring, _| MEANS[p][ring]))
}

/// Variance of the mean of a ring; a pole is one direction, an inner ring three.
fn variance(p: usize, ring: usize, n: usize) -> f64 {
    let count = if ring == 0 || ring == n { 1.0 } else { 3.0 };
    FLOOR[p] * (2.0 * MEANS[p][ring] + FLOOR[p]) / AVERAGES / count
}

/// Half-weights of N = 4: sine, and Clenshaw–Curtis (QUADRULE tables).
const SINE: [f64; 5] = [
    0.0,
    PI / 8.0 * FRAC_1_SQRT_2,
    PI / 8.0,
    PI / 8.0 * FRAC_1_SQRT_2,
    0.0,
];
const CLENSHAW: [f64; 5] = [1.0 / 30.0, 8.0 / 30.0, 12.0 / 30.0, 8.0 / 30.0, 1.0 / 30.0];

#[test]
fn noise_of_a_mean_is_that_of_its_rings() {
    for (rule, half) in [(Rule::Sine, SINE), (Rule::ClenshawCurtis, CLENSHAW)] {
        let whole = parts().with(|c| c.whole_by(Part::Total, rule).unwrap());
        let sum: f64 = half.iter().sum();
        let (mut value, mut of_noise, mut least, mut floor, mut shown) = (0.0, 0.0, 0.0, 0.0, 0.0);
        for p in 0..2 {
            for ring in 0..5 {
                value += half[ring] * MEANS[p][ring];
                of_noise += half[ring] * half[ring] * variance(p, ring, 4);
                let count = if ring % 4 == 0 { 1.0 } else { 3.0 };
                least += half[ring] * half[ring] * FLOOR[p] * FLOOR[p] / AVERAGES / count;
            }
            floor += sum * sum * OF_FLOOR[p] * OF_FLOOR[p];
            shown += sum * FLOOR[p];
        }
        let noise = whole.noise.unwrap();
        near(whole.value, value);
        near(noise.noise, of_noise.sqrt());
        near(noise.least, least.sqrt());
        near(noise.floor.unwrap(), floor.sqrt());
        near(noise.shown, value + shown);
        assert_eq!(noise.below_floor, 0.0);
        assert_eq!(whole.standard.noise, Some(noise.noise));
        assert_eq!(whole.standard.floor, noise.floor);
        assert_eq!(
            whole.assume,
            "every direction that carries weight was measured"
        );
    }
    let figure = parts().figure("trp");
    let whole = parts().with(|c| c.whole(Part::Total).unwrap());
    let u = libm::hypot(whole.standard.noise.unwrap(), whole.standard.floor.unwrap());
    near(
        figure.interval_upper.unwrap(),
        10.0 * libm::log10(1e3 * (whole.value + 1.959_963_984_540_054 * u)),
    );
}

#[test]
fn a_window_and_the_whole_share_their_rings() {
    // Edge rings count half in the window.
    let want: f64 = (0..2)
        .flat_map(|p| (1..4).map(move |ring| (p, ring)))
        .map(|(p, ring)| {
            let edge = if ring == 2 { 1.0 } else { 0.5 };
            edge * SINE[ring] * SINE[ring] * variance(p, ring, 4)
        })
        .sum();
    let window = Window::near_horizon(45.0);
    parts().with(|c| near(c.noise_covariance(window, Edges::Half, Rule::Sine), want));
    parts().with(|c| {
        let none = Window::near_horizon(10.0);
        assert_eq!(c.noise_covariance(none, Edges::Exact, Rule::Sine), 0.0);
    });
    let share = parts().figure("nhprp_45_ratio");
    assert!(share.standard_uncertainty_db.is_some());
}

#[test]
fn noise_is_never_less_than_that_of_the_floor() {
    // Nothing shown at all: 2NP − N² is below zero.
    let mut none = parts();
    none.setting.noise.as_mut().unwrap().raw.fill(0.0);
    none.with(|c| {
        let noise = c.whole(Part::Total).unwrap().noise.unwrap();
        near(noise.noise, noise.least);
        let least: f64 = (0..2)
            .flat_map(|p| (1..4).map(move |ring| SINE[ring] * SINE[ring] * FLOOR[p] * FLOOR[p]))
            .sum();
        near(noise.least, (least / AVERAGES / 3.0).sqrt());
        near(
            c.noise_covariance(Window::WHOLE, Edges::Half, Rule::Sine),
            0.0,
        );
    });
    // 0.3 of theta and 0.2 of phi are below their floors of 0.5 and 0.25; as much as the floor is not.
    let mut below = Parts::new(4, Layout::ThetaPhi, |p, ring, _| MEANS[p][ring]);
    below.values[(1, 0, 2 * M)] = 0.3;
    below.values[(1, 0, 2 * M + 1)] = 0.5;
    below.values[(1, 1, M)] = 0.2;
    with_noise(below).with(|c| {
        let noise = c.whole(Part::Total).unwrap().noise.unwrap();
        near(noise.below_floor, SINE[2] * 0.3 / 3.0 + SINE[1] * 0.2 / 3.0);
    });
    // A floor of unknown uncertainty leaves that of the sum unknown.
    let mut unknown = parts();
    unknown.setting.noise.as_mut().unwrap().levels[1][1].standard_w = None;
    unknown.with(|c| {
        assert_eq!(c.whole(Part::Total).unwrap().noise.unwrap().floor, None);
        assert!(c.whole(Part::Theta).unwrap().noise.unwrap().floor.is_some());
    });
}

#[test]
fn what_an_estimated_floor_took_off_may_be_signal() {
    let mut estimated = parts();
    estimated.setting.noise.as_mut().unwrap().is_estimated = true;
    estimated.mark(1, M, State::AtMost, 0.5, Some(1.0));
    let taken = 0.75 * SINE.iter().sum::<f64>();
    estimated.with(|c| {
        let whole = c.whole(Part::Total).unwrap();
        near(whole.upper.unwrap(), whole.value + taken);
        near(whole.lower.unwrap(), whole.value - SINE[1] * 0.5 / 3.0);
        assert_eq!(
            whole.assume,
            format!("{ESTIMATED}; marked samples lie between their bounds; noise aside, which the interval holds")
        );
        // Totals of 18 and 4, and 0.75 that was taken off.
        let e = c.extremes().unwrap();
        assert_eq!((e.largest_upper, e.smallest_upper), (Some(18.75), Some(4.75)));
    });
}

#[test]
fn a_fitted_pole_has_the_noise_of_the_rings_that_it_is_made_of() {
    // N = 5, both poles absent: a cubic in x = cos θ through four rings, so that the part of a ring at a pole is Lagrange's polynomial.
    let x = |ring: usize| libm::cos((36.0 * ring as f64).to_radians());
    let lagrange = |i: usize, at: f64| -> f64 {
        let others = (1..5).filter(|k| *k != i);
        others.map(|k| (at - x(k)) / (x(i) - x(k))).product()
    };
    // 10 − 12·cos 2θ: −2 at the poles, which stays where noise was taken off; degree 1 gives 13 there, a change of 15.
    let mean = |ring: usize| 10.0 - 12.0 * (2.0 * x(ring) * x(ring) - 1.0);
    let mut parts = Parts::new(5, Layout::TotalOnly, |_, ring, _| mean(ring));
    for d in (0..M).chain(5 * M..6 * M) {
        parts.states[(1, 0, d)] = State::Missing;
        parts.values[(1, 0, d)] = 0.0;
    }
    let weights = clenshaw_curtis::weights(5);
    with_noise(parts).with(|c| {
        let whole = c.whole_by(Part::Total, Rule::ClenshawCurtis).unwrap();
        let inner: f64 = (1..5).map(|i| weights[i] / 2.0 * mean(i)).sum();
        assert!((whole.value - (inner - 2.0 * weights[0])).abs() < 1e-9);
        assert!((whole.lower.unwrap() - (inner - 17.0 * weights[0])).abs() < 1e-9);
        assert!((whole.upper.unwrap() - (inner + 13.0 * weights[0])).abs() < 1e-9);
        let want: f64 = (1..5)
            .map(|i| {
                let half = (weights[i] + weights[0] * (lagrange(i, 1.0) + lagrange(i, -1.0))) / 2.0;
                half * half * FLOOR[0] * (2.0 * mean(i) + FLOOR[0]) / AVERAGES / 3.0
            })
            .sum();
        assert!((whole.noise.unwrap().noise - want.sqrt()).abs() < 1e-9);
        // All parts of a pole come to 1: the weights still sum to 2.
        assert!((whole.noise.unwrap().floor.unwrap() - OF_FLOOR[0]).abs() < 1e-9);
    });
}
