//! Poles of readings whose means are plain numbers.

#![allow(clippy::unwrap_used)]

use super::*;
use crate::assemble::samples::{coded, near};
use crate::model::{Data, Grid, Mark, Quantity};
use crate::unit::Frequency;

fn exact(power: f64) -> Interval {
    Interval::of_reading(Quantity::Eirp, power, Mark::Exact)
}

fn at_most(power: f64) -> Interval {
    Interval::of_reading(Quantity::Eirp, power, Mark::AtMost)
}

fn grid() -> EqualAngleGrid {
    EqualAngleGrid::try_new(4, 3, 0.0).unwrap()
}

/// Theta is 2 (from 1 and 3), 4 and 9 at 0°, 120° and 240°; phi is 10, 20 and 60.
fn full() -> Vec<(usize, f64, Interval)> {
    vec![
        (0, 0.0, exact(1.0)),
        (1, 0.0, exact(10.0)),
        (0, 0.0, exact(3.0)),
        (1, 240.0, exact(60.0)),
        (0, 120.0, exact(4.0)),
        (1, 120.0, exact(20.0)),
        (0, 240.0, exact(9.0)),
    ]
}

fn pole(readings: &[(usize, f64, Interval)], layout: Layout) -> Pole {
    Pole::new(readings, &grid(), layout, &|phi| column(&grid(), phi))
}

fn points(of: &[Option<Interval>]) -> Vec<Option<f64>> {
    of.iter().map(|i| i.map(|i| i.point)).collect()
}

#[test]
fn a_full_ring_gives_means_pairs_and_repeats() {
    let pole = pole(&full(), Layout::ThetaPhi);
    // (2 + 4 + 9)/3 and (10 + 20 + 60)/3; half of their sum is 17.5.
    assert_eq!(points(&pole.means()), [Some(5.0), Some(30.0)]);
    assert_eq!(points(&pole.certain_means()), [Some(5.0), Some(30.0)]);
    assert_eq!(points(&pole.halves()), [Some(17.5), Some(17.5)]);
    let balance = pole.balance(&grid());
    assert_eq!(balance.means, Some((5.0, 30.0)));
    assert_eq!(balance.repeats, 3.0);
    assert_eq!(balance.pairs, [(2.0, 10.0), (4.0, 20.0), (9.0, 60.0)]);
    assert!(!balance.constant);
    // What is marked has no place among the pairs, nor among the repeats.
    let mut marked = full();
    marked[6].2 = at_most(9.0);
    marked.push((1, 120.0, at_most(1.0)));
    let balance = super::tests::pole(&marked, Layout::ThetaPhi).balance(&grid());
    assert_eq!(balance.pairs, [(2.0, 10.0)]);
    assert_eq!((balance.means, balance.law), (None, None));
    assert_eq!(balance.repeats, 3.0);
}

