//! Hand-made readings whose slots, means and findings are plain numbers.

#![allow(clippy::unwrap_used, clippy::panic)]

use super::*;
use crate::assemble::samples::{Made, assembled, coded, near};
use crate::finding::Severity;
use crate::model::Polarisation::{Phi, Theta, Total};
use crate::model::{Bound, EqualAngleGrid, FieldScale, Mark, State, Value};
use crate::unit::level;
use num_complex::Complex64;

const GHZ: f64 = 1e9;

/// θ step 45°, φ step 90°, so that direction = 4·ring + column; another value in each slot of two frequencies. The higher is read first.
fn value(f: usize, p: usize, ring: usize, j: usize) -> f64 {
    (1 + 1000 * f + 100 * p + 10 * ring + j) as f64
}

fn push_inner(made: &mut Made, f: usize, each: impl Fn(&mut Made, usize, usize, usize)) {
    made.frequency = Frequency::from_hz((f + 1) as f64 * GHZ);
    for ring in 1..4 {
        for j in 0..4 {
            each(made, f, ring, j);
        }
    }
}

fn both(made: &mut Made, f: usize, ring: usize, j: usize) {
    let at = (45.0 * ring as f64, 90.0 * j as f64);
    made.exact(at, Theta, value(f, 0, ring, j));
    made.exact(at, Phi, value(f, 1, ring, j));
}

fn poles(made: &mut Made) {
    for theta in [0.0, 180.0] {
        made.exact((theta, 90.0), Theta, 3.0);
        made.exact((theta, 90.0), Phi, 5.0);
    }
}

fn plain() -> Made {
    let mut made = Made::new("plain", Quantity::Eirp);
    push_inner(&mut made, 1, both);
    poles(&mut made);
    push_inner(&mut made, 0, both);
    poles(&mut made);
    made
}

#[test]
fn every_reading_lands_in_its_slot() {
    let made = plain();
    let found = assembled(&[made.readings]);
    assert_eq!(found.findings, []);
    assert_eq!(found.step.options["snap-deg"], "0.1");
    assert_eq!(
        found.step.did,
        ["equal-angle grid: θ step 45°, φ step 90°, largest deviation 0.000°"]
    );
    let values = found.sphere.power().unwrap();
    assert_eq!(values.dim(), (2, 2, 20));
    for ((f, p, d), got) in values.indexed_iter() {
        // Half of 3 + 5 at the poles.
        let want = if (4..16).contains(&d) {
            value(f, p, d / 4, d % 4)
        } else {
            4.0
        };
        assert_eq!(*got, want, "{f} {p} {d}");
        assert_eq!(found.sphere.states()[(f, p, d)], State::Measured);
    }
}

#[test]
fn repeats_become_means_and_are_told() {
    let mut made = plain();
    made.frequency = Frequency::from_hz(2.0 * GHZ);
    // 1124 at ring 2, φ = 270°, and at the same place as −90° and behind the pole.
    made.exact((90.0, -90.0), Phi, 562.0);
    made.exact((270.0, 90.0), Phi, 2810.0);
    // Ring 3, φ = 90°: 1032 and at most 8, of which 4 stands.
    made.push((135.0, 90.0), Theta, Value::Power(8.0), Mark::AtMost);
    made.frequency = Frequency::from_hz(GHZ);
    // Ring 1, φ = 0°: 11, and 22 at 360°.
    made.exact((45.0, 360.0), Theta, 22.0);
    let found = assembled(&[made.readings]);
    let values = found.sphere.power().unwrap();
    near(values[(1, 1, 11)], (1124.0 + 562.0 + 2810.0) / 3.0);
    near(values[(1, 0, 13)], (1032.0 + 4.0) / 2.0);
    near(values[(0, 0, 4)], 16.5);
    assert_eq!(values[(0, 1, 4)], value(0, 1, 1, 0));
    assert_eq!(found.sphere.states()[(1, 0, 13)], State::AtMost);
    assert_eq!(
        found.sphere.bounds(),
        [Bound {
            at: (1, 0, 13),
            lower: 516.0,
            upper: Some(520.0),
        }]
    );
    // 2810/562 = 5. The share of a ring of N = 4 is sin θ·sin 22.5°, a quarter of it a sample, of four spheres:
    // (½√2 + 1 + ½√2)·0.38268/16 = 5.8 %.
    let repeats = coded(&found.findings, "repeats").unwrap();
    assert_eq!(repeats.severity, Severity::Warning);
    near(repeats.effect_db.unwrap(), 10.0 * libm::log10(5.0));
    assert!(
        repeats.message.starts_with("3 samples of eirp were read more than once (1 readings stand at φ = 360°, which is φ = 0°): 5.8 % of the sphere is double"),
        "{}",
        repeats.message
    );
    assert!(repeats.message.contains("disagree by 6.99 dB at most"));
    // 22 over 11 on one pair, half of it in the mean.
    let seam = coded(&found.findings, "seam").unwrap();
    near(seam.effect_db.unwrap(), 5.0 * libm::log10(2.0));
    assert!(coded(&found.findings, "drift").is_none());
}

