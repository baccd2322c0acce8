//! The same sphere in other directions: φ that starts elsewhere, poles read once or everywhere or not at all, great circles, read-backs.

use crate::sources::{Dipole, field, power, size};
use crate::tools::{Out, Random, by, directions, exact, grid, near, reading, readings, rows};
use spheresum_core::model::{Data, FieldScale};
use spheresum_core::reduce::ReduceOptions;
use spheresum_core::rule::{Edges, Rule};
use spheresum_core::{
    EqualAngleGrid, Group, Limits, Polarisation, Quantity, Reading, Value, assemble,
};

/// A dipole with its TRP: (2/3)|p|².
fn source(seed: u64) -> (Dipole, f64) {
    let dipole = Dipole::random(&mut Random(seed));
    let trp = 2.0 / 3.0 * size(dipole.moment);
    (dipole, trp)
}

fn eirp(dipole: Dipole, at: &[(f64, f64)]) -> Vec<Reading> {
    let dipoles = [dipole];
    rows(at, |t, p| power(&dipoles, t, p))
}

fn is_pole(theta_deg: f64) -> bool {
    theta_deg == 0.0 || theta_deg == 180.0
}

#[test]
fn phi_may_start_anywhere() {
    for (n, m, start) in [
        (12, 24, 7.5),
        (9, 18, 3.0),
        (36, 72, 2.5),
        (8, 25, 11.1),
        (5, 3, 100.0),
    ] {
        let (dipole, trp) = source(1);
        let at = directions(&EqualAngleGrid::try_new(n, m, start).unwrap());
        let out = Out::of(readings(Quantity::Eirp, &eirp(dipole, &at)), &exact());
        let found = out.0.sphere.grid().equal_angle().copied().unwrap();
        assert_eq!((found.intervals(), found.phi_count()), (n, m));
        assert!((found.phi_start_deg() - start).abs() < 1e-9);
        near(out.get("trp"), trp, 1e-12, &format!("φ from {start}°"));
    }
}

#[test]
fn poles_may_be_read_once_or_at_any_phi() {
    let wanted: [&[f64]; 4] = [&[0.0], &[37.3], &[90.0, 200.0, 211.0], &[15.0, 15.0, 300.0]];
    for (north, south) in wanted
        .iter()
        .flat_map(|a| wanted.iter().map(move |b| (a, b)))
    {
        let (dipole, trp) = source(2);
        let t = dipole.moment[0].norm_sqr() + dipole.moment[1].norm_sqr();
        let mut at = directions(&grid((12, 24)));
        at.retain(|d| !is_pole(d.0));
        at.extend(north.iter().map(|phi| (0.0, *phi)));
        at.extend(south.iter().map(|phi| (180.0, *phi)));
        let out = Out::of(readings(Quantity::Eirp, &eirp(dipole, &at)), &exact());
        near(out.get("trp"), trp, 1e-12, "poles once");
        // Each polarisation has half of the pole's total, whatever φ it was read at: ⟨|Eφ|²⟩ = t/2.
        near(out.get("trp_phi"), t / 2.0, 1e-12, "poles once, phi");
    }
}

#[test]
fn poles_that_were_not_read_follow_the_other_rings() {
    for at in [(12, 24), (15, 30), (9, 18), (36, 8)] {
        for absent in [[0.0, 180.0], [0.0, 0.0], [180.0, 180.0]] {
            let (dipole, trp) = source(4);
            let mut directions = directions(&grid(at));
            directions.retain(|d| !absent.contains(&d.0));
            let all = eirp(dipole, &directions);
            let out = Out::of(readings(Quantity::Eirp, &all), &exact());
            // The ring means have degree 2, which the fit holds.
            near(
                out.get("trp"),
                trp,
                1e-9,
                &format!("{at:?} without {absent:?}"),
            );
            let (lower, upper) = out.bounds("trp");
            assert!(lower.unwrap() <= trp * (1.0 + 1e-9) && upper.unwrap() >= trp * (1.0 - 1e-9));
            assert!(out.has_finding("poles-fitted") && !out.has_finding("gaps"));
            let out = Out::of(readings(Quantity::Eirp, &all), &ReduceOptions::default());
            assert_eq!(
                out.0.rule,
                Rule::Sine,
                "poles are no gap under the sine rule"
            );
            assert!(out.get("trp") > 0.9 * trp && out.bounds("trp").0 == out.bounds("trp").1);
        }
    }
}

/// Great circles through the poles: θ all round, φ over half a turn.
fn circles(n: usize, m: usize, from_deg: f64) -> Vec<(f64, f64)> {
    let step = 180.0 / n as f64;
    (0..m / 2)
        .map(|j| 360.0 * j as f64 / m as f64)
        .flat_map(|phi| (0..=2 * n).map(move |i| (from_deg + i as f64 * step, phi)))
        .collect()
}

#[test]
fn great_circles_are_the_same_sphere() {
    for (n, m) in [(12, 24), (9, 18), (8, 30)] {
        for from_deg in [-180.0, 0.0] {
            let (dipole, trp) = source(5);
            let what = format!("{n} × {m} from {from_deg}°");
            let at = circles(n, m, from_deg);
            let out = Out::of(readings(Quantity::Eirp, &eirp(dipole, &at)), &exact());
            let found = out.0.sphere.grid().equal_angle().copied().unwrap();
            assert_eq!((found.intervals(), found.phi_count()), (n, m), "{what}");
            near(out.get("trp"), trp, 1e-12, &what);
        }
    }
}