#[test]
fn parts_of_a_ring_tell_what_they_can() {
    // Both were read at 120° alone: 4 and 20.
    let some: Vec<_> = full()
        .into_iter()
        .filter(|r| (r.0 == 0) != (r.1 == 240.0) || r.1 == 120.0)
        .filter(|r| !(r.0 == 1 && r.1 == 0.0))
        .collect();
    let of = pole(&some, Layout::ThetaPhi);
    assert_eq!(points(&of.means()), [Some(4.0), Some(20.0)]);
    assert_eq!(points(&of.certain_means()), [Some(4.0), Some(20.0)]);
    assert_eq!(points(&of.halves()), [Some(12.0), Some(12.0)]);
    assert_eq!(of.balance(&grid()).means, None);
    // Theta at 0° and phi at 120°: a guess that more readings may change.
    let apart = [(0, 0.0, exact(2.0)), (1, 120.0, exact(20.0))];
    let of = pole(&apart, Layout::ThetaPhi);
    assert_eq!(points(&of.means()), [Some(2.0), Some(20.0)]);
    assert_eq!(points(&of.certain_means()), [None, None]);
    assert_eq!(points(&of.halves()), [Some(11.0), Some(11.0)]);
    // Theta alone over the whole ring is half of the total, over a part of it nothing.
    let theta: Vec<_> = full().into_iter().filter(|r| r.0 == 0).collect();
    let of = pole(&theta, Layout::ThetaPhi);
    assert_eq!(points(&of.halves()), [Some(5.0), None]);
    assert_eq!(of.balance(&grid()).pairs, []);
    let of = pole(&theta[..3], Layout::ThetaPhi);
    assert_eq!(points(&of.halves()), [None, None]);
    // Totals are what they are: (2 + 4)/2 of a part of the ring.
    let of = pole(&theta[..3], Layout::TotalOnly);
    for means in [of.means(), of.halves(), of.certain_means()] {
        assert_eq!(points(&means), [Some(3.0)]);
    }
    let whole = pole(&theta, Layout::TotalOnly).balance(&grid());
    assert_eq!(whole.pairs, [(2.0, 0.0), (4.0, 0.0), (9.0, 0.0)]);
    assert_eq!(
        (whole.means, whole.law, whole.constant),
        (None, None, false)
    );
    assert_eq!(
        points(&means_at_pole(&apart, &grid(), Layout::ThetaPhi)),
        [None, None]
    );
    assert_eq!(
        points(&means_at_pole(&full(), &grid(), Layout::ThetaPhi)),
        [Some(5.0), Some(30.0)]
    );
}

#[test]
fn what_does_not_change_is_constant_and_what_turns_keeps_the_law() {
    let six = EqualAngleGrid::try_new(4, 6, 0.0).unwrap();
    let ring = |theta: &dyn Fn(usize) -> f64, phi: &dyn Fn(usize) -> f64| {
        let mut readings = Vec::new();
        for j in 0..6 {
            readings.push((0, six.phi_deg(j), exact(theta(j))));
            readings.push((1, six.phi_deg(j), exact(phi(j))));
        }
        Pole::new(&readings, &six, Layout::ThetaPhi, &|phi| column(&six, phi)).balance(&six)
    };
    assert!(ring(&|_| 2.0, &|_| 5.0).constant);
    assert!(!ring(&|_| 2.0, &|j| 5.0 + j as f64).constant);
    assert!(!ring(&|j| 5.0 + j as f64, &|_| 2.0).constant);
    // cos² φ and sin² φ at 0°, 60° …: 1 ¼ ¼ 1 ¼ ¼ and 0 ¾ ¾ 0 ¾ ¾, which is the law of a linear field.
    let cos = |j: usize| if j.is_multiple_of(3) { 1.0 } else { 0.25 };
    let linear = ring(&cos, &|j| 1.0 - cos(j));
    assert!(linear.law.unwrap() < 1e-12);
    // Both as cos²: one of them breaks it.
    let wrong = ring(&cos, &cos);
    assert!(wrong.law.unwrap() > 0.1);
}

#[test]
fn spreads_are_of_measured_values_above_zero() {
    let spread = |of: &[Interval]| spread_of(of.iter().copied());
    assert_eq!(
        spread(&[exact(4.0), exact(0.0), exact(2.0), exact(8.0)]),
        4.0
    );
    assert_eq!(spread(&[exact(4.0), at_most(100.0)]), 1.0);
    assert_eq!(spread(&[exact(0.0), exact(0.0)]), 1.0);
    assert_eq!(spread(&[]), 1.0);
}