#[test]
fn small_repeats_are_a_note_and_marks_do_not_disagree() {
    let of = |extra: &dyn Fn(&mut Made)| {
        let mut made = Made::new("small", Quantity::Gain);
        push_inner(&mut made, 0, both);
        extra(&mut made);
        let found = assembled(&[made.readings]);
        coded(&found.findings, "repeats").unwrap().clone()
    };
    let told = of(&|m| m.exact((90.0, 90.0), Phi, 122.0 * level::ratio_from_db(0.49)));
    assert_eq!(told.severity, Severity::Note);
    // sin 22.5°/4 of two polarisations: 4.8 %.
    assert!(
        told.message
            .starts_with("1 samples of gain were read more than once: 4.8 % of"),
        "{}",
        told.message
    );
    let told = of(&|m| m.exact((90.0, 90.0), Phi, 122.0 * level::ratio_from_db(-0.51)));
    assert_eq!(told.severity, Severity::Warning);
    assert!(told.message.contains("by 0.51 dB at most"));
    // Zeros and marks have no ratio.
    let told = of(&|m| m.exact((90.0, 90.0), Phi, 0.0));
    assert_eq!(told.effect_db, Some(0.0));
    let told = of(&|m| m.push((90.0, 90.0), Phi, Value::Power(9.0), Mark::AtMost));
    assert_eq!(told.effect_db, Some(0.0));
    let mut made = Made::new("nothing", Quantity::Gain);
    for _ in 0..2 {
        push_inner(&mut made, 0, |m, _, ring, j| {
            m.exact((45.0 * ring as f64, 90.0 * j as f64), Theta, 0.0);
        });
    }
    let found = assembled(&[made.readings]);
    let told = coded(&found.findings, "repeats").unwrap();
    assert_eq!(told.effect_db, Some(0.0));
    assert!(
        told.message.contains("by 0.00 dB at most"),
        "{}",
        told.message
    );
}

#[test]
fn the_seam_is_within_half_a_degree_of_a_turn() {
    let mut made = Made::new("seam", Quantity::Eirp);
    push_inner(&mut made, 0, both);
    let exact = Interval::of_reading(Quantity::Eirp, 2.0, Mark::Exact);
    let mut repeats = repeats::Repeats::default();
    for phi in [359.4, 359.5, 359.6, 360.0, 360.4, 360.5, 0.0] {
        repeats.first(3, phi);
        repeats.push(3, phi, exact);
    }
    let mut values = [0.0, 0.0, 0.0, 5.0];
    repeats.merge(
        &mut values,
        &mut [State::Measured; 4],
        &mut Default::default(),
    );
    near(values[3], (5.0 + 7.0 * 2.0) / 8.0);
    assert_eq!(repeats.often(), [3]);
    assert_eq!(repeats.worst_ratio(), 2.5);
    let directions = (0..4).map(|i| Direction {
        theta_deg: f64::from(i),
        phi_deg: 0.0,
    });
    let grid = Grid::Listed(ListedGrid::new(directions.collect(), "a list"));
    // One of four directions, of two polarisations at five frequencies: 2.5 %.
    let told = repeats.finding(Quantity::Eirp, &grid, (5, 2, 4)).unwrap();
    assert!(
        told.message
            .contains("(6 readings stand at φ = 360°, which is φ = 0°): 2.5 % of"),
        "{}",
        told.message
    );
    // Twice is not often.
    let mut twice = repeats::Repeats::default();
    twice.push(1, 0.0, exact);
    twice.merge(
        &mut values,
        &mut [State::Measured; 4],
        &mut Default::default(),
    );
    assert!(twice.often().is_empty());
    assert!(
        repeats::Repeats::default()
            .finding(Quantity::Eirp, &grid, (5, 2, 4))
            .is_none()
    );
}

