//! Gaps in smooth patterns: the fill is near, the bounds hold the truth, and the lower bound counts the gap as nothing.

use crate::sources::{Dipole, power, size};
use crate::tools::{GRIDS, Out, Random, directions, exact, grid, near, readings, rows};
use spheresum_core::fill::Fill;
use spheresum_core::reduce::ReduceOptions;
use spheresum_core::rule::Rule;
use spheresum_core::table::pattern::{ExponentialBeam, Pattern};
use spheresum_core::unit::angle::{cos_deg, sin_deg};
use spheresum_core::{EqualAngleGrid, Quantity, Reading, Value};
use std::f64::consts::PI;

/// Share of the integral that one direction of a ring carries under Clenshaw–Curtis.
fn share(grid: &EqualAngleGrid, ring: usize) -> f64 {
    Rule::ClenshawCurtis.weights(grid.intervals())[ring] / 2.0 / grid.phi_count() as f64
}

/// Readings outside a patch of rings and columns, and what the patch carries of the integral.
fn without(
    all: &[Reading],
    grid: &EqualAngleGrid,
    patch: impl Fn(usize, usize) -> bool,
) -> (Vec<Reading>, f64) {
    let mut lost = 0.0;
    let kept = all
        .iter()
        .filter(|r| {
            let ring = (r.theta_deg / grid.theta_step_deg()).round() as usize;
            let column = (r.phi_deg / grid.phi_step_deg()).round() as usize;
            let gone = patch(ring, column);
            if let (true, Value::Power(p)) = (gone, r.value) {
                lost += p * share(grid, ring);
            }
            !gone
        })
        .copied()
        .collect();
    (kept, lost)
}

/// Largest error of the interpolation along the cuts for a dipole, as a share of |p|². Each polarisation is a trigonometric
/// polynomial of degree 2 along both cuts, between 0 and |p|²: by Bernstein's inequality its second derivative is at most 2|p|², its
/// fourth at most 8|p|². Four points around a gap of `wide` samples leave the fourth times the product of their distances over 24;
/// where a pole is too near for four, two points around one sample leave the second times h²/2.
fn error_of_cuts(grid: &EqualAngleGrid, wide: usize, near_pole: bool) -> f64 {
    let product = [0.0, 4.0, 12.0, 36.0][wide];
    let cubic = |step_deg: f64| 8.0 * step_deg.to_radians().powi(4) * product / 24.0;
    let theta = if near_pole {
        assert_eq!(wide, 1);
        grid.theta_step_deg().to_radians().powi(2)
    } else {
        cubic(grid.theta_step_deg())
    };
    cubic(grid.phi_step_deg()).max(theta)
}

/// Clenshaw–Curtis, gaps filled along the cuts: what these bounds on the error are of.
fn along_cuts() -> ReduceOptions {
    let mut options = exact();
    options.fill = Fill::Cuts;
    options
}

#[test]
fn one_direction_is_filled() {
    let mut random = Random(61);
    for at in [(36, 72), (18, 36), (15, 30), (12, 40)] {
        let grid = grid(at);
        for ring in 1..grid.intervals() {
            let dipoles = [Dipole::random(&mut random)];
            let squared = size(dipoles[0].moment);
            let truth = 2.0 / 3.0 * squared;
            let column = 7 * ring % grid.phi_count();
            let all = rows(&directions(&grid), |t, p| power(&dipoles, t, p));
            let (kept, lost) = without(&all, &grid, |r, c| (r, c) == (ring, column));
            let out = Out::of(readings(Quantity::Eirp, &kept), &along_cuts());
            let what = format!("{at:?} without ring {ring} column {column}");
            let near_pole = ring < 3 || ring + 3 > grid.intervals();
            let allowed = 2.0 * squared * share(&grid, ring) * error_of_cuts(&grid, 1, near_pole);
            let error = (out.get("trp") - truth).abs();
            assert!(
                error <= allowed + 1e-12 * truth,
                "{what}: off by {error:e}, allowed {allowed:e}"
            );
            let (lower, upper) = out.bounds("trp");
            near(lower.unwrap(), truth - lost, 1e-12, &what);
            assert!(
                upper.is_none_or(|u| u >= truth * (1.0 - 1e-12)),
                "{what}: upper {upper:?}"
            );
            assert!(
                out.has_finding("gaps") && out.has_finding("filled"),
                "{what}"
            );
        }
    }
}

