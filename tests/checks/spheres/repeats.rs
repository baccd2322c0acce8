//! Directions that were read more than once: averaged in what integrates.

use crate::sources::{Dipole, field, power, size};
use crate::tools::{Out, Random, directions, exact, grid, near, reading, readings, rows};
use num_complex::Complex64;
use spheresum_core::model::FieldScale;
use spheresum_core::unit::level::{db_from_ratio, w_from_dbm};
use spheresum_core::{Polarisation, Quantity, Reading, Severity, Value};

fn source(seed: u64) -> ([Dipole; 1], f64) {
    let dipole = Dipole::random(&mut Random(seed));
    let trp = 2.0 / 3.0 * size(dipole.moment);
    ([dipole], trp)
}

/// Every reading once for each factor.
fn repeated(rows: &[Reading], factors: &[f64]) -> Vec<Reading> {
    rows.iter()
        .flat_map(|row| {
            factors.iter().map(move |factor| match row.value {
                Value::Power(p) => Reading {
                    value: Value::Power(factor * p),
                    ..*row
                },
                Value::Field(e) => Reading {
                    value: Value::Field(e * *factor),
                    ..*row
                },
            })
        })
        .collect()
}

#[test]
fn the_seam_is_read_twice_and_counts_once() {
    for at in [(12, 24), (9, 18), (8, 25)] {
        let (dipoles, trp) = source(21);
        let mut directions = directions(&grid(at));
        let seam: Vec<(f64, f64)> = directions
            .iter()
            .filter(|d| d.1 == 0.0)
            .map(|d| (d.0, 360.0))
            .collect();
        directions.extend(seam);
        let all = rows(&directions, |t, p| power(&dipoles, t, p));
        let out = Out::of(readings(Quantity::Eirp, &all), &exact());
        near(out.get("trp"), trp, 1e-12, &format!("{at:?}"));
        let finding = out.0.findings.iter().find(|f| f.code == "repeats").unwrap();
        assert!(finding.message.contains("360"), "{}", finding.message);
        assert_eq!(finding.severity, Severity::Note);
    }
}

#[test]
fn powers_are_averaged_as_powers() {
    let (dipoles, trp) = source(22);
    let once = rows(&directions(&grid((12, 24))), |t, p| power(&dipoles, t, p));
    // The mean of the factors is 1; the mean of their decibels is not.
    for factors in [&[0.8, 1.2][..], &[0.1, 0.9, 2.0], &[1.0, 1.0, 1.0]] {
        let out = Out::of(
            readings(Quantity::Eirp, &repeated(&once, factors)),
            &exact(),
        );
        near(out.get("trp"), trp, 1e-12, &format!("{factors:?}"));
        let finding = out.0.findings.iter().find(|f| f.code == "repeats").unwrap();
        let largest = factors.iter().copied().fold(0.0, f64::max);
        let smallest = factors.iter().copied().fold(f64::INFINITY, f64::min);
        let spread = db_from_ratio(largest / smallest);
        assert!(
            (finding.effect_db.unwrap() - spread).abs() < 1e-9,
            "{finding:?}"
        );
        let loud = if spread > 0.5 {
            Severity::Warning
        } else {
            Severity::Note
        };
        assert_eq!(finding.severity, loud);
    }
}

#[test]
fn sensitivities_are_averaged_as_reciprocals() {
    // Isotropic: −97 dBm in each polarisation is −97 − 10 log10 2 in all. Repeats at −97 dBm/(1 ± 0.5).
    let each = w_from_dbm(-97.0);
    let once = rows(&directions(&grid((12, 24))), |_, _| [each, each]);
    let all = repeated(&once, &[1.0 / 1.5, 1.0 / 0.5]);
    let out = Out::of(readings(Quantity::Eis, &all), &exact());
    near(out.get("tis"), each / 2.0, 1e-12, "tis");
    near(out.get("tis_theta"), each, 1e-12, "tis_theta");
}

#[test]
fn fields_are_averaged_as_vectors() {
    let (dipoles, trp) = source(23);
    let mut random = Random(24);
    let mut all = Vec::new();
    for at in directions(&grid((9, 18))) {
        for (polarisation, e) in [Polarisation::Theta, Polarisation::Phi]
            .into_iter()
            .zip(field(&dipoles, at.0, at.1))
        {
            // As large as the field itself, and gone in the mean.
            let error = Complex64::new(random.number(), random.number());
            all.push(reading(at, polarisation, Value::Field(e + error)));
            all.push(reading(at, polarisation, Value::Field(e - error)));
        }
    }
    let out = Out::of(
        readings(Quantity::Field(FieldScale::SqrtWatt), &all),
        &exact(),
    );
    near(out.get("trp"), trp, 1e-12, "vectors");
}

#[test]
fn two_files_of_one_polarisation_each_are_one_run() {
    let (dipoles, trp) = source(25);
    let all = rows(&directions(&grid((15, 30))), |t, p| power(&dipoles, t, p));
    let of = |polarisation| {
        let one: Vec<Reading> = all
            .iter()
            .filter(|r| r.polarisation == polarisation)
            .copied()
            .collect();
        readings(Quantity::Eirp, &one)
    };
    let out = Out::of_all(&[of(Polarisation::Phi), of(Polarisation::Theta)], &exact()).unwrap();
    near(out.get("trp"), trp, 1e-12, "two files");
    assert!(!out.has_finding("repeats"));
}
