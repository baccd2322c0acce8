//! Hand-made readings whose slots, means and findings are plain numbers.

#![allow(clippy::unwrap_used, clippy::panic)]

mod again;
mod marks;
mod of_fields;

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