#[test]
fn a_patch_is_filled() {
    let mut random = Random(62);
    let mut bounded = 0;
    for (at, wide) in [((36, 72), 2), ((36, 72), 3), ((18, 36), 2), ((18, 36), 3)] {
        let grid = grid(at);
        for first in (3..grid.intervals() - 2 - wide).step_by(3) {
            let dipoles = [Dipole::random(&mut random)];
            let squared = size(dipoles[0].moment);
            let truth = 2.0 / 3.0 * squared;
            let all = rows(&directions(&grid), |t, p| power(&dipoles, t, p));
            // Over the seam.
            let m = grid.phi_count();
            let patch =
                |r: usize, c: usize| (first..first + wide).contains(&r) && (c + 1) % m < wide;
            let (kept, lost) = without(&all, &grid, patch);
            let out = Out::of(readings(Quantity::Eirp, &kept), &along_cuts());
            let what = format!("{at:?} without {wide} × {wide} from ring {first}");
            let weight: f64 = (first..first + wide)
                .map(|r| wide as f64 * share(&grid, r))
                .sum();
            let allowed = 2.0 * squared * weight * error_of_cuts(&grid, wide, false);
            let error = (out.get("trp") - truth).abs();
            assert!(
                error <= allowed,
                "{what}: off by {error:e}, allowed {allowed:e}"
            );
            let (lower, upper) = out.bounds("trp");
            near(lower.unwrap(), truth - lost, 1e-12, &what);
            assert!(
                upper.is_none_or(|u| u >= truth * (1.0 - 1e-12)),
                "{what}: upper {upper:?}"
            );
            bounded += usize::from(upper.is_some());
            assert_eq!(upper.is_none(), out.has_finding("rises-into-gap"), "{what}");
            assert_eq!(upper.is_none(), out.is_refused("peak_eirp"), "{what}");
        }
    }
    assert!(bounded > 5, "only {bounded} upper bounds were tried");
}

#[test]
fn sensitivities_are_filled_in_what_integrates() {
    let grid = grid((18, 36));
    let dipoles = [Dipole::random(&mut Random(63))];
    let all = rows(&directions(&grid), |t, p| power(&dipoles, t, p));
    let (kept, lost) = without(&all, &grid, |r, c| {
        (6..8).contains(&r) && (10..13).contains(&c)
    });
    assert!(lost > 0.0);
    // EIS = 1 pW·W/EIRP: 1/TIS is the TRP over 1 pW·W, with all its bounds.
    let duals: Vec<Reading> = kept
        .iter()
        .map(|r| match r.value {
            Value::Power(p) => Reading {
                value: Value::Power(1e-12 / p),
                ..*r
            },
            Value::Field(_) => *r,
        })
        .collect();
    let eirp = Out::of(readings(Quantity::Eirp, &kept), &exact());
    let eis = Out::of(readings(Quantity::Eis, &duals), &exact());
    for (radiated, received) in [
        ("trp", "tis"),
        ("trp_theta", "tis_theta"),
        ("uhrp", "uhis"),
        ("nhprp_45", "nhpis_45"),
    ] {
        near(
            eis.get(received) * eirp.get(radiated),
            1e-12,
            1e-12,
            received,
        );
        let (lower, upper) = eirp.bounds(radiated);
        let (better, worse) = eis.bounds(received);
        assert_eq!(better.is_some(), upper.is_some(), "{received}");
        assert_eq!(worse.is_some(), lower.is_some(), "{received}");
        for (a, b) in [better.zip(upper), worse.zip(lower)].into_iter().flatten() {
            near(a * b, 1e-12, 1e-12, received);
        }
    }
}