#[test]
fn a_marked_pole_has_its_bounds_at_every_column() {
    // Theta at most 4: 2 in 0 … 4. Phi 6. Half of the sum is 4 in 3 … 5.
    let mut poles = PowerPoles::default();
    poles.push(1, false, 0, 120.0, at_most(4.0));
    poles.push(1, false, 1, 120.0, exact(6.0));
    for (polarisation, phi, one) in full() {
        poles.push(0, true, polarisation, phi, one);
    }
    let shape = (2, 2, 15);
    let settle = |poles: PowerPoles, apart: bool| {
        let mut values = Array3::zeros(shape);
        let mut states = Array3::from_elem(shape, State::Missing);
        let mut bounds = Vec::new();
        let column_of = |phi| column(&grid(), phi);
        let balances = poles.settle(
            &grid(),
            Layout::ThetaPhi,
            apart,
            &column_of,
            &mut values,
            &mut states,
            &mut bounds,
        );
        (values, states, bounds, balances)
    };
    let (values, states, bounds, balances) = settle(poles, false);
    assert_eq!(
        balances.iter().map(|b| b.frequency).collect::<Vec<_>>(),
        [0, 1]
    );
    for ((f, p, d), value) in values.indexed_iter() {
        let (want, state) = match (f, d) {
            (0, 0..3) => (17.5, State::Measured),
            (1, 12..15) => (4.0, State::AtMost),
            _ => (0.0, State::Missing),
        };
        assert_eq!((*value, states[(f, p, d)]), (want, state), "{f} {p} {d}");
    }
    let of = |p, d| Bound {
        at: (1, p, d),
        lower: 3.0,
        upper: Some(5.0),
    };
    assert_eq!(
        bounds,
        [
            of(0, 12),
            of(0, 13),
            of(0, 14),
            of(1, 12),
            of(1, 13),
            of(1, 14)
        ]
    );
    // Before the range loss each has its own.
    let mut poles = PowerPoles::default();
    for (polarisation, phi, one) in full() {
        poles.push(1, true, polarisation, phi, one);
    }
    let (values, _, bounds, _) = settle(poles, true);
    assert_eq!((values[(1, 0, 2)], values[(1, 1, 0)]), (5.0, 30.0));
    assert_eq!(bounds, []);
    // An open end stays open.
    let over = Interval::of_reading(Quantity::Eirp, 8.0, Mark::AtLeast);
    let both = half_of_total(over, at_most(4.0));
    assert_eq!(
        (both.point, both.lower, both.upper, both.state),
        (5.0, 4.0, None, State::AtLeast)
    );
}

fn balance(frequency: usize, means: Option<(f64, f64)>, pairs: &[(f64, f64)]) -> Balance {
    Balance {
        frequency,
        means,
        constant: false,
        law: None,
        repeats: 1.0,
        pairs: pairs.to_vec(),
    }
}

/// Seven θ intervals by eight φ. At the second frequency 2·θ + φ is 6 along φ = 0° and 180°, where neither is even, and 60 elsewhere.
fn exchanged_sphere(quantity: Quantity) -> Sphere {
    let grid = EqualAngleGrid::try_new(7, 8, 0.0).unwrap();
    let mut values = Array3::<f64>::from_elem((2, 2, 64), 1.0);
    let mut states = Array3::from_elem((2, 2, 64), State::Measured);
    let along = [
        (1.0, 4.0),
        (2.0, 2.0),
        (2.5, 1.0),
        (0.5, 5.0),
        (3.0, 0.0),
        (0.25, 5.5),
    ];
    for ring in 0..8 {
        for j in 0..8 {
            let (theta, phi) = match (ring, j) {
                (1..7, 0) => along[ring - 1],
                (1..7, 4) => along[6 - ring],
                _ => (25.0, 10.0),
            };
            values[(1, 0, 8 * ring + j)] = theta;
            values[(1, 1, 8 * ring + j)] = phi;
        }
    }
    // One that was not read in phi says nothing.
    values[(1, 1, 8 * 3)] = 500.0;
    states[(1, 1, 8 * 3)] = State::Missing;
    Sphere::try_new(
        quantity,
        Grid::EqualAngle(grid),
        Layout::ThetaPhi,
        vec![None, Frequency::from_hz(2.4e9)],
        Data::Power(values),
        states,
        Vec::new(),
    )
    .unwrap()
}

