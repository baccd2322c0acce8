//! Readings that are bounds: `<X`, `>X`, `inf`.

use crate::tools::{Out, bounded, directions, exact, grid, near, readings, rows, sine};
use spheresum_core::reduce::ReduceOptions;
use spheresum_core::unit::level::w_from_dbm;
use spheresum_core::{Group, Mark, Polarisation, Quantity, Reading, Value};
use std::f64::consts::PI;

/// The same value for each polarisation in every direction of a 15° grid; phi carries the mark.
fn marked_phi(theta: f64, phi: f64, mark: Mark) -> Vec<Reading> {
    let mut all = rows(&directions(&grid((12, 24))), |_, _| [theta, phi]);
    for row in all
        .iter_mut()
        .filter(|r| r.polarisation == Polarisation::Phi)
    {
        row.mark = mark;
    }
    all
}

fn out(quantity: Quantity, all: &[Reading], options: &ReduceOptions) -> Out {
    Out::of(readings(quantity, all), options)
}

#[test]
fn a_power_below_x_lies_between_nothing_and_x() {
    let all = marked_phi(1e-3, 1e-4, Mark::AtMost);
    let out = out(Quantity::Eirp, &all, &exact());
    near(out.get("trp"), 1.05e-3, 1e-12, "half of X stands for it");
    bounded(out.bounds("trp"), (1e-3, 1.1e-3), 1e-12, "trp");
    near(out.get("uhrp"), 0.525e-3, 1e-12, "uhrp");
    near(out.get("peak_eirp"), 1.05e-3, 1e-12, "peak");
    bounded(out.bounds("peak_eirp"), (1e-3, 1.1e-3), 1e-12, "peak");
    assert!(out.has_finding("marked"));
}

#[test]
fn an_overload_has_no_upper_bound() {
    let mut all = rows(&directions(&grid((12, 24))), |_, _| [1e-3, 1e-3]);
    let at = all
        .iter()
        .position(|r| (r.theta_deg, r.phi_deg) == (90.0, 45.0))
        .unwrap();
    all[at].value = Value::Power(5e-3);
    all[at].mark = Mark::AtLeast;
    let out = out(Quantity::Eirp, &all, &exact());
    // Weight of the ring at 90° of 15° steps, halved and shared by 24 columns (cosine series, mpmath 1.3.0).
    let weight = 0.261_989_861_989_862 / 2.0 / 24.0;
    near(out.get("trp"), 2e-3 + 4e-3 * weight, 1e-12, "trp");
    let (lower, upper) = out.bounds("trp");
    near(lower.unwrap(), 2e-3 + 4e-3 * weight, 1e-12, "lower");
    assert_eq!(upper, None);
    near(out.get("peak_eirp"), 6e-3, 1e-12, "peak");
    assert_eq!(out.bounds("peak_eirp").1, None);
    // The other polarisation does not know of it.
    bounded(out.bounds("trp_phi"), (1e-3, 1e-3), 1e-12, "trp_phi");
    assert!(out.has_finding("marked"));
}

#[test]
fn a_link_lost_at_x_adds_nothing_or_as_much_as_x() {
    let all = marked_phi(w_from_dbm(-100.0), w_from_dbm(-90.0), Mark::AtLeast);
    let out = out(Quantity::Eis, &all, &exact());
    near(out.get("tis"), 1e-13, 1e-12, "1/EIS counts as 0");
    // 1/EIS up to 1/X: ten per cent more.
    bounded(out.bounds("tis"), (1e-13 / 1.1, 1e-13), 1e-12, "tis");
    near(out.get("best_eis"), 1e-13, 1e-12, "best");
    bounded(
        out.bounds("worst_eis"),
        (1e-13 / 1.1, 1e-13),
        1e-12,
        "worst",
    );
    assert!(out.has_finding("marked"));
}

#[test]
fn a_sensitivity_below_the_lowest_level_is_open_on_the_better_side() {
    let all = marked_phi(w_from_dbm(-100.0), w_from_dbm(-90.0), Mark::AtMost);
    let out = out(Quantity::Eis, &all, &exact());
    near(out.get("tis"), 1e-13 / 1.1, 1e-12, "1/EIS counts as 1/X");
    let (lower, upper) = out.bounds("tis");
    assert_eq!(lower, None);
    near(upper.unwrap(), 1e-13 / 1.1, 1e-12, "upper");
}

