//! Complex fields: scales, the time convention, poles.

use crate::sources::{Dipole, field, size};
use crate::tools::{Out, Random, directions, exact, grid, near, reading, readings};
use num_complex::Complex64;
use spheresum_core::intake::{ReadOptions, Source};
use spheresum_core::model::FieldScale;
use spheresum_core::{Limits, Polarisation, Quantity, Reading, Readings, Value};
use std::f64::consts::PI;
use std::fmt::Write as _;

/// Wave impedance that volt columns are meant with, Ω.
const ETA0: f64 = 376.730;

fn source(seed: u64) -> ([Dipole; 1], f64) {
    let dipole = Dipole::random(&mut Random(seed));
    let trp = 2.0 / 3.0 * size(dipole.moment);
    ([dipole], trp)
}

fn rows(dipoles: &[Dipole], at: &[(f64, f64)]) -> Vec<Reading> {
    at.iter()
        .flat_map(|d| {
            let [theta, phi] = field(dipoles, d.0, d.1);
            [
                reading(*d, Polarisation::Theta, Value::Field(theta)),
                reading(*d, Polarisation::Phi, Value::Field(phi)),
            ]
        })
        .collect()
}

#[test]
fn scales_of_fields() {
    for at in [(12, 24), (9, 18), (15, 7)] {
        let (dipoles, trp) = source(31);
        let all = rows(&dipoles, &directions(&grid(at)));
        let of = |scale| Out::of(readings(Quantity::Field(scale), &all), &exact());
        near(of(FieldScale::SqrtWatt).get("trp"), trp, 1e-12, "√W");
        // EIRP = 4π|rE|²/η0.
        near(
            of(FieldScale::Volt).get("trp"),
            trp * 4.0 * PI / ETA0,
            1e-12,
            "V",
        );
        let relative = of(FieldScale::Relative);
        for name in ["trp", "trp_theta", "nhprp_45", "uhrp", "peak_eirp"] {
            assert!(relative.is_refused(name), "{name}");
        }
        // Ratios do not need a scale: Eθ and Eφ carry t/6 + 2z/3 and t/2.
        let [x, y, z] = dipoles[0].moment.map(|c| c.norm_sqr());
        let ratio = ((x + y) / 6.0 + 2.0 / 3.0 * z) / ((x + y) / 2.0);
        near(relative.get("polarisation_ratio"), ratio, 1e-12, "ratio");
        near(relative.get("uhrp_ratio"), 0.5, 1e-12, "upper hemisphere");
    }
}

#[test]
fn one_volt_at_one_metre_is_a_thirtieth_of_a_watt() {
    // EIRP = |rE|²·4π/376.730 Ω = |rE|²/29.979…: 1 V rms in each direction, theta alone but at the poles, where φ turns it.
    let at: Vec<(f64, f64)> = directions(&grid((18, 36)))
        .into_iter()
        .filter(|d| d.0 > 0.0 && d.0 < 180.0)
        .collect();
    let all: Vec<Reading> = at
        .iter()
        .flat_map(|d| {
            [
                reading(
                    *d,
                    Polarisation::Theta,
                    Value::Field(Complex64::new(0.0, 1.0)),
                ),
                reading(
                    *d,
                    Polarisation::Phi,
                    Value::Field(Complex64::new(0.0, 0.0)),
                ),
            ]
        })
        .collect();
    let out = Out::of(readings(Quantity::Field(FieldScale::Volt), &all), &exact());
    near(out.get("trp"), 1.0 / 29.979_220, 1e-6, "1 V at 1 m");
}

#[test]
fn the_field_of_a_pole_is_turned_to_every_phi() {
    let wanted: [&[f64]; 3] = [&[0.0], &[37.3], &[90.0, 200.0]];
    for phis in wanted {
        let (dipoles, trp) = source(32);
        let mut at = directions(&grid((12, 24)));
        at.retain(|d| d.0 > 0.0 && d.0 < 180.0);
        at.extend(phis.iter().flat_map(|phi| [(0.0, *phi), (180.0, *phi)]));
        let all = rows(&dipoles, &at);
        let out = Out::of(
            readings(Quantity::Field(FieldScale::SqrtWatt), &all),
            &exact(),
        );
        near(out.get("trp"), trp, 1e-12, &format!("poles at {phis:?}"));
        let [x, y, _] = dipoles[0].moment.map(|c| c.norm_sqr());
        near(
            out.get("trp_phi"),
            (x + y) / 2.0,
            1e-12,
            &format!("poles at {phis:?}"),
        );
    }
}

/// The same sphere as a file, conjugated or not.
fn file(all: &[Reading], heading: &str, time: &str, conjugate: bool) -> String {
    let mut text = format!("# time: {time}\ntheta_deg,phi_deg,{heading}\n");
    for pair in all.chunks(2) {
        write!(text, "{},{}", pair[0].theta_deg, pair[0].phi_deg).unwrap();
        for row in pair {
            let Value::Field(e) = row.value else {
                panic!("a field")
            };
            let e = if conjugate { e.conj() } else { e };
            write!(text, ",{:e},{:e}", e.re, e.im).unwrap();
        }
        text.push('\n');
    }
    text
}

fn read(text: &str) -> Readings {
    let limits = Limits::default();
    let source = Source::from_text("field.csv", text, &limits).unwrap();
    let read = spheresum_adapters::registry().read(&source, None, &limits, &ReadOptions::default());
    read.unwrap().1.readings.unwrap()
}

#[test]
fn the_other_time_convention_is_conjugated_on_reading() {
    let (dipoles, trp) = source(33);
    let all = rows(&dipoles, &directions(&grid((12, 24))));
    for (unit, scale) in [("_sqrtw", 1.0), ("_v", 4.0 * PI / ETA0)] {
        let heading = [
            "field_theta_re",
            "field_theta_im",
            "field_phi_re",
            "field_phi_im",
        ]
        .map(|c| format!("{c}{unit}"))
        .join(",");
        let plain = read(&file(&all, &heading, "exp(+jwt)", false));
        let other = read(&file(&all, &heading, "exp(-jwt)", true));
        assert_eq!(plain.len(), all.len());
        for ((a, b), want) in plain.iter().zip(other.iter()).zip(&all) {
            assert_eq!(a.value, want.value);
            assert_eq!(b.value, want.value);
        }
        for file in [plain, other] {
            near(Out::of(file, &exact()).get("trp"), scale * trp, 1e-12, unit);
        }
    }
}
