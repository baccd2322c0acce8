//! The rules on all grids: Clenshaw–Curtis is exact for what it resolves, the sine rule has its closed-form bias.

use crate::tools::{GRIDS, Out, exact, grid, near, sine, sine_sum};
use spheresum_core::Readings;
use spheresum_core::rule::{Edges, Rule};
use spheresum_core::table::pattern::{Axis, ExponentialBeam, LineArray, Pattern};
use spheresum_core::table::{Level, SampledPattern};
use spheresum_core::unit::angle::sin_deg;
use spheresum_core::unit::level::w_from_dbm;
use std::f64::consts::PI;

fn sampled(pattern: Pattern, at: (usize, usize), level: Level) -> Readings {
    SampledPattern::new(pattern, grid(at), level)
        .readings("computed")
        .unwrap()
}

/// Grids that resolve degree 15 in θ and order 14 in φ.
fn fine() -> impl Iterator<Item = (usize, usize)> {
    GRIDS.into_iter().filter(|(n, m)| *n >= 15 && *m >= 30)
}

#[test]
fn clenshaw_curtis_is_exact_for_what_it_resolves() {
    // All of these have degree ≤ 2 in cos θ and 2 in φ: any N ≥ 2 and M ≥ 3 will do.
    for at in GRIDS {
        for (pattern, theta_share) in [
            (Pattern::Isotropic, 0.5),
            (Pattern::ZDipole, 1.0),
            (Pattern::XDipole, 0.25),
            (Pattern::Turnstile, 0.25),
            // ((1+c)/2)² splits as cos²φ : sin²φ.
            (Pattern::HuygensX, 0.5),
        ] {
            let what = format!("{pattern:?} on {at:?}");
            let out = Out::of(sampled(pattern, at, Level::TrpDbm(7.0)), &exact());
            near(out.get("trp"), w_from_dbm(7.0), 1e-12, &what);
            near(
                out.get("trp_theta"),
                theta_share * w_from_dbm(7.0),
                1e-12,
                &what,
            );
        }
        // Peaks that every grid holds: at a pole.
        for (pattern, directivity) in [
            (Pattern::XDipole, 1.5),
            (Pattern::Turnstile, 1.5),
            (Pattern::HuygensX, 3.0),
        ] {
            let out = Out::of(sampled(pattern, at, Level::TrpDbm(7.0)), &exact());
            near(
                out.get("directivity"),
                directivity,
                1e-12,
                &format!("{pattern:?} on {at:?}"),
            );
        }
    }
}

#[test]
fn beams_and_pairs_of_points_have_their_closed_power() {
    for at in fine() {
        // The degrees of the beam fall as κˡ/(2l+1)!!: below 1e-17 beyond 15.
        for (axis_theta_deg, axis_phi_deg) in [(0.0, 0.0), (52.3, 17.9), (118.4, 251.0)] {
            let beam = Pattern::ExponentialBeam(ExponentialBeam {
                kappa: 1.0,
                axis_theta_deg,
                axis_phi_deg,
            });
            let out = Out::of(sampled(beam, at, Level::PeakDbm(0.0)), &exact());
            // (1 − e^{−2κ})/(2κ).
            let mean = -libm::expm1(-2.0) / 2.0;
            near(
                out.get("trp"),
                1e-3 * mean,
                1e-12,
                &format!("beam on {at:?}"),
            );
        }
        for (axis, spacing_wavelengths, phase_step_deg) in [
            (Axis::X, 0.25, 0.0),
            (Axis::Y, 0.5, 0.0),
            (Axis::Z, 0.25, -90.0),
            (Axis::X, 0.4, 33.0),
        ] {
            let pair = Pattern::LineArray(LineArray {
                axis,
                points: 2,
                spacing_wavelengths,
                phase_step_deg,
            });
            let out = Out::of(sampled(pair, at, Level::PeakDbm(0.0)), &exact());
            // |1 + e^{jψ}|²/4 has the mean (1 + cos β sin(kd)/kd)/2. Its degrees fall as (kd)ˡ/(2l+1)!!: at kd = π and l = 16 below 2e-11.
            let kd = 2.0 * PI * spacing_wavelengths;
            let mean = (1.0 + libm::cos(phase_step_deg * PI / 180.0) * libm::sin(kd) / kd) / 2.0;
            near(
                out.get("trp"),
                1e-3 * mean,
                1e-10,
                &format!("{pair:?} on {at:?}"),
            );
        }
    }
}

