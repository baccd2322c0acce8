//! What a person decides for a file, who owns a file, and the limits.
#![cfg_attr(test, allow(clippy::unwrap_used, clippy::expect_used, clippy::panic))]

use spheresum_adapter_columns::ColumnsAdapter;
use spheresum_core::intake::{Adapter, Confidence, Head, Intake, ReadOptions, Source};
use spheresum_core::{Error, Group, Limits, Readings, Result, Value};

fn read_with(text: &str, options: &ReadOptions, limits: &Limits) -> Result<Intake> {
    let source = Source::from_text("t", text, &Limits::default())?;
    ColumnsAdapter::new().read(&source, limits, options)
}

fn read(text: &str, named: &[(&str, &str)]) -> Result<Intake> {
    let options = named
        .iter()
        .fold(ReadOptions::default(), |o, (n, v)| o.with_named(n, v));
    read_with(text, &options, &Limits::small())
}

fn intake(text: &str, named: &[(&str, &str)]) -> Intake {
    read(text, named).unwrap_or_else(|e| panic!("{e}: {:?}", e.advice()))
}

fn readings(text: &str, named: &[(&str, &str)]) -> Readings {
    intake(text, named).readings.unwrap()
}

fn refused(text: &str, named: &[(&str, &str)]) -> Error {
    read(text, named).unwrap_err()
}

/// θ, φ and value of each reading.
fn rows(readings: &Readings) -> Vec<(f64, f64, f64)> {
    let value = |v| match v {
        Value::Power(p) => p,
        Value::Field(e) => e.re,
    };
    readings
        .iter()
        .map(|r| (r.theta_deg, r.phi_deg, value(r.value)))
        .collect()
}

fn codes(intake: &Intake) -> Vec<&str> {
    intake.findings.iter().map(|f| f.code.as_str()).collect()
}

/// Two values in watts that run together.
const TOGETHER: &str =
    "# theta_deg phi_deg eirp_theta_w eirp_phi_w\n  0.0 30.0 0.250000D+000.500000D+00\n";

#[test]
fn widths_and_formats_of_the_call() {
    for named in [
        ("widths", "5,5,13,12"),
        ("widths", "5 5 1x 12 12"),
        ("format", "(2F5.1,1X,2D12.6)"),
        ("format", "(2(f5.1), d13.6 , d12.6)"),
    ] {
        let found = rows(&readings(TOGETHER, &[named]));
        assert_eq!(found, [(0.0, 30.0, 0.25), (0.0, 30.0, 0.5)], "{named:?}");
    }
    let error = refused(TOGETHER, &[]);
    assert_eq!(error.group(), Group::Ambiguous);
    assert!(error.advice().unwrap().contains("widths="));
    assert_eq!(
        refused(TOGETHER, &[("widths", "5,5,13")]).group(),
        Group::Input
    );
}

#[test]
fn the_call_overrides_the_file_and_says_so() {
    let text = format!("# format: (2F4.1,2F4.1)\n{TOGETHER}");
    let taken = intake(&text, &[("widths", "5,5,13,12")]);
    assert_eq!(codes(&taken), ["layout-overridden"]);
    assert_eq!(taken.readings.unwrap().len(), 2);
}

#[test]
fn names_of_the_call() {
    let bare = " 0.0 30.0 1.0D-03\n";
    let named = [("columns", "theta_deg,phi_deg,eirp_theta_w")];
    assert_eq!(rows(&readings(bare, &named)), [(0.0, 30.0, 0.001)]);
    // A line of unknown names gives way to them.
    let titled = format!("wobble turn strength\n{bare}");
    assert_eq!(rows(&readings(&titled, &named)), [(0.0, 30.0, 0.001)]);
    assert!(
        refused(&titled, &[])
            .message()
            .contains("neither a list of known names")
    );
    // So do names in a comment.
    let other = format!("# phi_deg theta_deg eirp_phi_w\n{bare}");
    assert_eq!(rows(&readings(&other, &named)), [(0.0, 30.0, 0.001)]);
    let too_few = [("columns", "theta_deg,phi_deg"), ("widths", "4,5,8")];
    assert_eq!(refused(bare, &too_few).group(), Group::Usage);
}

#[test]
fn shared_options_work() {
    let text = "# el az V_dbm\n 20.0 30.0 0.0\n";
    let chosen = [("column", "el=elevation_deg,az=phi_deg,V_dbm=eirp_theta_dbm")];
    assert_eq!(rows(&readings(text, &chosen)), [(70.0, 30.0, 0.001)]);
    let hint = refused(text, &[]).advice().unwrap().to_string();
    assert!(hint.contains("column=el=elevation_deg"), "{hint}");
    assert_eq!(
        refused(text, &[("separator", "blank")]).group(),
        Group::Usage
    );
}

#[test]
fn stars_become_missing_only_by_choice() {
    let text =
        "# theta_deg phi_deg eirp_theta_dbm\n# widths: 4 5 7\n 0.0 30.0*******\n 0.0 60.0  -30.0\n";
    assert!(
        refused(text, &[])
            .advice()
            .unwrap()
            .contains("stars=missing")
    );
    let taken = intake(text, &[("stars", "missing")]);
    assert_eq!(codes(&taken), ["stars-missing"]);
    // −30 dBm is 1 µW.
    assert_eq!(rows(&taken.readings.unwrap()), [(0.0, 60.0, 1e-6)]);
    let direction = text.replace("30.0*******", "****  -30.0");
    assert!(
        refused(&direction, &[("stars", "missing")])
            .message()
            .contains("stars")
    );
}