#[test]
fn one_sample_read_again_and_again_shows_drift() {
    let mut made = Made::new("drift", Quantity::Eirp);
    push_inner(&mut made, 0, both);
    push_inner(&mut made, 1, both);
    // Phi of ring 1, φ = 270°, at 2 GHz stands on line 24 + 8 = 32, and again on lines 49, 50, 52 and 53: +0.1 dB a line.
    for line in 49..=53 {
        if line == 51 {
            // Marked readings are no reference.
            made.push((45.0, 270.0), Phi, Value::Power(3.0), Mark::AtMost);
            continue;
        }
        let rise = level::ratio_from_db(0.1 * f64::from(line - 32));
        made.exact((45.0, 270.0), Phi, value(1, 1, 1, 3) * rise);
    }
    let found = assembled(&[made.readings]);
    let drift = coded(&found.findings, "drift").unwrap();
    // 21 lines: 2.1 dB, half of it in the mean.
    assert!((drift.effect_db.unwrap() - 1.05).abs() < 1e-9);
    assert!(
        drift
            .message
            .contains("drifts by +2.10 dB between lines 32 and 53 (5 readings of 1 samples"),
        "{}",
        drift.message
    );
}

#[test]
fn a_total_beside_both_is_a_check() {
    let of = |extra: &dyn Fn(&mut Made)| {
        let mut made = plain();
        // θ + φ of ring 2, φ = 90°, at 2 GHz: 1022 + 1122.
        made.frequency = Frequency::from_hz(2.0 * GHZ);
        extra(&mut made);
        let found = assembled(&[made.readings]);
        coded(&found.findings, "total-disagrees").cloned()
    };
    let off = |db: f64| 2144.0 * level::ratio_from_db(db);
    assert_eq!(of(&|m| m.exact((90.0, 90.0), Total, off(0.049))), None);
    assert_eq!(of(&|m| m.exact((90.0, 90.0), Total, off(-0.049))), None);
    let told = of(&|m| {
        m.exact((90.0, 90.0), Total, off(0.051));
        m.exact((90.0, 90.0), Total, off(-0.5));
        m.exact((90.0, 90.0), Total, off(0.01));
        // A marked total, one of 0, and one at a pole are no check.
        m.push((90.0, 90.0), Total, Value::Power(1.0), Mark::AtMost);
        m.exact((90.0, 90.0), Total, 0.0);
        m.exact((0.0, 0.0), Total, 1.0);
    });
    let told = told.unwrap();
    near(told.effect_db.unwrap(), 0.5);
    assert!(
        told.message
            .contains("by more than 0.05 dB in 2 directions, by 0.50 dB at most"),
        "{}",
        told.message
    );
    // Nor is one whose parts are marked, absent, or 0.
    let mut made = Made::new("parts", Quantity::Eirp);
    push_inner(&mut made, 0, |m, f, ring, j| {
        let at = (45.0 * ring as f64, 90.0 * j as f64);
        let powers = [value(f, 0, ring, j), value(f, 1, ring, j)];
        match (ring, j) {
            (1, 0) => m.exact(at, Theta, powers[0]),
            (1, 1) => m.exact(at, Phi, powers[1]),
            (1, 2) => {
                m.push(at, Theta, Value::Power(powers[0]), Mark::AtMost);
                m.exact(at, Phi, powers[1]);
            }
            (1, 3) => {
                m.exact(at, Theta, 0.0);
                m.exact(at, Phi, 0.0);
            }
            _ => both(m, f, ring, j),
        }
        m.exact(
            at,
            Total,
            if ring == 1 {
                1e4
            } else {
                powers[0] + powers[1]
            },
        );
    });
    let found = assembled(&[made.readings]);
    assert!(coded(&found.findings, "total-disagrees").is_none());
    assert_eq!(found.sphere.layout(), Layout::ThetaPhi);
}