#[test]
fn a_link_lost_at_an_unknown_level_needs_to_be_told_it() {
    let all = marked_phi(w_from_dbm(-100.0), f64::INFINITY, Mark::AtLeast);
    let open = out(Quantity::Eis, &all, &exact());
    near(open.get("tis"), 1e-13, 1e-12, "tis");
    assert_eq!(open.bounds("tis").0, None);
    near(open.bounds("tis").1.unwrap(), 1e-13, 1e-12, "upper");
    let mut options = exact();
    options.eis_max_dbm = Some(-90.0);
    let told = out(Quantity::Eis, &all, &options);
    near(told.get("tis"), 1e-13, 1e-12, "tis");
    let (lower, upper) = told.bounds("tis");
    near(upper.unwrap(), 1e-13, 1e-12, "upper");
    // 1/X everywhere for phi. At the poles, which weigh 1/143 of 2 each, the lost part is not known apart: up to 1/X in each half.
    let (loose, tight) = (1e-13 / (1.1 + 0.1 / 143.0), 1e-13 / 1.1);
    let lower = lower.unwrap();
    assert!(
        lower >= loose * (1.0 - 1e-12) && lower <= tight * (1.0 + 1e-12),
        "{lower:e}"
    );
    let eirp = readings(
        Quantity::Eirp,
        &rows(&directions(&grid((12, 24))), |_, _| [1.0, 1.0]),
    );
    assert_eq!(
        Out::of_all(&[eirp], &options).err().unwrap().group(),
        Group::Usage
    );
}

#[test]
fn the_nulls_of_a_z_dipole_weigh_what_the_rule_gives_them() {
    // EISθ = TIS/(1.5 sin²θ); phi, and both at the poles, are never heard.
    for n in [6_usize, 12, 18] {
        let mut all = rows(&directions(&grid((n, 2 * n))), |theta, _| {
            let sine = libm::sin(theta.to_radians());
            let lost = theta == 0.0 || theta == 180.0;
            [
                if lost {
                    f64::INFINITY
                } else {
                    1e-13 / (1.5 * sine * sine)
                },
                f64::INFINITY,
            ]
        });
        for row in all
            .iter_mut()
            .filter(|r| r.value == Value::Power(f64::INFINITY))
        {
            row.mark = Mark::AtLeast;
        }
        let mut options = exact();
        options.eis_max_dbm = Some(-80.0);
        let out = out(Quantity::Eis, &all, &options);
        near(out.get("tis"), 1e-13, 1e-12, "tis");
        // X is 20 dB above the TIS. Phi may add 1/X everywhere, theta at the two poles, which weigh 1/(N²−1) of 2 each for even N.
        let poles = 1.0 / (n * n - 1) as f64;
        bounded(
            out.bounds("tis"),
            (1e-13 / (1.0 + 0.01 * (1.0 + poles)), 1e-13),
            1e-12,
            "tis",
        );
    }
}

#[test]
fn a_window_does_not_know_of_marks_outside_it() {
    let mut all = rows(&directions(&grid((12, 24))), |_, _| [1e-3, 1e-3]);
    for row in &mut all {
        if row.polarisation == Polarisation::Phi && [30.0, 150.0].contains(&row.theta_deg) {
            row.mark = Mark::AtMost;
        }
    }
    let out = out(Quantity::Eirp, &all, &sine());
    let (lower, upper) = out.bounds("nhprp_45");
    near(lower.unwrap(), out.get("nhprp_45"), 1e-15, "lower");
    near(upper.unwrap(), out.get("nhprp_45"), 1e-15, "upper");
    // Two rings of sin 30° weigh 2·(π/2N)·½ = π/24 of the sphere.
    let (lower, upper) = out.bounds("trp");
    near(
        upper.unwrap() - lower.unwrap(),
        1e-3 * PI / 24.0,
        1e-9,
        "trp",
    );
    near(
        upper.unwrap() - out.get("trp"),
        0.5e-3 * PI / 24.0,
        1e-9,
        "half of X stands for it",
    );
}

#[test]
fn a_repeat_with_a_mark_narrows_the_bounds() {
    // Phi once 1 mW, once below 1 mW: between 0.5 and 1 mW in the mean.
    let mut all = marked_phi(1e-3, 1e-3, Mark::AtMost);
    let exact_too: Vec<Reading> = all
        .iter()
        .filter(|r| r.polarisation == Polarisation::Phi)
        .map(|r| Reading {
            mark: Mark::Exact,
            ..*r
        })
        .collect();
    all.extend(exact_too);
    let out = out(Quantity::Eirp, &all, &exact());
    near(out.get("trp"), 1.75e-3, 1e-12, "trp");
    bounded(out.bounds("trp"), (1.5e-3, 2e-3), 1e-12, "trp");
}

#[test]
fn links_that_held_above_the_largest_eis_contradict_it() {
    let mut all = rows(&directions(&grid((6, 12))), |_, _| [1e-12, 1e-12]);
    all[30].value = Value::Power(f64::INFINITY);
    all[30].mark = Mark::AtLeast;
    for (dbm, agrees) in [(-89.0, true), (-91.0, false)] {
        let mut options = exact();
        options.eis_max_dbm = Some(dbm);
        let reduced = Out::of_all(&[readings(Quantity::Eis, &all)], &options);
        assert_eq!(
            reduced.is_ok(),
            agrees,
            "links held at −90 dBm, lost at {dbm}"
        );
    }
}
