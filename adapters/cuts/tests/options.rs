//! What a person decides for a file, and the limits.
#![cfg_attr(test, allow(clippy::unwrap_used, clippy::expect_used, clippy::panic))]

use spheresum_adapter_cuts::CutsAdapter;
use spheresum_core::intake::{Adapter, ReadOptions, Source};
use spheresum_core::unit::frequency::FrequencyUnit;
use spheresum_core::unit::level::w_from_dbm;
use spheresum_core::{Error, Frequency, Group, Limits, Polarisation, Readings, Result, Value};

fn read_with(text: &str, options: &ReadOptions, limits: &Limits) -> Result<Readings> {
    let source = Source::from_text("t", text, &Limits::default())?;
    let intake = CutsAdapter::new().read(&source, limits, options)?;
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

#[test]
fn guesses_are_chosen_by_the_person() {
    let text = "az: 30 deg\nel [deg],V [dBm]\n20,0\n";
    let chosen = [(
        "column",
        "az=clockwise_deg,el [deg]=elevation_deg,v [dbm]=eirp_phi_dbm",
    )];
    let want = [(70.0, -30.0, Polarisation::Phi, w_from_dbm(0.0))];
    assert_eq!(all(&readings(text, &chosen)), want);
    assert_eq!(refused(text, &[]).group(), Group::Ambiguous);
    // A name that says nothing may be the running angle, too.
    let text = "phi: 30 deg\ntable,V [dBm]\n20,0\n";
    assert_eq!(refused(text, &[]).group(), Group::Input);
    let chosen = [("column", "table=theta_deg,V [dBm]=eirp_theta")];
    let want = [(20.0, 30.0, Polarisation::Theta, w_from_dbm(0.0))];
    assert_eq!(all(&readings(text, &chosen)), want);
    let text = "phi: 30 deg\npolarisation: H\ntheta_deg,eirp_dbm\n20,0\n";
    let read = readings(text, &[("pol", "H=phi")]);
    assert_eq!(all(&read)[0].2, Polarisation::Phi);
    assert_eq!(
        refused(text, &[("column", "height=theta_deg")]).group(),
        Group::Usage
    );
}

#[test]
fn hints_can_be_taken_as_they_stand() {
    for text in [
        "phi: 30 deg\ntheta_deg,V [dBm],H [dBm]\n0,-1,-2\n",
        "phi: 30 deg\nel_deg,eirp_theta_dbm\n0,-1\n",
        "az: 30 deg\ntheta_deg,eirp_theta_dbm\n0,-1\n",
        "phi: 30 deg\ntheta_deg,power_theta_dbm\n0,-1\n",
        "phi: 30 deg\ntheta_deg,eirp_theta_dbm\n0,-1\nphi: 60 deg\ntheta_deg,eis_theta_dbm,eirp_theta_dbm\n0,-1,-2\n",
        "phi: 30 deg, 868.3 MHz\ntheta_deg,frequency_mhz,eirp_theta_dbm\n0,868.3,-1\n",
        "phi: 30 deg\nEIRP V [dBm]\ntheta_deg,value\n0,-1\n",
    ] {
        let hint = refused(text, &[]).advice().unwrap().to_string();
        let shown = hint.split("column=").last().unwrap();
        let shown = shown.split(" (").next().unwrap();
        let read = read_with(text, &options(&[("column", shown)]), &Limits::small());
        assert!(read.is_ok(), "{text}\n{shown}\n{}", read.unwrap_err());
    }
}

#[test]
fn what_the_file_leaves_out() {
    let text = "phi: 30\ntheta,value\n0,-1\n90,-2\n";
    let frequency = Frequency::parse("868.3", FrequencyUnit::Mhz).unwrap();
    let named = [("angles", "deg"), ("quantity", "eis"), ("unit", "dBm")];
    let given = options(&named)
        .with_frequency(frequency)
        .with_polarisation(Polarisation::Phi);
    let read = read_with(text, &given, &Limits::small()).unwrap();
    assert_eq!(read.frequencies(), [Some(frequency)]);
    let want = [
        (0.0, 30.0, Polarisation::Phi, w_from_dbm(-1.0)),
        (90.0, 30.0, Polarisation::Phi, w_from_dbm(-2.0)),
    ];
    assert_eq!(all(&read), want);
    // What the file says itself is not given again.
    for title in ["phi: 30, 869.5 MHz", "phi: 30, pol: theta"] {
        let text = text.replace("phi: 30", title);
        let error = read_with(&text, &given, &Limits::small()).unwrap_err();
        assert_eq!(error.group(), Group::Usage, "{title}: {error}");
    }
}

#[test]
fn separators_and_decimal_signs() {
    let text = "phi: 30,5 deg\ntheta_deg eirp_theta_dbm\n0,5 -1,5\n";
    let want = [(0.5, 30.5, Polarisation::Theta, w_from_dbm(-1.5))];
    for named in [&[][..], &[("separator", "blank")], &[("decimal", "comma")]] {
        assert_eq!(all(&readings(text, named)), want, "{named:?}");
    }
    assert_eq!(refused(text, &[("separator", "tab")]).group(), Group::Input);
    assert_eq!(refused(text, &[("decimal", "point")]).group(), Group::Input);
    assert_eq!(refused(text, &[("fruit", "apple")]).group(), Group::Usage);
}

#[test]
fn limits_hold() {
    let text = "phi: 30 deg, 868.3 MHz\ntheta_deg,eirp_theta_dbm\n0,-1\n90,-2\nphi: 60 deg, 869.5 MHz\n0,-1\n";
    let group = |change: &dyn Fn(&mut Limits)| {
        let mut limits = Limits::small();
        change(&mut limits);
        read_with(text, &ReadOptions::default(), &limits)
            .map_err(|e| e.group())
            .err()
    };
    assert_eq!(group(&|_| {}), None);
    assert_eq!(group(&|l| l.max_readings = 2), Some(Group::Limit));
    assert_eq!(group(&|l| l.max_line_bytes = 10), Some(Group::Limit));
    assert_eq!(group(&|l| l.max_frequencies = 1), Some(Group::Limit));
    assert_eq!(group(&|l| l.max_fields = 1), Some(Group::Input));
}