#[test]
fn components_change_sign_where_theta_folds() {
    for from_deg in [-180.0, 0.0] {
        let dipoles = [source(6).0];
        let at = circles(12, 24, from_deg);
        let fields: Vec<Reading> = at
            .iter()
            .flat_map(|d| {
                let [theta, phi] = field(&dipoles, d.0, d.1);
                [
                    reading(*d, Polarisation::Theta, Value::Field(theta)),
                    reading(*d, Polarisation::Phi, Value::Field(phi)),
                ]
            })
            .collect();
        let all = [readings(Quantity::Field(FieldScale::SqrtWatt), &fields)];
        let sphere = assemble::assemble(&all, 0.1, &Limits::default())
            .unwrap()
            .sphere;
        let Data::Field(got) = sphere.data() else {
            panic!("a field")
        };
        // Every sample is what the source sends into the direction by its proper angles, at the poles for every φ.
        for (d, (theta, phi)) in directions(&grid((12, 24))).into_iter().enumerate() {
            for (p, want) in field(&dipoles, theta, phi).into_iter().enumerate() {
                let off = (got[(0, p, d)] - want).norm();
                assert!(
                    off < 1e-14,
                    "θ {theta}° φ {phi}° polarisation {p}: off by {off:e}"
                );
            }
        }
    }
}

#[test]
fn read_backs_snap_to_the_nominal_axes() {
    let (dipole, trp) = source(7);
    let mut random = Random(70);
    let mut all = eirp(dipole, &directions(&grid((12, 24))));
    let nominal = all.clone();
    for row in all.iter_mut().filter(|r| !is_pole(r.theta_deg)) {
        row.theta_deg += 0.09 * random.number();
        row.phi_deg += 0.09 * random.number();
    }
    let out = Out::of(readings(Quantity::Eirp, &all), &exact());
    near(out.get("trp"), trp, 1e-12, "read-backs");
    for (row, at) in all
        .iter_mut()
        .zip(&nominal)
        .filter(|(r, _)| !is_pole(r.theta_deg))
    {
        row.theta_deg = at.theta_deg + 0.29 * random.number();
        row.phi_deg = at.phi_deg + 0.29 * random.number();
    }
    let error = Out::of_all(&[readings(Quantity::Eirp, &all)], &exact())
        .err()
        .unwrap();
    assert_eq!(error.group(), Group::Domain);
    let mut wider = exact();
    wider.snap_deg = 0.3;
    near(
        Out::of(readings(Quantity::Eirp, &all), &wider).get("trp"),
        trp,
        1e-12,
        "wider snap",
    );
}

#[test]
fn listed_directions_are_not_integrated() {
    let mut random = Random(8);
    let scattered: Vec<(f64, f64)> = (0..300)
        .map(|_| {
            (
                90.0 + 90.0 * random.number(),
                180.0 + 180.0 * random.number(),
            )
        })
        .collect();
    let mut sparse = directions(&grid((12, 24)));
    sparse.retain(|_| random.number() > 0.4);
    let one_cut: Vec<(f64, f64)> = directions(&grid((12, 24)))
        .into_iter()
        .filter(|d| d.1 % 180.0 == 0.0)
        .collect();
    for at in [scattered, sparse, one_cut] {
        let all = readings(Quantity::Eirp, &eirp(source(8).0, &at));
        let error = Out::of_all(&[all], &exact()).err().unwrap();
        assert_eq!(error.group(), Group::Domain);
        assert!(
            error.message().contains("not an equal-angle grid"),
            "{error}"
        );
        assert!(error.advice().is_some());
    }
}

#[test]
fn totals_alone_give_what_needs_no_polarisation() {
    let (dipole, trp) = source(9);
    let dipoles = [dipole];
    let total = |t, p| power(&dipoles, t, p).iter().sum::<f64>();
    let at = directions(&grid((12, 24)));
    let totals: Vec<Reading> = at
        .iter()
        .map(|d| reading(*d, Polarisation::Total, Value::Power(total(d.0, d.1))))
        .collect();
    let out = Out::of(readings(Quantity::Eirp, &totals), &exact());
    near(out.get("trp"), trp, 1e-12, "totals");
    near(
        out.get("uhrp"),
        trp / 2.0,
        1e-12,
        "totals, upper hemisphere",
    );
    for name in ["trp_theta", "trp_phi", "polarisation_ratio"] {
        assert!(out.is_refused(name), "{name}");
    }
    // Beside both polarisations the total is a check.
    for (factor, told) in [(1.0, false), (1.2, true)] {
        let mut all = rows(&at, |t, p| power(&dipoles, t, p));
        all.extend(totals.iter().map(|r| Reading {
            value: Value::Power(factor * total(r.theta_deg, r.phi_deg)),
            ..*r
        }));
        let out = Out::of(readings(Quantity::Eirp, &all), &exact());
        near(out.get("trp"), trp, 1e-12, "with totals");
        assert_eq!(out.has_finding("total-disagrees"), told);
    }
}

#[test]
fn every_rule_has_the_same_windows_in_the_exact_form() {
    let (dipole, _) = source(10);
    let all = eirp(dipole, &directions(&grid((9, 18))));
    let of = |rule| Out::of(readings(Quantity::Eirp, &all), &by(rule, Edges::Exact));
    let (sine, curtis) = (of(Rule::Sine), of(Rule::ClenshawCurtis));
    for name in ["nhprp_45", "nhprp_30", "nhprp_22_5", "uhrp", "lhrp"] {
        assert_eq!(sine.figure(name).value, curtis.figure(name).value, "{name}");
        assert_eq!(sine.figure(name).edges, Some(Edges::Exact), "{name}");
    }
    assert!(sine.figure("trp").value != curtis.figure("trp").value);
}
