//! What the poles and the number of rings say of a file before anybody believes its figures.

use crate::tools::{Out, directions, exact, grid, near, readings, rows, sine};
use num_complex::Complex64;
use spheresum_core::model::FieldScale;
use spheresum_core::unit::angle::{cos_deg, sin_deg};
use spheresum_core::{Polarisation, Quantity, Value};

fn codes(out: &Out) -> Vec<&str> {
    out.0.findings.iter().map(|f| f.code.as_str()).collect()
}

/// ((1 − cos θ)/2)⁴, the peak at θ = 180°: mean 1/5 (closed form: ∫₀¹ u⁴ du).
fn beam(theta_deg: f64, _: f64) -> [f64; 2] {
    let u = (1.0 - cos_deg(theta_deg)) / 2.0;
    [0.5 * u * u * u * u; 2]
}

#[test]
fn a_pole_that_was_not_read_may_hold_the_peak() {
    let all = rows(&directions(&grid((6, 12))), beam);
    let whole = Out::of(readings(Quantity::Eirp, &all), &sine());
    assert!(!codes(&whole).contains(&"rises-to-pole"));
    near(whole.get("peak_eirp"), 1.0, 1e-12, "peak");
    for (pole, rises) in [(180.0, true), (0.0, false)] {
        let kept: Vec<_> = all
            .iter()
            .filter(|r| r.theta_deg != pole)
            .copied()
            .collect();
        let out = Out::of(readings(Quantity::Eirp, &kept), &sine());
        assert_eq!(codes(&out).contains(&"rises-to-pole"), rises, "{pole}");
        assert_eq!(out.bounds("peak_eirp").1.is_none(), rises, "{pole}");
        assert_eq!(out.bounds("directivity").1.is_none(), rises, "{pole}");
    }
}

#[test]
fn the_choice_of_the_rule_is_told() {
    // Clenshaw–Curtis is exact for degree 4 on 30°: 1/5 W. The sine rule's error is what the note must hold.
    let all = rows(&directions(&grid((6, 12))), beam);
    let out = Out::of(readings(Quantity::Eirp, &all), &sine());
    let finding = out
        .0
        .findings
        .iter()
        .find(|f| f.code == "rules-differ")
        .unwrap();
    let told = finding.effect_db.unwrap();
    near(
        out.get("trp") / libm::pow(10.0, told / 10.0),
        0.2,
        1e-12,
        "sine less its error",
    );
    let out = Out::of(readings(Quantity::Eirp, &all), &exact());
    assert!(!codes(&out).contains(&"rules-differ"));
}

#[test]
fn one_wild_reading_at_a_pole_is_a_warning() {
    // An x dipole; at θ = 0 the total is 1 W whatever φ.
    let all = rows(&directions(&grid((12, 24))), |t, p| {
        let (a, b) = (cos_deg(t) * cos_deg(p), sin_deg(p));
        [a * a, b * b]
    });
    let out = Out::of(readings(Quantity::Eirp, &all), &exact());
    assert!(!codes(&out).contains(&"pole-spread"));
    let mut wild = all.clone();
    let one = wild
        .iter_mut()
        .find(|r| r.theta_deg == 0.0 && r.polarisation == Polarisation::Theta)
        .unwrap();
    one.value = Value::Power(10.0);
    let out = Out::of(readings(Quantity::Eirp, &wild), &exact());
    let finding = out
        .0
        .findings
        .iter()
        .find(|f| f.code == "pole-spread")
        .unwrap();
    near(finding.effect_db.unwrap(), 10.0, 1e-9, "spread");
}

#[test]
fn field_vectors_that_disagree_at_a_pole_are_a_warning() {
    let field = |wrong: bool| {
        let mut all = Vec::new();
        for (theta_deg, phi_deg) in directions(&grid((12, 24))) {
            let theta = if wrong && theta_deg == 0.0 {
                0.1
            } else {
                cos_deg(theta_deg) * cos_deg(phi_deg)
            };
            for (polarisation, e) in [
                (Polarisation::Theta, theta),
                (Polarisation::Phi, -sin_deg(phi_deg)),
            ] {
                let value = Value::Field(Complex64::new(e, 0.0));
                all.push(crate::tools::reading(
                    (theta_deg, phi_deg),
                    polarisation,
                    value,
                ));
            }
        }
        Out::of(
            readings(Quantity::Field(FieldScale::SqrtWatt), &all),
            &exact(),
        )
    };
    assert!(!codes(&field(false)).contains(&"pole-spread"));
    assert!(codes(&field(true)).contains(&"pole-spread"));
}

#[test]
fn a_ring_or_two_make_no_sphere() {
    for (rings, makes_one) in [
        (&[90.0][..], false),
        (&[60.0, 120.0], false),
        (&[45.0, 90.0, 135.0], true),
    ] {
        let directions: Vec<(f64, f64)> = rings
            .iter()
            .flat_map(|t| (0..12).map(|j| (*t, 30.0 * f64::from(j))))
            .collect();
        let all = rows(&directions, |_, _| [0.5, 0.5]);
        let made = Out::of_all(&[readings(Quantity::Eirp, &all)], &sine());
        assert_eq!(made.is_ok(), makes_one, "{rings:?}");
    }
}