#[test]
fn the_layout_follows_from_the_polarisations() {
    let with = |polarisations: &[Polarisation]| {
        let mut made = Made::new("some", Quantity::Eirp);
        push_inner(&mut made, 0, |m, _, ring, j| {
            for (i, p) in polarisations.iter().enumerate() {
                m.exact((45.0 * ring as f64, 90.0 * j as f64), *p, 1.0 + i as f64);
            }
        });
        let found = assembled(&[made.readings]);
        let unused = coded(&found.findings, "single-polarisation-unused");
        (found.sphere.layout(), unused.map(|f| f.message.clone()))
    };
    let said = |p: &str| {
        Some(format!(
            "readings of {p} alone beside the total were not used"
        ))
    };
    assert_eq!(with(&[Theta]), (Layout::ThetaPhi, None));
    assert_eq!(with(&[Theta, Phi]), (Layout::ThetaPhi, None));
    assert_eq!(with(&[Total]), (Layout::TotalOnly, None));
    assert_eq!(with(&[Theta, Total]), (Layout::TotalOnly, said("theta")));
    assert_eq!(with(&[Phi, Total]), (Layout::TotalOnly, said("phi")));
    assert_eq!(with(&[Theta, Phi, Total]).0, Layout::ThetaPhi);
}

#[test]
fn a_list_of_directions_is_in_order() {
    let mut made = Made::new("list", Quantity::Eirp);
    let directions = [(77.7, 200.0), (10.1, 350.0), (77.7, 20.0), (-10.1, 20.0)];
    for (i, at) in directions.into_iter().enumerate() {
        made.exact(at, Total, 1.0 + i as f64);
    }
    made.exact((10.1, 350.0), Total, 4.0);
    let found = assembled(&[made.readings]);
    let Grid::Listed(grid) = found.sphere.grid() else {
        panic!("{:?}", found.sphere.grid())
    };
    let at: Vec<(f64, f64)> = grid
        .directions()
        .iter()
        .map(|d| (d.theta_deg, d.phi_deg))
        .collect();
    // −10.1° at φ = 20° is 10.1° at 200°.
    assert_eq!(
        at,
        [(10.1, 200.0), (10.1, 350.0), (77.7, 20.0), (77.7, 200.0)]
    );
    let values = found.sphere.power().unwrap();
    assert_eq!(
        values.iter().copied().collect::<Vec<_>>(),
        [4.0, 3.0, 3.0, 1.0]
    );
    assert!(
        found.step.did[0].starts_with("listed grid: "),
        "{:?}",
        found.step.did
    );
    // One of four.
    let told = coded(&found.findings, "repeats").unwrap();
    assert!(
        told.message.contains("25.0 % of the sphere"),
        "{}",
        told.message
    );
}

#[test]
fn what_makes_no_sphere_is_refused() {
    let limits = Limits::default();
    let readings = plain().readings;
    let run = std::slice::from_ref(&readings);
    assert!(assemble(run, 10.0, &limits).is_ok());
    assert!(assemble(run, 1e-9, &limits).is_ok());
    for (snap, said) in [(0.0, "0"), (-1.0, "-1"), (10.5, "10.5"), (f64::NAN, "NaN")] {
        let error = assemble(run, snap, &limits).unwrap_err();
        assert_eq!(
            error.message(),
            format!("snap distance {said}° is not in 0…10°")
        );
    }
    // 2 frequencies, 2 polarisations, 20 directions.
    let at_most = |max_samples| Limits {
        max_samples,
        ..Limits::default()
    };
    assert!(assemble(run, 0.1, &at_most(80)).is_ok());
    let error = assemble(run, 0.1, &at_most(79)).unwrap_err();
    assert_eq!(error.message(), "the sphere has more than 79 samples");
    let empty = Made::new("empty", Quantity::Gain).readings;
    let error = assemble(std::slice::from_ref(&empty), 0.1, &limits).unwrap_err();
    assert_eq!(error.message(), "there are no readings to assemble");
    // Empty ones of another quantity do not disturb.
    assert!(assemble(&[empty, readings.clone()], 0.1, &limits).is_ok());
    let mut gain = Made::new("other", Quantity::Gain);
    gain.exact((45.0, 0.0), Theta, 1.0);
    let error = assemble(&[readings, gain.readings], 0.1, &limits).unwrap_err();
    assert_eq!(error.message(), "plain holds eirp and other holds gain");
}

