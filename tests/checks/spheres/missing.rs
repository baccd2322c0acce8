//! Too much is missing: what is refused, what is still given, and what is certain all the same.

use crate::sources::{Dipole, power, size};
use crate::tools::{GRIDS, Out, Random, by, directions, exact, grid, near, readings, rows, sine};
use spheresum_core::fill::Fill;
use spheresum_core::rule::{Edges, Rule};
use spheresum_core::unit::angle::sin_deg;
use spheresum_core::{Polarisation, Quantity, Reading};
use std::f64::consts::PI;

#[test]
fn one_polarisation_alone_is_the_least_there_is() {
    for at in GRIDS {
        let dipoles = [Dipole::random(&mut Random(71))];
        let [x, y, z] = dipoles[0].moment.map(|c| c.norm_sqr());
        let (theta, phi) = ((x + y) / 6.0 + 2.0 / 3.0 * z, (x + y) / 2.0);
        for (polarisation, part, name, other) in [
            (Polarisation::Theta, theta, "trp_theta", "trp_phi"),
            (Polarisation::Phi, phi, "trp_phi", "trp_theta"),
        ] {
            let mut all = rows(&directions(&grid(at)), |t, p| power(&dipoles, t, p));
            all.retain(|r| r.polarisation == polarisation);
            let out = Out::of(readings(Quantity::Eirp, &all), &exact());
            let what = format!("{polarisation} on {at:?}");
            near(out.get(name), part, 1e-12, &what);
            assert!(out.is_refused("trp") && out.is_refused(other), "{what}");
            let (lower, upper) = out.bounds("trp");
            near(lower.unwrap(), part, 1e-12, &what);
            assert_eq!(upper, None, "{what}");
            for refused in [
                "peak_eirp",
                "directivity",
                "uhrp",
                "nhprp_45",
                "polarisation_ratio",
            ] {
                assert!(out.is_refused(refused), "{refused}, {what}");
            }
            let decisive = out.0.decisive_refusals(&exact());
            assert_eq!(
                decisive.iter().map(|f| f.name.as_str()).collect::<Vec<_>>(),
                ["trp"]
            );
            assert!(out.has_finding("gaps"), "{what}");
        }
    }
}

/// An isotropic source on a 15° grid, 0.5 mW in each polarisation, read where `keep` says.
fn isotropic(keep: impl Fn(f64, f64) -> bool) -> Vec<Reading> {
    let mut all = rows(&directions(&grid((12, 24))), |_, _| [0.5e-3, 0.5e-3]);
    all.retain(|r| keep(r.theta_deg, r.phi_deg));
    all
}

/// The sine rule's share of a ring.
fn sine_share(theta_deg: f64) -> f64 {
    PI / 24.0 * sin_deg(theta_deg)
}

#[test]
fn a_sixth_of_the_sphere_is_too_much_to_guess() {
    // Beyond 127.5°: (1 + cos 127.5°)/2 = 19.6 %.
    let all = isotropic(|theta, _| theta < 135.0);
    let out = Out::of(readings(Quantity::Eirp, &all), &sine());
    for name in ["trp", "trp_theta", "nhprp_45", "lhrp", "polarisation_ratio"] {
        assert!(out.is_refused(name), "{name}");
    }
    let read: f64 = (1..=8).map(|i| sine_share(15.0 * f64::from(i))).sum();
    near(
        out.bounds("trp").0.unwrap(),
        1e-3 * read,
        1e-12,
        "what was read",
    );
    // These windows lie wholly in what was read.
    let factor = PI / 24.0 / libm::tan(PI / 24.0);
    near(out.get("nhprp_30"), 0.5e-3 * factor, 1e-12, "nhprp_30");
    near(out.get("uhrp"), 0.5e-3 * factor, 1e-12, "uhrp");
    let (lower, upper) = out.bounds("uhrp");
    near(
        lower.unwrap(),
        out.get("uhrp"),
        1e-15,
        "nothing is missing there",
    );
    near(
        upper.unwrap(),
        out.get("uhrp"),
        1e-15,
        "nothing is missing there",
    );
}

#[test]
fn max_missing_says_how_much_is_too_much() {
    // 7 of 24 columns from 30° to 150°: 7/24 of cos 22.5°, 26.9 %.
    let all = isotropic(|theta, phi| !(30.0..=150.0).contains(&theta) || phi > 90.0);
    let mut options = by(Rule::ClenshawCurtis, Edges::Exact);
    assert!(Out::of(readings(Quantity::Eirp, &all), &options).is_refused("trp"));
    options.max_missing_percent = 25.0;
    assert!(Out::of(readings(Quantity::Eirp, &all), &options).is_refused("trp"));
    options.max_missing_percent = 30.0;
    let out = Out::of(readings(Quantity::Eirp, &all), &options);
    near(
        out.get("trp"),
        1e-3,
        1e-12,
        "a constant is filled by itself",
    );
    // The two outermost rings at each pole weigh 1/143 and 0.066 of 2 (cosine series, mpmath 1.3.0).
    let gap = 7.0 / 24.0 * (1.0 - 0.006_993_006_993_006_993 - 0.066_057_424_952_074_4);
    let (lower, upper) = out.bounds("trp");
    near(lower.unwrap(), 1e-3 * (1.0 - gap), 1e-12, "lower");
    assert!(upper.unwrap() >= 1e-3 * (1.0 - 1e-12));
}

#[test]
fn without_filling_a_gap_is_a_gap() {
    let mut options = sine();
    options.fill = Fill::None;
    let dipoles = [Dipole::random(&mut Random(73))];
    let mut all = rows(&directions(&grid((12, 24))), |t, p| power(&dipoles, t, p));
    let whole = Out::of(readings(Quantity::Eirp, &all), &options);
    assert!(whole.figure("trp").value.is_some());
    all.retain(|r| (r.theta_deg, r.phi_deg) != (30.0, 45.0));
    let out = Out::of(readings(Quantity::Eirp, &all), &options);
    for name in ["trp", "trp_theta", "trp_phi", "uhrp"] {
        assert!(out.is_refused(name), "{name}");
    }
    let lost: f64 = power(&dipoles, 30.0, 45.0).iter().sum::<f64>() * sine_share(30.0) / 24.0;
    near(
        out.bounds("trp").0.unwrap(),
        whole.get("trp") - lost,
        1e-12,
        "lower",
    );
    assert_eq!(out.bounds("trp").1, None);
    for name in ["nhprp_45", "nhprp_30", "lhrp"] {
        assert_eq!(out.figure(name).value, whole.figure(name).value, "{name}");
    }
    // The dipole's power is known: the bound is below it, and not by more than was lost.
    let truth = whole.get("trp");
    assert!((truth / (2.0 / 3.0 * size(dipoles[0].moment)) - 1.0).abs() < 0.01);
}
