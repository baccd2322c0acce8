//! Every good file, against the closed forms it was written from.
#![cfg_attr(test, allow(clippy::unwrap_used, clippy::expect_used, clippy::panic))]

use spheresum_adapter_delimited::DelimitedAdapter;
use spheresum_core::intake::{Adapter, Confidence, Head, Intake, ReadOptions, Source};
use spheresum_core::model::FieldScale;
use spheresum_core::{
    Complex64, Finding, Limits, Mark, Polarisation, Quantity, Reading, Readings, Value,
};
use std::path::PathBuf;

fn folder() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../tests/data/delimited/good")
}

fn read(name: &str) -> Intake {
    let bytes = std::fs::read(folder().join(name)).unwrap();
    let limits = Limits::small();
    let source = Source::from_bytes(name, bytes, &limits).unwrap();
    let adapter = DelimitedAdapter::new();
    adapter
        .read(&source, &limits, &ReadOptions::default())
        .unwrap_or_else(|e| panic!("{name}: {e}"))
}

/// EIRP of the invented gauge, W: 10 mW (0.1 + sin²θ) along θ, 5 mW (0.1 + cos²θ sin²φ) along φ.
fn eirp_w(reading: &Reading) -> f64 {
    let (theta, phi) = (reading.theta_deg.to_radians(), reading.phi_deg.to_radians());
    let along_theta = 0.01 * (0.1 + theta.sin().powi(2));
    let along_phi = 0.005 * (0.1 + (theta.cos() * phi.sin()).powi(2));
    match reading.polarisation {
        Polarisation::Theta => along_theta,
        Polarisation::Phi => along_phi,
        Polarisation::Total => along_theta + along_phi,
    }
}

fn power(reading: &Reading) -> f64 {
    match reading.value {
        Value::Power(p) => p,
        Value::Field(_) => panic!("a field"),
    }
}

/// Checks every reading of a file against a closed form, and gives them back.
fn all_equal(
    name: &str,
    quantity: Quantity,
    count: usize,
    want: impl Fn(&Reading) -> f64,
) -> (Readings, Vec<Finding>) {
    let intake = read(name);
    let readings = intake.readings.unwrap();
    assert_eq!(readings.quantity(), quantity, "{name}");
    assert_eq!(readings.len(), count, "{name}");
    for reading in readings.iter().filter(|r| r.mark == Mark::Exact) {
        let (got, want) = (power(&reading), want(&reading));
        assert!(
            (got / want - 1.0).abs() < 2e-5,
            "{name}: line {}: {got} is not {want}",
            reading.line
        );
    }
    (readings, intake.findings)
}

fn mhz(readings: &Readings) -> Vec<f64> {
    readings
        .frequencies()
        .iter()
        .map(|f| f.map_or(f64::NAN, |f| f.mhz()))
        .collect()
}

#[test]
fn canonical_eirp() {
    let (readings, findings) = all_equal("eirp-canonical.csv", Quantity::Eirp, 168, eirp_w);
    assert_eq!(mhz(&readings), [868.3]);
    assert!(findings.is_empty() && !readings.has_marks());
    let first = readings.get(0).unwrap();
    assert_eq!((first.theta_deg, first.phi_deg, first.line), (0.0, 0.0, 4));
    // 0.1 + sin² 0 = 0.1: 1 mW, which is 0 dBm.
    assert_eq!(power(&first), 1e-3);
}

#[test]
fn entries_of_two_cells_stand_above_the_heading() {
    let (readings, _) = all_equal("cells-above.csv", Quantity::Eirp, 168, eirp_w);
    assert_eq!(mhz(&readings), [868.3]);
    let keys: Vec<&str> = readings.metadata().iter().map(|m| m.0.as_str()).collect();
    assert_eq!(keys, ["Test report", "Frequency (MHz)", "Steps"]);
}

#[test]
fn semicolons_and_decimal_commas() {
    let (readings, findings) = all_equal(
        "eirp-semicolon-decimal-comma.csv",
        Quantity::Eirp,
        80,
        eirp_w,
    );
    assert_eq!(mhz(&readings), [868.3]);
    assert_eq!(
        readings.metadata()[1],
        ("Site".to_string(), "river mouth".to_string())
    );
    assert_eq!(
        findings.iter().map(|f| f.code.as_str()).collect::<Vec<_>>(),
        ["decimal-comma"]
    );
}

