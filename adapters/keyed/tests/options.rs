//! How records are parted, what a person decides for a file, who owns a file, and the limits.
#![cfg_attr(test, allow(clippy::unwrap_used, clippy::expect_used, clippy::panic))]

use spheresum_adapter_keyed::KeyedAdapter;
use spheresum_core::intake::{Adapter, Confidence, Head, Intake, ReadOptions, Source};
use spheresum_core::unit::frequency::FrequencyUnit;
use spheresum_core::{
    Error, Frequency, Group, Limits, Polarisation, Readings, Result, Severity, Value,
};

fn read_with(text: &str, options: &ReadOptions, limits: &Limits) -> Result<Intake> {
    let source = Source::from_text("t", text, &Limits::default())?;
    KeyedAdapter::new().read(&source, limits, options)
}

fn read(text: &str, named: &[(&str, &str)]) -> Result<Intake> {
    let options = named
        .iter()
        .fold(ReadOptions::default(), |o, (n, v)| o.with_named(n, v));
    read_with(text, &options, &Limits::small())
}

fn intake(text: &str, named: &[(&str, &str)]) -> Intake {
    read(text, named).unwrap_or_else(|e| panic!("{e}: {:?}\n{text}", e.advice()))
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

const FIRST: &str = "theta_deg = 0\nphi_deg = 0\neirp_theta_w = 0.5\n";
const SECOND: &str = "theta_deg = 0\nphi_deg = 30\neirp_theta_w = 0.25\n";
const WANT: [(f64, f64, f64); 2] = [(0.0, 0.0, 0.5), (0.0, 30.0, 0.25)];

#[test]
fn records_are_parted_in_many_ways() {
    let head = "frequency = 868.3 MHz\n";
    for text in [
        format!("{head}\n{FIRST}\n{SECOND}"),
        format!("{head}{FIRST}\n\n\n{SECOND}\n"),
        format!("{head}{FIRST}---\n{SECOND}"),
        format!("---\n{head}---\n{FIRST}---\n{SECOND}---\n"),
        format!("{head}[reading 1]\n{FIRST}[reading 2]\n{SECOND}"),
        format!("[site]\n{head}\n[[point]]\n\n{FIRST}\n[[point]]\n{SECOND}"),
        format!("{head}{{\n{FIRST}}}\n{{\n{SECOND}}}\n"),
        format!("{head}a {{\n{FIRST}}},\nb2 {{\n{SECOND}}};\n").replace("b2", "a 2"),
        format!("{head}{FIRST}{SECOND}"),
        format!("{head}\n{FIRST}{SECOND}"),
        format!("{head}no = 1\n{FIRST}no = 2\n{SECOND}"),
        format!(
            "# a remark\n{head}# another\n{FIRST}\n# one more: of no meaning\n{SECOND}\nrows = 2\n"
        ),
    ] {
        let found = readings(&text, &[]);
        assert_eq!(rows(&found), WANT, "{text}");
        assert_eq!(found.frequencies().len(), 1, "{text}");
        assert!(found.frequencies()[0].is_some(), "{text}");
    }
}

#[test]
fn keys_stand_in_any_order_and_spelling() {
    let text = "THETA [deg] = 0\nphi_deg: 0\nEIRP theta = 0.5 W\n\nEirp  Theta = 0.25 [W]\nPhi_Deg\t30\ntheta [DEG]=0\n";
    assert_eq!(rows(&readings(text, &[])), WANT);
    let quoted = "theta_deg = \"0\"\nphi_deg = '0',\neirp_theta_w = 0.5; # remark\n";
    assert_eq!(rows(&readings(quoted, &[])), WANT[..1]);
}

#[test]
fn a_head_holds_for_the_whole_file() {
    // Without a blank line between head and first record.
    let text = format!("frequency = 868.3 MHz\nsite = river\n{FIRST}\n{SECOND}");
    let found = readings(&text, &[]);
    assert_eq!(found.frequencies().len(), 1);
    assert_eq!(
        found.metadata()[1],
        ("site".to_string(), "river".to_string())
    );
    // The same key in each record is a column.
    let text = format!("frequency_mhz = 868.3\n{FIRST}\nfrequency_mhz = 915\n{SECOND}");
    assert_eq!(readings(&text, &[]).frequencies().len(), 2);
}

#[test]
fn options_of_all_text_adapters() {
    let text = "el = 20 deg\naz = 30 deg\nV = 0 dBm\n";
    let chosen = [("column", "el=elevation_deg,az=phi_deg,V=eirp_theta_dbm")];
    assert_eq!(rows(&readings(text, &chosen)), [(70.0, 30.0, 0.001)]);
    let hint = refused(text, &[]).advice().unwrap().to_string();
    assert!(hint.contains("column=el=elevation_deg"), "{hint}");
    // The unit behind the value counts against the chosen one.
    let wrong = [("column", "el=elevation_rad,az=phi_deg,V=eirp_theta_dbm")];
    assert_eq!(refused(text, &wrong).group(), Group::Usage);
    let unknown = text.replace("el = 20 deg", "tilt = 20 gon");
    let tilt = [("column", "tilt=theta_deg,az=phi_deg,V=eirp_theta_dbm")];
    assert!(
        refused(&unknown, &tilt)
            .message()
            .contains("\"gon\" is not a unit")
    );
    let pol = "theta_deg = 0\nphi_deg = 0\npol = V\neirp_w = 0.5\n";
    assert_eq!(rows(&readings(pol, &[("pol", "V=theta")])), WANT[..1]);
    assert_eq!(refused(pol, &[]).group(), Group::Ambiguous);
    assert_eq!(refused(pol, &[("separator", "tab")]).group(), Group::Usage);
    let bare = ReadOptions::default()
        .with_frequency(Frequency::parse("868.3", FrequencyUnit::Mhz).unwrap())
        .with_polarisation(Polarisation::Theta);
    let text = "theta_deg = 0\nphi_deg = 0\neirp_w = 0.5\n";
    let found = read_with(text, &bare, &Limits::small())
        .unwrap()
        .readings
        .unwrap();
    assert_eq!(found.get(0).unwrap().polarisation, Polarisation::Theta);
}

#[test]
fn units_that_do_not_matter_are_no_error() {
    let text = format!("{FIRST}remark = 3 apples\n\n{SECOND}remark = 4 pears\n");
    let taken = intake(&text, &[]);
    assert_eq!(taken.findings[0].code, "columns-unused");
    assert_eq!(rows(&taken.readings.unwrap()), WANT);
}

#[test]
fn missing_values_are_said() {
    let text = format!("{FIRST}\n{SECOND}").replace("eirp_theta_w = 0.5\n", "");
    let taken = intake(&text, &[]);
    assert_eq!(taken.findings[0].code, "values-missing");
    assert_eq!(rows(&taken.readings.unwrap()), WANT[1..]);
    let text = format!("{FIRST}\n{SECOND}").replace("eirp_theta_w = 0.25\n", "");
    let taken = intake(&text, &[]);
    assert_eq!(taken.findings[0].code, "last-record-short");
    assert_eq!(taken.findings[0].severity, Severity::Warning);
}

#[test]
fn who_owns_a_file() {
    for (text, want) in [
        (FIRST.to_string(), Confidence::Certain),
        (FIRST.replace(" = ", ": "), Confidence::Certain),
        (FIRST.replace(" = ", "\t"), Confidence::Certain),
        (
            format!("# remark\n[reading 1]\n{FIRST}"),
            Confidence::Certain,
        ),
        (
            "theta = 0\nphi = 0\npower = 3\n".to_string(),
            Confidence::Certain,
        ),
        (
            "el = 0 deg\naz = 0 deg\nEIRP theta = 3 dBm\n".to_string(),
            Confidence::Likely,
        ),
        ("theta = 0\nphi = 0\n".to_string(), Confidence::Maybe),
        // What follows belongs to others, or to nobody.
        (
            format!("{FIRST}theta_deg,phi_deg,eirp_theta_dbm\n0,0,1\n"),
            Confidence::None,
        ),
        ("theta = 30\n0 1 2 3\n".to_string(), Confidence::None),
        (
            "[package]\nname = \"gauge\"\nversion = \"0.1.0\"\n".to_string(),
            Confidence::None,
        ),
        (
            "theta = \"Elevation\"\nphi = \"Azimuth\"\nvalue = \"EIRP\"\n".to_string(),
            Confidence::None,
        ),
        (
            "theta_deg = [0, 30]\nphi_deg = [0, 30]\neirp_theta_dbm = [1, 2]\n".to_string(),
            Confidence::None,
        ),
        (
            "{\"theta_deg\": 0,\n\"phi_deg\": 0,\n\"eirp_dbm\": 1}\n".to_string(),
            Confidence::None,
        ),
        (
            "theta_deg,phi_deg,eirp_theta_dbm\n".to_string(),
            Confidence::None,
        ),
        (
            "frequency: 868.3 MHz\nquantity: eirp\n".to_string(),
            Confidence::None,
        ),
        ("A letter to the editor\n".to_string(), Confidence::None),
    ] {
        let source = Source::from_text("t", &text, &Limits::small()).unwrap();
        let look = KeyedAdapter::new().look(&Head::of(&source));
        assert_eq!(look.confidence, want, "{text}: {}", look.reason);
    }
    // A head that is cut in the middle of a line.
    let long: String = (0..2000)
        .map(|i| format!("{FIRST}remark = {i}\n\n"))
        .collect();
    for pad in 0..60 {
        let source = Source::from_text(
            "t",
            &format!("# {}\n{long}", "x".repeat(pad)),
            &Limits::small(),
        )
        .unwrap();
        let look = KeyedAdapter::new().look(&Head::of(&source));
        assert_eq!(
            look.confidence,
            Confidence::Certain,
            "{pad}: {}",
            look.reason
        );
    }
}

#[test]
fn limits_have_places() {
    let text = format!("{FIRST}\n{SECOND}");
    let place = |text: &str, limits: &Limits| {
        let error = read_with(text, &ReadOptions::default(), limits).unwrap_err();
        (error.group(), error.place().unwrap().line.unwrap())
    };
    let mut limits = Limits::default();
    limits.max_readings = 1;
    assert_eq!(place(&text, &limits), (Group::Limit, 7));
    let mut limits = Limits::default();
    limits.max_fields = 2;
    assert_eq!(place(&text, &limits), (Group::Limit, 3));
    let mut limits = Limits::default();
    limits.max_line_bytes = 15;
    assert_eq!(place(&text, &limits), (Group::Limit, 3));
    let mut limits = Limits::default();
    limits.max_frequencies = 1;
    let two = format!("f_mhz = 868\n{FIRST}\nf_mhz = 915\n{SECOND}");
    assert_eq!(place(&two, &limits), (Group::Limit, 6));
    let keys: String = (0..2000).map(|i| format!("key{i} = 1\n")).collect();
    assert_eq!(
        place(&format!("{FIRST}{keys}"), &Limits::small()),
        (Group::Limit, 1025)
    );
}