#[test]
fn poles_are_judged_once_both_have_one_scale() {
    let of = |quantity| {
        let mut made = Made::new("pole", quantity);
        push_inner(&mut made, 0, both);
        for j in 0..4 {
            made.exact((0.0, 90.0 * f64::from(j)), Theta, 2.0);
            made.exact((0.0, 90.0 * f64::from(j)), Phi, 1.0);
        }
        // A repeat that is 2 dB off.
        made.exact((0.0, 0.0), Phi, level::ratio_from_db(2.0));
        made.exact((0.0, 0.0), Phi, 1.0);
        assembled(&[made.readings])
    };
    let now = of(Quantity::Eirp);
    // Phi at 0° is (2 + 10^0.2)/3.
    let phi = (3.0 + (2.0 + libm::pow(10.0, 0.2)) / 3.0) / 4.0;
    let imbalance = coded(&now.findings, "pole-imbalance").unwrap();
    near(imbalance.effect_db.unwrap(), 10.0 * libm::log10(2.0 / phi));
    near(
        coded(&now.findings, "pole-spread")
            .unwrap()
            .effect_db
            .unwrap(),
        2.0,
    );
    assert_eq!(now.poles(|_| 4.0), []);
    let later = of(Quantity::ReceivedPower);
    assert!(coded(&later.findings, "pole-imbalance").is_none());
    near(
        coded(&later.findings, "pole-spread")
            .unwrap()
            .effect_db
            .unwrap(),
        2.0,
    );
    let told = later.poles(|_| 4.0);
    let imbalance = coded(&told, "pole-imbalance").unwrap();
    near(imbalance.effect_db.unwrap(), 10.0 * libm::log10(8.0 / phi));
    assert_eq!(later.sphere.power().unwrap()[(0, 0, 2)], 2.0);
    near(later.sphere.power().unwrap()[(0, 1, 2)], phi);
}

#[test]
fn rings_and_columns_are_the_nearest() {
    let grid = EqualAngleGrid::try_new(4, 4, 10.0).unwrap();
    for (phi, want) in [
        (0.0, 0),
        (10.0, 0),
        (54.9, 0),
        (55.1, 1),
        (324.9, 3),
        (325.1, 0),
        (359.0, 0),
    ] {
        assert_eq!(column(&grid, phi), want, "{phi}");
    }
    for (theta, want) in [
        (0.0, 0),
        (22.4, 0),
        (22.6, 1),
        (157.4, 3),
        (157.6, 4),
        (180.0, 4),
    ] {
        assert_eq!(ring(&grid, theta), want, "{theta}");
    }
}

