//! What a person decides for a file, and the limits.
#![cfg_attr(test, allow(clippy::unwrap_used, clippy::expect_used, clippy::panic))]

use spheresum_adapter_matrix::MatrixAdapter;
use spheresum_core::intake::{Adapter, ReadOptions, Source};
use spheresum_core::unit::frequency::FrequencyUnit;
use spheresum_core::unit::level::w_from_dbm;
use spheresum_core::{Error, Frequency, Group, Limits, Polarisation, Readings, Result, Value};

fn read_with(text: &str, options: &ReadOptions, limits: &Limits) -> Result<Readings> {
    let source = Source::from_text("t", text, &Limits::default())?;
    let intake = MatrixAdapter::new().read(&source, limits, options)?;
    Ok(intake.readings.unwrap())
}

fn options(named: &[(&str, &str)]) -> ReadOptions {
    named
        .iter()
        .fold(ReadOptions::default(), |o, (n, v)| o.with_named(n, v))
}

fn readings(text: &str, named: &[(&str, &str)]) -> Readings {
    read_with(text, &options(named), &Limits::small())
        .unwrap_or_else(|e| panic!("{e}: {:?}", e.advice()))
}

fn refused(text: &str, named: &[(&str, &str)]) -> Error {
    read_with(text, &options(named), &Limits::small()).unwrap_err()
}

/// θ, φ, polarisation and value of each reading.
fn all(readings: &Readings) -> Vec<(f64, f64, Polarisation, f64)> {
    readings
        .iter()
        .map(|r| match r.value {
            Value::Power(p) => (r.theta_deg, r.phi_deg, r.polarisation, p),
            Value::Field(_) => panic!("a field"),
        })
        .collect()
}

const UNNAMED: &str = "EIRP theta [dBm]\n;0;90\n30;-1;-2\n";

#[test]
fn rows_are_what_the_person_says() {
    let named = |rows| [("rows", rows), ("angles", "deg")];
    let theta = all(&readings(UNNAMED, &named("theta")));
    let (one, two) = (w_from_dbm(-1.0), w_from_dbm(-2.0));
    let along = Polarisation::Theta;
    assert_eq!(theta, [(30.0, 0.0, along, one), (30.0, 90.0, along, two)]);
    let phi = all(&readings(UNNAMED, &named("phi")));
    assert_eq!(phi, [(0.0, 30.0, along, one), (90.0, 30.0, along, two)]);
    // The unit is no more guessed than the axes.
    assert_eq!(
        refused(UNNAMED, &[("rows", "theta")]).group(),
        Group::Ambiguous
    );
    // One name in the corner gives the unit.
    let one = UNNAMED.replace(";0;90", "phi [deg];0;90");
    assert_eq!(all(&readings(&one, &[("rows", "phi")])), phi);
    assert_eq!(refused(UNNAMED, &[("rows", "down")]).group(), Group::Usage);
    let named = UNNAMED.replace(";0;90", "theta_deg\\phi_deg;0;90");
    assert_eq!(refused(&named, &[("rows", "phi")]).group(), Group::Usage);
    assert!(read_with(&named, &options(&[("rows", "theta")]), &Limits::small()).is_ok());
}

#[test]
fn hints_can_be_taken_as_they_stand() {
    for text in [
        "EIRP V [dBm]\ntheta_deg\\phi_deg;0;90\n30;-1;-2\nEIRP H [dBm]\ntheta_deg\\phi_deg;0;90\n30;-1;-2\n",
        "EIRP theta [dBm]\nelevation_deg\\azimuth_deg;0;90\n30;-1;-2\n",
        "theta; dBm\ntheta_deg\\phi_deg;0;90\n30;-1;-2\n",
        "theta; 868.3 MHz\nunit: dBm\ntheta_deg\\phi_deg;0;90\n30;-1;-2\n",
        "EIRP theta [dBm]\ntheta_deg\\phi_deg;0\n30;-1\nEIS phi [dBm]\ntheta_deg\\phi_deg;0\n30;-1\n",
    ] {
        let hint = refused(text, &[]).advice().unwrap().to_string();
        let shown = hint.split("column=").nth(1).unwrap();
        let shown = shown.split(" (").next().unwrap();
        let chosen = options(&[("column", shown)]);
        let read = read_with(text, &chosen, &Limits::small());
        assert!(read.is_ok(), "{text}\n{shown}\n{}", read.unwrap_err());
    }
}