#[test]
fn tabs_brackets_and_an_unused_column() {
    let (readings, findings) = all_equal(
        "received-tab-brackets.tsv",
        Quantity::ReceivedPower,
        80,
        |r| eirp_w(r) * 1e-5,
    );
    assert_eq!(mhz(&readings), [868.3]);
    assert_eq!(findings[0].code, "columns-unused");
    assert!(findings[0].message.contains("Temperature"));
}

#[test]
fn blanks_parentheses_radians_watts() {
    let (readings, _) = all_equal("eirp-blanks-radians.txt", Quantity::Eirp, 80, eirp_w);
    assert_eq!(mhz(&readings), [868.3]);
    let last = readings.iter().last().unwrap();
    assert!((last.theta_deg - 180.0).abs() < 1e-6 && (last.phi_deg - 315.0).abs() < 1e-6);
}

#[test]
fn long_form_with_two_frequencies() {
    let factor = |r: &Reading| if r.frequency == 0 { 1.0 } else { 0.5 };
    let (readings, _) = all_equal("eirp-long-pol.csv", Quantity::Eirp, 160, |r| {
        factor(r) * eirp_w(r)
    });
    assert_eq!(mhz(&readings), [868.3, 869.525]);
}

#[test]
fn sensitivities_with_marks() {
    // 40 rows, two values each, five of them missing: one empty, one `---`, and `NaN` and `n/a` in one row.
    let (readings, _) = all_equal("eis-marks.csv", Quantity::Eis, 76, |r| 1e-14 / eirp_w(r));
    let marked: Vec<Reading> = readings.iter().filter(|r| r.mark != Mark::Exact).collect();
    assert_eq!(marked.len(), 3);
    assert_eq!(marked[0].mark, Mark::AtLeast);
    assert!((power(&marked[0]) / 1e-11 - 1.0).abs() < 1e-14);
    assert_eq!(
        (marked[1].mark, power(&marked[1])),
        (Mark::AtLeast, f64::INFINITY)
    );
    assert_eq!(marked[2].mark, Mark::AtMost);
    assert!((power(&marked[2]) / 10_f64.powf(-14.25) - 1.0).abs() < 1e-13);
}

#[test]
fn total_gain_without_frequency() {
    let (readings, _) = all_equal("gain-total.csv", Quantity::Gain, 40, |r| eirp_w(r) / 0.01);
    assert_eq!(readings.frequencies(), [None]);
    assert!(
        readings
            .iter()
            .all(|r| r.polarisation == Polarisation::Total)
    );
}

#[test]
fn complex_field_with_the_other_time_convention() {
    let intake = read("field-sqrtw.csv");
    let readings = intake.readings.unwrap();
    assert_eq!(readings.quantity(), Quantity::Field(FieldScale::SqrtWatt));
    assert_eq!(readings.len(), 80);
    for reading in readings.iter() {
        // √EIRP, with the phase φ along θ and the phase θ along φ.
        let phase_deg = match reading.polarisation {
            Polarisation::Theta => reading.phi_deg,
            _ => reading.theta_deg,
        };
        let want = Complex64::from_polar(eirp_w(&reading).sqrt(), phase_deg.to_radians());
        let Value::Field(got) = reading.value else {
            panic!("no field")
        };
        assert!((got - want).norm() < 1e-7, "line {}", reading.line);
    }
}

#[test]
fn quotes_crlf_gigahertz_and_microwatts() {
    let (readings, findings) = all_equal("eirp-ghz-microwatt.csv", Quantity::Eirp, 80, eirp_w);
    assert_eq!(mhz(&readings), [868.3]);
    assert!(findings[0].message.contains("remark, free"));
}

#[test]
fn all_from_the_preamble() {
    let (readings, _) = all_equal(
        "received-one-polarisation.csv",
        Quantity::ReceivedPower,
        40,
        |r| eirp_w(r) * 1e-5,
    );
    assert_eq!(mhz(&readings), [868.3]);
    assert!(
        readings
            .iter()
            .all(|r| r.polarisation == Polarisation::Theta)
    );
}

#[test]
fn minus_infinity_is_no_power() {
    let intake = read("eirp-zero-power.csv");
    let readings = intake.readings.unwrap();
    let zeros = readings.iter().filter(|r| power(r) == 0.0).count();
    assert_eq!((readings.len(), zeros), (80, 8));
    assert_eq!(intake.findings.len(), 1);
    assert_eq!(intake.findings[0].code, "zero-power");
    assert!(intake.findings[0].message.starts_with('8'));
}