#[test]
fn both_polarisations_are_compared_on_one_scale() {
    let factor = |f: usize| if f == 0 { 1.0 } else { 2.0 };
    // 2·θ + φ is 1, 2, 4 … 128, and once 0: the middle half runs from 4 to 64, 12.04 dB, all from 1 to 128, 21.07 dB.
    let totals = [4.0, 128.0, 1.0, 16.0, 2.0, 64.0, 8.0, 32.0];
    let mut pairs: Vec<(f64, f64)> = totals
        .iter()
        .enumerate()
        .map(|(i, t)| {
            if i % 2 == 0 {
                (t / 2.0, 0.0)
            } else {
                (0.0, *t)
            }
        })
        .collect();
    pairs.push((0.0, 0.0));
    let mut copied = balance(1, Some((1.0, 4.0)), &pairs);
    copied.constant = true;
    let mut again = balance(1, Some((1.0, 2.5)), &[(2.0, 1.0), (2.0, 1.0)]);
    again.constant = true;
    again.repeats = 200.0;
    let balances = [
        // Nulls have no ratio.
        balance(0, Some((0.0, 5.0)), &[]),
        balance(0, Some((5.0, 0.0)), &[(0.0, 0.0)]),
        // Twice as much: 3.01 dB, and no copy, as it is not constant.
        balance(0, Some((2.0, 1.0)), &[(1.0, 1.0)]),
        copied,
        again,
    ];
    let sphere = exchanged_sphere(Quantity::Eirp);
    let findings = of_both(&sphere, &balances, factor);
    let codes: Vec<&str> = findings.iter().map(|f| f.code.as_str()).collect();
    assert_eq!(
        codes,
        [
            "pole-spread",
            "pole-imbalance",
            "pole-copied",
            "axes-suspected"
        ]
    );
    // Repeats of 200:1 are more than 128:1.
    near(findings[0].effect_db.unwrap(), 10.0 * libm::log10(200.0));
    // 2·1 over 4 is as far from 1 as 2 over 1.
    near(findings[1].effect_db.unwrap(), 10.0 * libm::log10(2.0));
    assert!(
        findings[2].message.contains("by 3.0 dB"),
        "{}",
        findings[2].message
    );
    assert!(
        findings[3].message.contains("by 12.0 dB"),
        "{}",
        findings[3].message
    );
    // Before the range loss repeats were told already: the totals are left, 128:1.
    let sphere = exchanged_sphere(Quantity::ReceivedPower);
    let findings = of_both(&sphere, &balances, factor);
    near(
        coded(&findings, "pole-spread").unwrap().effect_db.unwrap(),
        10.0 * libm::log10(128.0),
    );
    // A steady pole is one, whatever the sphere looks like.
    assert!(
        of_both(
            &sphere,
            &[balance(1, None, &[(2.0, 1.0), (1.0, 3.0)])],
            factor
        )
        .is_empty()
    );
    // With another factor the cuts are not even.
    let other = of_both(&sphere, &balances, |_| 1.0);
    assert!(coded(&other, "axes-suspected").is_none());
}

#[test]
fn the_worst_pole_is_told() {
    let mut balances = [
        balance(0, None, &[]),
        balance(1, None, &[]),
        balance(1, None, &[]),
    ];
    assert!(law(&balances).is_none() && repeats(&balances).is_none());
    balances[0].law = Some(0.3);
    balances[1].law = Some(0.5);
    balances[2].law = Some(0.1);
    assert_eq!(law(&balances), pole_law(0.5));
    assert!(law(&balances).is_some());
    balances[0].repeats = 2.0;
    balances[1].repeats = 4.0;
    near(
        repeats(&balances).unwrap().effect_db.unwrap(),
        10.0 * libm::log10(4.0),
    );
}