#[test]
fn a_peak_in_a_gap_is_not_bounded() {
    let (theta, phi) = (60.0, 110.0);
    let pattern = Pattern::ExponentialBeam(ExponentialBeam {
        kappa: 10.0,
        axis_theta_deg: theta,
        axis_phi_deg: phi,
    });
    let grid = grid((18, 36));
    let all = rows(&directions(&grid), |t, p| pattern.power(t, p));
    let (kept, lost) = without(&all, &grid, |r, c| (r, c) == (6, 11));
    near(lost, share(&grid, 6), 1e-12, "the peak of the sum is 1 W");
    let whole = Out::of(readings(Quantity::Eirp, &all), &exact());
    let out = Out::of(readings(Quantity::Eirp, &kept), &exact());
    let (lower, upper) = out.bounds("trp");
    near(lower.unwrap(), whole.get("trp") - lost, 1e-12, "lower");
    assert_eq!(upper, None);
    for name in ["peak_eirp", "directivity"] {
        assert!(out.is_refused(name), "{name}");
    }
    // The largest reading that is left, one step away along θ: e^{κ(cos 10° − 1)}.
    let beside = libm::exp(10.0 * (cos_deg(10.0) - 1.0));
    let along_phi = libm::exp(-10.0 * sin_deg(60.0) * sin_deg(60.0) * (1.0 - cos_deg(10.0)));
    near(
        out.bounds("peak_eirp").0.unwrap(),
        beside.max(along_phi),
        1e-12,
        "peak",
    );
    let finding = out
        .0
        .findings
        .iter()
        .find(|f| f.code == "rises-into-gap")
        .unwrap();
    let advice = finding.advice.as_deref().unwrap();
    assert!(advice.contains("60") && advice.contains("110"), "{advice}");
}

#[test]
fn a_cap_follows_the_rings_above_it() {
    for at in GRIDS.into_iter().filter(|(n, m)| *n >= 12 && *m >= 12) {
        let grid = grid(at);
        let in_cap = |ring: usize| grid.theta_deg(ring) > 150.0;
        let weights = Rule::ClenshawCurtis.weights(grid.intervals());
        for (pattern, ring_mean, rises) in [
            (
                Pattern::ZDipole,
                (|c: f64| 1.0 - c * c) as fn(f64) -> f64,
                false,
            ),
            (Pattern::SmallLoop, |c| 1.0 - c * c, false),
            (Pattern::HuygensX, |c| (1.0 + c) * (1.0 + c) / 4.0, false),
            (Pattern::Turnstile, |c| (1.0 + c * c) / 2.0, true),
        ] {
            let all = rows(&directions(&grid), |t, p| pattern.power(t, p));
            let (kept, _) = without(&all, &grid, |r, _| in_cap(r));
            let out = Out::of(readings(Quantity::Eirp, &kept), &along_cuts());
            let what = format!("{pattern:?} on {at:?} without its cap");
            // Means of the rings have degree 2, which the fit holds.
            let truth = pattern.mean();
            near(out.get("trp"), truth, 1e-9, &what);
            let lost: f64 = (0..grid.rings())
                .filter(|r| in_cap(*r))
                .map(|r| {
                    weights[r] / 2.0 * ring_mean(libm::cos(PI * r as f64 / grid.intervals() as f64))
                })
                .sum();
            let (lower, upper) = out.bounds("trp");
            near(lower.unwrap(), truth - lost, 1e-12, &what);
            assert_eq!(upper.is_none(), rises, "{what}");
            assert!(upper.is_none_or(|u| u >= truth * (1.0 - 1e-9)), "{what}");
            assert_eq!(out.is_refused("peak_eirp"), rises, "{what}");
        }
    }
}

#[test]
fn one_direction_next_to_a_pole_is_an_ordinary_gap() {
    // Isotropic, 1 W in all: the border is as high as what lies beyond it, so the pattern does not rise into the gap (closed form).
    let grid = grid((12, 24));
    let all = rows(&directions(&grid), |_, _| [0.5, 0.5]);
    let (kept, lost) = without(&all, &grid, |ring, column| ring == 1 && column == 3);
    let out = Out::of(readings(Quantity::Eirp, &kept), &exact());
    assert!(out.0.findings.iter().all(|f| f.code != "rises-into-gap"));
    near(out.get("trp"), 1.0, 1e-12, "trp");
    near(out.get("peak_eirp"), 1.0, 1e-12, "peak");
    let (lower, upper) = out.bounds("trp");
    near(lower.unwrap(), 1.0 - lost, 1e-12, "lower");
    // The pole borders the gap and may hold its whole total in either polarisation: twice the readings of the ring.
    near(upper.unwrap(), 1.0 + lost, 1e-12, "upper");
}