#[test]
fn units_below_the_heading() {
    // The same with rows of separators alone, as spreadsheets write empty ones.
    let (spread, _) = all_equal("empty-rows.csv", Quantity::Eirp, 112, eirp_w);
    assert_eq!(spread.get(0).map(|r| r.line), Some(5));
    let (readings, findings) = all_equal("units-row.csv", Quantity::Eirp, 112, eirp_w);
    assert_eq!(readings.frequencies().len(), 1);
    let codes: Vec<&str> = findings.iter().map(|f| f.code.as_str()).collect();
    assert_eq!(codes, ["columns-unused"]);
}

#[test]
fn a_column_for_each_frequency() {
    // Each frequency has half the power of the one below it.
    let halved = |r: &Reading| eirp_w(r) * 0.5_f64.powi(r.frequency as i32);
    let (wide, _) = all_equal("wide-frequencies.csv", Quantity::Eirp, 336, halved);
    let (alone, _) = all_equal("wide-frequencies-alone.txt", Quantity::Eirp, 168, halved);
    for readings in [&wide, &alone] {
        let mhz: Vec<f64> = readings
            .frequencies()
            .iter()
            .map(|f| f.unwrap().mhz())
            .collect();
        assert_eq!(mhz, [863.1, 868.3, 869.9]);
        for frequency in 0..3 {
            let count = readings.iter().filter(|r| r.frequency == frequency).count();
            assert_eq!(3 * count, readings.len());
        }
    }
    assert!(alone.iter().all(|r| r.polarisation == Polarisation::Theta));
}

#[test]
fn quotes_headings_again_footers_and_bars() {
    let codes =
        |findings: Vec<Finding>| -> Vec<String> { findings.into_iter().map(|f| f.code).collect() };
    let (quoted, findings) = all_equal("quoted.csv", Quantity::Eirp, 112, eirp_w);
    assert_eq!(codes(findings), ["columns-unused", "quoted-lines"]);
    // The heading takes two lines, and the fourth row too.
    assert_eq!(quoted.get(6).map(|r| r.line), Some(6));
    assert_eq!(quoted.get(8).map(|r| r.line), Some(8));
    let (_, findings) = all_equal("heading-repeated-footer.csv", Quantity::Eirp, 112, eirp_w);
    assert_eq!(codes(findings), ["heading-repeated", "footer"]);
    let (_, findings) = all_equal("pipes.txt", Quantity::Eirp, 112, eirp_w);
    assert!(codes(findings).is_empty());
}

/// A short dipole along x of 10 mW, plus 0.01 mW in each polarisation: closed form.
#[test]
fn the_sphere_of_all_families() {
    let dipole_w = |r: &Reading| {
        let (theta, phi) = (r.theta_deg.to_radians(), r.phi_deg.to_radians());
        match r.polarisation {
            Polarisation::Theta => 0.015 * (theta.cos() * phi.cos()).powi(2) + 1e-5,
            _ => 0.015 * phi.sin().powi(2) + 1e-5,
        }
    };
    all_equal("same-sphere.csv", Quantity::Eirp, 168, dipole_w);
    all_equal("same-sphere-other-units.csv", Quantity::Eirp, 168, dipole_w);
}

#[test]
fn range_loss() {
    let curve = read("range-loss.csv").curve.unwrap();
    let theta: Vec<(f64, f64)> = curve
        .points(Polarisation::Theta)
        .iter()
        .map(|(f, v)| (f.mhz(), *v))
        .collect();
    assert_eq!(theta, [(860.0, 40.0), (868.3, 40.083), (880.0, 40.2)]);
    assert_eq!(curve.points(Polarisation::Phi).len(), 3);
}

#[test]
fn all_good_files_are_tested_and_recognised() {
    let tested = include_str!("good.rs");
    let adapter = DelimitedAdapter::new();
    let mut count = 0;
    for entry in std::fs::read_dir(folder()).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        assert!(
            tested.contains(&format!("\"{name}\"")),
            "{name} is not tested"
        );
        let source =
            Source::from_bytes(&name, std::fs::read(&path).unwrap(), &Limits::small()).unwrap();
        let look = adapter.look(&Head::of(&source));
        // Its quantity stands in the preamble, where a look does not go.
        let want = if name == "received-one-polarisation.csv" {
            Confidence::Likely
        } else {
            Confidence::Certain
        };
        assert_eq!(look.confidence, want, "{name}: {}", look.reason);
        count += 1;
    }
    assert!(count >= 8);
}