#[test]
fn marks_become_points_and_bounds() {
    // The table in the documentation of `of_reading`, with X = 4: X/2 = 2, 1/X = 0.25.
    for (quantity, mark, point, lower, upper, state) in [
        (
            Quantity::Eirp,
            Mark::Exact,
            4.0,
            4.0,
            Some(4.0),
            State::Measured,
        ),
        (
            Quantity::Gain,
            Mark::AtMost,
            2.0,
            0.0,
            Some(4.0),
            State::AtMost,
        ),
        (
            Quantity::Eirp,
            Mark::AtLeast,
            4.0,
            4.0,
            None,
            State::AtLeast,
        ),
        (
            Quantity::Eis,
            Mark::Exact,
            0.25,
            0.25,
            Some(0.25),
            State::Measured,
        ),
        (
            Quantity::Eis,
            Mark::AtLeast,
            0.0,
            0.0,
            Some(0.25),
            State::AtLeast,
        ),
        (
            Quantity::InstrumentLevel,
            Mark::AtMost,
            0.25,
            0.25,
            None,
            State::AtMost,
        ),
    ] {
        let want = Interval {
            point,
            lower,
            upper,
            state,
        };
        assert_eq!(Interval::of_reading(quantity, 4.0, mark), want);
    }
    let lost = Interval::of_reading(Quantity::Eis, f64::INFINITY, Mark::AtLeast);
    assert_eq!((lost.point, lost.lower, lost.upper), (0.0, 0.0, None));
    let of = |x, mark| Interval::of_reading(Quantity::Eirp, x, mark);
    // (6 + 4/2)/2 in (6 + 0)/2 … (6 + 4)/2.
    let mean = Interval::mean(&mut [of(6.0, Mark::Exact), of(4.0, Mark::AtMost)]).unwrap();
    assert_eq!(
        (mean.point, mean.lower, mean.upper, mean.state),
        (4.0, 3.0, Some(5.0), State::AtMost)
    );
    let mean = Interval::mean(&mut [of(6.0, Mark::AtLeast), of(4.0, Mark::AtMost)]).unwrap();
    assert_eq!((mean.upper, mean.state), (None, State::AtLeast));
    assert_eq!(Interval::mean(&mut []), None);
    use State::{AtLeast, AtMost, Filled, Measured, Missing};
    for (a, b, want) in [
        (Measured, Measured, Measured),
        (Measured, AtMost, AtMost),
        (AtMost, AtLeast, AtLeast),
        (Filled, AtLeast, AtLeast),
        (Missing, AtMost, AtMost),
        (Measured, Missing, Missing),
        (Missing, Filled, Filled),
    ] {
        assert_eq!(
            (interval::joined(a, b), interval::joined(b, a)),
            (want, want)
        );
    }
}

mod of_fields {
    use super::*;

    fn field(made: &mut Made, at: (f64, f64), theta: (f64, f64), phi: (f64, f64)) {
        for (p, e) in [(Theta, theta), (Phi, phi)] {
            made.push(at, p, Value::Field(Complex64::new(e.0, e.1)), Mark::Exact);
        }
    }

    fn inner() -> Made {
        let mut made = Made::new("field", Quantity::Field(FieldScale::Relative));
        for f in [1, 0] {
            push_inner(&mut made, f, |m, f, ring, j| {
                let at = (45.0 * ring as f64, 90.0 * j as f64);
                field(
                    m,
                    at,
                    (value(f, 0, ring, j), 1.0),
                    (value(f, 1, ring, j), -2.0),
                );
            });
        }
        made
    }

    fn fields(found: &Assembled) -> &ndarray::Array3<Complex64> {
        match found.sphere.data() {
            crate::model::Data::Field(values) => values,
            crate::model::Data::Power(_) => panic!("powers"),
        }
    }

    #[test]
    fn vectors_are_averaged_and_change_sign_behind_a_pole() {
        let mut made = inner();
        made.frequency = Frequency::from_hz(2.0 * GHZ);
        // Ring 1, φ = 270° from behind the pole, where both components have the other sign: −(1014 + i), so that the mean is
        // (1014 + i + 4 − 3i)/2 = 509 − i.
        let behind = Value::Field(Complex64::new(-4.0, 3.0));
        made.push((-45.0, 90.0), Theta, behind, Mark::Exact);
        made.push(
            (135.0, 180.0),
            Phi,
            Value::Field(Complex64::new(0.0, 0.0)),
            Mark::Exact,
        );
        let found = assembled(&[made.readings]);
        let values = fields(&found);
        assert_eq!(values[(1, 0, 7)], Complex64::new(509.0, -1.0));
        assert_eq!(values[(1, 1, 14)], Complex64::new(1133.0 / 2.0, -1.0));
        assert_eq!(values[(0, 1, 14)], Complex64::new(133.0, -2.0));
        assert_eq!(found.sphere.states()[(0, 1, 14)], State::Measured);
        assert_eq!(found.sphere.states()[(0, 1, 2)], State::Missing);
        let told = coded(&found.findings, "repeats").unwrap();
        assert_eq!(
            told.message,
            "2 samples were read more than once and averaged as vectors"
        );
        assert!(coded(&assembled(&[inner().readings]).findings, "repeats").is_none());
    }