#[test]
fn implied_decimal_signs_only_by_choice() {
    let text = "# theta_deg phi_deg gain_total_1\n# format: (2F6.1,F6.3)\n   0.0   300   250\n";
    let error = refused(text, &[]);
    assert_eq!(
        (error.group(), error.place().unwrap().column),
        (Group::Ambiguous, Some(10))
    );
    let as_fortran = intake(text, &[("implied", "apply")]);
    assert_eq!(codes(&as_fortran), ["implied"]);
    assert_eq!(rows(&as_fortran.readings.unwrap()), [(0.0, 30.0, 0.25)]);
    let as_written = readings(text, &[("implied", "as-written")]);
    assert_eq!(rows(&as_written), [(0.0, 300.0, 250.0)]);
}

#[test]
fn blanks_between_digits_only_by_choice() {
    let text = "# theta_deg phi_deg gain_total_1\n# format: (2F6.1,F6.3)\n   0.0 3 0.02 . 5 \n";
    assert_eq!(refused(text, &[]).group(), Group::Ambiguous);
    let taken = intake(text, &[("blanks", "nothing")]);
    assert_eq!(codes(&taken), ["blanks-inside"]);
    assert_eq!(rows(&taken.readings.unwrap()), [(0.0, 30.0, 2.5)]);
    // BN in the format says it as well.
    let said = text.replace("(2F6.1", "(BN,2F6.1");
    assert_eq!(rows(&readings(&said, &[])), [(0.0, 30.0, 2.5)]);
    // A blank in the place of an exponent's sign, or behind a sign, leaves no doubt.
    let clear = "# theta_deg phi_deg gain_total_1\n# widths: 6 6 9\n   0.0-  30.2.5E 01  \n"
        .replace(".2.5", " 2.5");
    assert_eq!(rows(&readings(&clear, &[])), [(0.0, -30.0, 25.0)]);
}

#[test]
fn columns_in_characters() {
    let text = "# columns: pol theta_deg phi_deg eirp_w\n# widths: 3 4 5 4\nθ   0.0 30.0 0.5\nφ   0.0 30.00.25\n";
    assert_eq!(
        rows(&readings(text, &[])),
        [(0.0, 30.0, 0.5), (0.0, 30.0, 0.25)]
    );
}

#[test]
fn remarks_are_no_declarations() {
    let text = "# format: free\n# columns: 3\n# widths: as they come\n# theta and phi of the gauge\n# theta_deg phi_deg eirp_theta_w\n0 0 1\n\n# phi and theta go on\n0 30 1\n";
    assert_eq!(readings(text, &[]).len(), 2);
}

#[test]
fn who_owns_a_file() {
    let names = "theta_deg phi_deg eirp_theta_dbm";
    for (text, want) in [
        (format!("# {names}\n0 0 1.5\n"), Confidence::Certain),
        (
            format!("# columns: {names}\n0 0 1.5\n"),
            Confidence::Certain,
        ),
        (
            format!("# widths: 2 2 4\n{names}\n0 0 1.5\n"),
            Confidence::Certain,
        ),
        (
            format!("# format: (2I2,F4.1)\n# {names}\n 0 0 1.5\n"),
            Confidence::Certain,
        ),
        (format!("{names}\n0 0 1.5D0\n"), Confidence::Certain),
        (format!("# {names}\n0 0 -1.5-2.5\n"), Confidence::Certain),
        (
            format!("# {names} eirp_phi_dbm\n0 0 -1.5-2.5\n"),
            Confidence::Certain,
        ),
        (
            "# widths: 2 2 4\n 0 0 1.5\n".to_string(),
            Confidence::Likely,
        ),
        ("0 0 1.5D0\n".to_string(), Confidence::Likely),
        (
            "# theta phi power\n0 0 1.5\n".to_string(),
            Confidence::Likely,
        ),
        // What follows belongs to others, or to nobody.
        (format!("{names}\n0 0 1.5\n"), Confidence::None),
        (format!("# {names}\n0, 0, 1.5\n"), Confidence::None),
        (format!("# {names}\n0;0;1.5\n"), Confidence::None),
        (
            format!("# {names}\ntheta,phi,x\n0,0,1.5\n"),
            Confidence::None,
        ),
        (format!("# {names}\n"), Confidence::None),
        (
            "# theta_deg eirp_theta_dbm\n0 1.5\n".to_string(),
            Confidence::None,
        ),
        ("# theta and phi\n0 0 1.5\n".to_string(), Confidence::None),
        ("0 0 1.5\n".to_string(), Confidence::None),
        ("{\"theta_deg\": [0, 0]}\n".to_string(), Confidence::None),
        ("theta_deg = 0\nphi_deg = 0\n".to_string(), Confidence::None),
    ] {
        let source = Source::from_text("t", &text, &Limits::small()).unwrap();
        let look = ColumnsAdapter::new().look(&Head::of(&source));
        assert_eq!(look.confidence, want, "{text}: {}", look.reason);
    }
}

#[test]
fn limits_have_places() {
    let text = "# theta_deg phi_deg eirp_theta_w eirp_phi_w\n0 0 1 1\n0 30 1 1\n";
    let place = |text: &str, limits: &Limits| {
        let error = read_with(text, &ReadOptions::default(), limits).unwrap_err();
        (error.group(), error.place().unwrap().line.unwrap())
    };
    let mut limits = Limits::default();
    limits.max_readings = 3;
    assert_eq!(place(text, &limits), (Group::Limit, 3));
    let mut limits = Limits::default();
    limits.max_fields = 3;
    assert_eq!(place(text, &limits), (Group::Limit, 1));
    let mut limits = Limits::default();
    limits.max_line_bytes = 10;
    assert_eq!(place(text, &limits), (Group::Limit, 1));
    let long = format!("{text}0 60 1 1{}\n", " ".repeat(1 << 15));
    assert_eq!(place(&long, &Limits::small()), (Group::Limit, 4));
}