#[test]
fn the_sine_rule_has_its_closed_form_bias() {
    for at in GRIDS {
        let n = at.0;
        let (s1, s3) = (sine_sum(1, n), sine_sum(3, n));
        let unit = PI / (2.0 * n as f64);
        // sin³ = (3 sin θ − sin 3θ)/4; sin θ cos²θ = (sin θ + sin 3θ)/4; sin θ cos θ sums to 0.
        let round = 1.5 * unit * (5.0 * s1 + s3) / 8.0;
        for (pattern, ratio) in [
            (Pattern::Isotropic, unit * s1),
            (Pattern::ZDipole, 1.5 * unit * (3.0 * s1 - s3) / 4.0),
            (Pattern::SmallLoop, 1.5 * unit * (3.0 * s1 - s3) / 4.0),
            (Pattern::XDipole, round),
            (Pattern::Turnstile, round),
            (Pattern::HuygensX, round),
        ] {
            let what = format!("{pattern:?} on {at:?}");
            let options = crate::tools::by(Rule::Sine, Edges::Exact);
            let out = Out::of(sampled(pattern, at, Level::TrpDbm(-3.0)), &options);
            near(out.get("trp"), ratio * w_from_dbm(-3.0), 1e-12, &what);
            // The dual: the bias enters a sensitivity inverted.
            let out = Out::of(sampled(pattern, at, Level::TisDbm(-100.0)), &options);
            near(out.get("tis"), w_from_dbm(-100.0) / ratio, 1e-12, &what);
        }
    }
}

#[test]
fn a_receiver_has_the_sensitivity_of_its_gain() {
    // EIS = TIS/gain: the mean of the gain of a lossless pattern is 1.
    for at in GRIDS {
        for pattern in [
            Pattern::Isotropic,
            Pattern::ZDipole,
            Pattern::XDipole,
            Pattern::SmallLoop,
            Pattern::Turnstile,
            Pattern::HuygensX,
        ] {
            let out = Out::of(sampled(pattern, at, Level::TisDbm(-100.0)), &exact());
            near(
                out.get("tis"),
                w_from_dbm(-100.0),
                1e-12,
                &format!("{pattern:?} on {at:?}"),
            );
        }
        // Hemispheres of the Huygens source: 7/8 of the integral of 1/EIS.
        let out = Out::of(
            sampled(Pattern::HuygensX, at, Level::TisDbm(-100.0)),
            &exact(),
        );
        near(
            out.get("uhis"),
            w_from_dbm(-100.0) / 0.875,
            1e-12,
            &format!("uhis on {at:?}"),
        );
        // 0…120°: ½∫ 3((1+c)/2)² dc from −½ to 1 = 1 − 1/64.
        near(
            out.get("pigs"),
            w_from_dbm(-100.0) * 64.0 / 63.0,
            1e-12,
            &format!("pigs on {at:?}"),
        );
    }
}

#[test]
fn half_weighted_windows_read_an_isotropic_source_low_by_their_closed_form() {
    for at in GRIDS {
        let step_deg = 180.0 / at.0 as f64;
        let half_step = PI / (2.0 * at.0 as f64);
        let factor = half_step / libm::tan(half_step);
        let out = Out::of(sampled(Pattern::Isotropic, at, Level::TrpDbm(0.0)), &sine());
        for (name, alpha) in [("nhprp_45", 45.0), ("nhprp_30", 30.0), ("nhprp_22_5", 22.5)] {
            let on_ring = ((90.0 - alpha) / step_deg).fract() == 0.0;
            if on_ring {
                // sin α · (h/2) cot(h/2).
                near(
                    out.get(name),
                    1e-3 * sin_deg(alpha) * factor,
                    1e-12,
                    &format!("{name} on {at:?}"),
                );
            } else {
                assert!(out.is_refused(name), "{name} on {at:?}");
            }
        }
        if at.0.is_multiple_of(2) {
            near(
                out.get("uhrp"),
                0.5e-3 * factor,
                1e-12,
                &format!("uhrp on {at:?}"),
            );
            near(
                out.get("uhrp") + out.get("lhrp"),
                out.get("trp"),
                1e-12,
                &format!("{at:?}"),
            );
        } else {
            // The horizon lies between two rings.
            assert!(out.is_refused("uhrp") && out.is_refused("lhrp"), "{at:?}");
        }
    }
}