    /// Components of x̂ + 2i·ŷ at a pole: θ̂ = (± cos φ, ± sin φ), φ̂ = (−sin φ, cos φ), the upper sign at θ = 0.
    fn components(j: usize, south: bool) -> (Complex64, Complex64) {
        let (c, s) = [(1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0)][j];
        let theta = Complex64::new(c, 2.0 * s);
        let theta = if south { -theta } else { theta };
        (theta, Complex64::new(-s, 2.0 * c))
    }

    #[test]
    fn one_vector_is_turned_to_every_column() {
        for (theta_deg, south) in [(0.0, false), (180.0, true)] {
            for from in 0..4 {
                let mut made = inner();
                made.frequency = Frequency::from_hz(2.0 * GHZ);
                let (t, p) = components(from, south);
                let at = (theta_deg, 90.0 * from as f64);
                field(&mut made, at, (t.re, t.im), (p.re, p.im));
                let found = assembled(&[made.readings]);
                assert!(coded(&found.findings, "pole-spread").is_none());
                for j in 0..4 {
                    let at = if south { 16 + j } else { j };
                    let (t, p) = components(j, south);
                    let values = fields(&found);
                    assert!(
                        (values[(1, 0, at)] - t).norm() < 1e-15,
                        "{south} {from} {j}"
                    );
                    assert!(
                        (values[(1, 1, at)] - p).norm() < 1e-15,
                        "{south} {from} {j}"
                    );
                    for part in 0..2 {
                        assert_eq!(found.sphere.states()[(1, part, at)], State::Measured);
                        assert_eq!(found.sphere.states()[(0, part, at)], State::Missing);
                    }
                }
            }
        }
    }

    #[test]
    fn vectors_that_differ_at_a_pole_are_told() {
        let of = |second: f64| {
            let mut made = inner();
            // x̂ at φ = 0°, from two readings, and `second`·x̂ at φ = 90°, where it is −φ̂.
            field(&mut made, (0.0, 0.0), (0.6, 0.2), (0.0, 0.5));
            field(&mut made, (0.0, 90.0), (0.0, 0.0), (-second, 0.0));
            field(&mut made, (0.0, 0.0), (1.4, -0.2), (0.0, -0.5));
            assembled(&[made.readings])
        };
        // 1 and 1.2: 0.1 off 1.1.
        let found = of(1.2);
        let told = coded(&found.findings, "pole-spread").unwrap();
        assert!(told.message.contains("by 9.1 % of it"), "{}", told.message);
        assert!((fields(&found)[(0, 0, 0)] - 1.1).norm() < 1e-15);
        assert!((fields(&found)[(0, 0, 2)] + 1.1).norm() < 1e-15);
        // 1 and 1.1: 4.8 %; 1 and 1.11: 5.2 %.
        assert!(coded(&of(1.1).findings, "pole-spread").is_none());
        assert!(coded(&of(1.11).findings, "pole-spread").is_some());
        assert!(coded(&of(1.0).findings, "pole-spread").is_none());
    }

    #[test]
    fn a_component_alone_cannot_be_turned() {
        let mut made = inner();
        let one = Value::Field(Complex64::new(1.0, 0.0));
        made.push((0.0, 0.0), Theta, one, Mark::Exact);
        made.push((0.0, 90.0), Phi, one, Mark::Exact);
        let error = assemble(&[made.readings], 0.1, &Limits::default()).unwrap_err();
        assert_eq!(
            error.message(),
            "at a pole the two components of the field must be read at the same φ"
        );
        // Nothing at all at a pole, and no field, is no spread.
        let mut made = inner();
        field(&mut made, (0.0, 0.0), (0.0, 0.0), (0.0, 0.0));
        assert!(coded(&assembled(&[made.readings]).findings, "pole-spread").is_none());
    }
}