#[test]
fn elevations_and_words_of_polarisations() {
    let text = "Polarisation: V\nquantity: eirp\nunit: dBm\nel\\az [deg] 0 90\n30 -1 -2\n";
    let chosen = [
        ("column", "el=elevation_deg,az [deg]=clockwise_deg"),
        ("pol", "V=phi"),
    ];
    let (one, two) = (w_from_dbm(-1.0), w_from_dbm(-2.0));
    let phi = Polarisation::Phi;
    let want = [(60.0, 0.0, phi, one), (60.0, -90.0, phi, two)];
    assert_eq!(all(&readings(text, &chosen)), want);
    assert_eq!(refused(text, &chosen[..1]).group(), Group::Ambiguous);
    let nobody = refused(text, &[("column", "height=theta_deg")]);
    assert_eq!(nobody.group(), Group::Usage);
}

#[test]
fn what_the_file_leaves_out() {
    let text = "EIRP [dBm]\ntheta_deg\\phi_deg;0;90\n30;-1;-2\n";
    let frequency = Frequency::parse("868.3", FrequencyUnit::Mhz).unwrap();
    let given = ReadOptions::default()
        .with_frequency(frequency)
        .with_polarisation(Polarisation::Phi);
    let read = read_with(text, &given, &Limits::small()).unwrap();
    assert_eq!(read.frequencies(), [Some(frequency)]);
    assert!(read.iter().all(|r| r.polarisation == Polarisation::Phi));
    // What the file says itself is not given again.
    for title in ["EIRP theta [dBm]", "EIRP phi [dBm], 869.5 MHz"] {
        let text = text.replace("EIRP [dBm]", title);
        let error = read_with(&text, &given, &Limits::small()).unwrap_err();
        assert_eq!(error.group(), Group::Usage, "{title}: {error}");
    }
    let text = "theta_deg\\phi_deg;0;90\n30;-1;-2\n";
    let named = [("quantity", "eis"), ("unit", "dBm")];
    let given = options(&named).with_polarisation(Polarisation::Theta);
    assert_eq!(read_with(text, &given, &Limits::small()).unwrap().len(), 2);
    assert_eq!(
        readings(text, &[("column", "values=eirp_theta_dbm")]).len(),
        2
    );
}

#[test]
fn blocks_may_be_left_out_by_name() {
    let text = "EIRP theta [dBm]\ntheta_deg\\phi_deg;0\n30;-1\nEIS phi [dBm]\ntheta_deg\\phi_deg;0\n30;-1\n";
    let read = readings(text, &[("column", "eis phi [dbm]=ignore")]);
    assert_eq!(read.len(), 1);
}

#[test]
fn separators_and_decimal_signs() {
    let text = "EIRP theta [dBm]\ntheta_deg\\phi_deg 0,0 90,0\n30,0 -1,5 -2,5\n";
    let want = [w_from_dbm(-1.5), w_from_dbm(-2.5)];
    for named in [&[][..], &[("separator", "blank")], &[("decimal", "comma")]] {
        let got: Vec<f64> = all(&readings(text, named)).iter().map(|r| r.3).collect();
        assert_eq!(got, want, "{named:?}");
    }
    assert_eq!(refused(text, &[("separator", "tab")]).group(), Group::Input);
    assert_eq!(refused(text, &[("decimal", "point")]).group(), Group::Input);
    assert_eq!(refused(text, &[("fruit", "apple")]).group(), Group::Usage);
    assert!(
        refused(text, &[("fruit", "apple")])
            .advice()
            .unwrap()
            .contains("rows")
    );
}

#[test]
fn limits_hold() {
    let mut limits = Limits::small();
    limits.max_readings = 1;
    let text = "EIRP theta [dBm]\ntheta_deg\\phi_deg;0;90\n30;-1;-2\n40;-1;-2\n";
    let group = |text: &str, limits: &Limits| {
        read_with(text, &ReadOptions::default(), limits)
            .unwrap_err()
            .group()
    };
    assert_eq!(group(text, &limits), Group::Limit);
    limits = Limits::small();
    limits.max_fields = 2;
    assert_eq!(group(text, &limits), Group::Limit);
    limits = Limits::small();
    limits.max_line_bytes = 10;
    assert_eq!(group(text, &limits), Group::Limit);
    limits = Limits::small();
    limits.max_frequencies = 1;
    let two = text.replace("[dBm]", "[dBm], 1 MHz") + &text.replace("[dBm]", "[dBm], 2 MHz");
    assert_eq!(group(&two, &limits), Group::Limit);
}
