//! What a person decides for a file, and the limits.
#![cfg_attr(test, allow(clippy::unwrap_used, clippy::expect_used, clippy::panic))]

use spheresum_adapter_delimited::DelimitedAdapter;
use spheresum_core::intake::{Adapter, Intake, ReadOptions, Source};
use spheresum_core::unit::frequency::FrequencyUnit;
use spheresum_core::{Error, Frequency, Group, Limits, Polarisation, Readings, Result, Value};

fn read_with(text: &str, options: &ReadOptions, limits: &Limits) -> Result<Intake> {
    let source = Source::from_text("t", text, &Limits::default())?;
    DelimitedAdapter::new().read(&source, limits, options)
}

fn read(text: &str, named: &[(&str, &str)]) -> Result<Intake> {
    let options = named
        .iter()
        .fold(ReadOptions::default(), |o, (n, v)| o.with_named(n, v));
    read_with(text, &options, &Limits::small())
}

fn readings(text: &str, named: &[(&str, &str)]) -> Readings {
    read(text, named)
        .unwrap_or_else(|e| panic!("{e}: {:?}", e.advice()))
        .readings
        .unwrap()
}

fn refused(text: &str, named: &[(&str, &str)]) -> Error {
    read(text, named).unwrap_err()
}

fn first_value(readings: &Readings) -> f64 {
    match readings.get(0).unwrap().value {
        Value::Power(p) => p,
        Value::Field(e) => e.re,
    }
}

fn mhz(text: &str) -> Frequency {
    Frequency::parse(text, FrequencyUnit::Mhz).unwrap()
}

#[test]
fn columns_are_what_the_person_says() {
    let text = "az,el,V [dBm],H [dBm]\n30,20,0,10\n";
    let chosen = [(
        "column",
        "az=phi_deg,el=elevation_deg,V [dBm]=eirp_theta_dbm,h [dbm]=eirp_phi",
    )];
    let r = readings(text, &chosen);
    let first = r.get(0).unwrap();
    assert_eq!((first.theta_deg, first.phi_deg, r.len()), (70.0, 30.0, 2));
    assert_eq!(first_value(&r), 1e-3);
    // The option an error shows can be taken as it stands.
    let hint = refused(text, &[]).advice().unwrap().to_string();
    let shown = hint.split("column=").nth(1).unwrap();
    assert!(read(text, &[("column", shown)]).is_ok(), "{shown}");
}

#[test]
fn words_of_the_polarisation_column() {
    let text = "theta_deg,phi_deg,pol,eirp_dbm\n0,0,V,0\n0,0,h,1\n0,0,φ,1\n0,30,V,2\n";
    let r = readings(text, &[("pol", "V=theta,H=phi")]);
    let polarisations: Vec<Polarisation> = r.iter().map(|r| r.polarisation).collect();
    use Polarisation::{Phi, Theta};
    assert_eq!(polarisations, [Theta, Phi, Phi, Theta]);
}

#[test]
fn separators_and_decimal_signs() {
    let r = readings("theta_deg phi_deg  eirp_theta_dbm\n0 15 -12,345\n", &[]);
    assert!((first_value(&r) / 10_f64.powf(-4.2345) - 1.0).abs() < 1e-13);
    let e = refused(
        "theta_deg;phi_deg;eirp_theta_dbm\n0;15;-12,345\n",
        &[("decimal", "point")],
    );
    assert_eq!(e.group(), Group::Input);
    assert!(e.advice().unwrap().contains("decimal=comma"));
    // Given that commas separate, the row is only ragged.
    let ragged = "theta_deg,phi_deg,eirp_theta_dbm\n0,15,-12,345\n";
    assert_eq!(refused(ragged, &[]).group(), Group::Ambiguous);
    assert_eq!(
        refused(ragged, &[("separator", "comma")]).group(),
        Group::Input
    );
    assert_eq!(
        refused(ragged, &[("separator", "comma"), ("decimal", "comma")]).group(),
        Group::Usage
    );
}

#[test]
fn what_the_preamble_would_say() {
    let text = "theta,phi,power\n90,0,0\n";
    let r = readings(
        text,
        &[
            ("quantity", "eirp"),
            ("unit", "dBm"),
            ("angles", "deg"),
            ("column", "power=eirp_theta"),
        ],
    );
    assert_eq!(r.quantity().as_str(), "eirp");
    assert_eq!(
        refused(text, &[("quantity", "eirp"), ("unit", "dBm")]).group(),
        Group::Ambiguous
    );
}

#[test]
fn frequency_and_polarisation_of_the_call() {
    let small = Limits::small();
    let bare = "theta_deg,phi_deg,eirp_dbm\n0,0,1\n";
    let given = ReadOptions::default()
        .with_frequency(mhz("868.3"))
        .with_polarisation(Polarisation::Phi);
    let r = read_with(bare, &given, &small).unwrap().readings.unwrap();
    assert_eq!(r.frequencies(), [Some(mhz("868.3"))]);
    assert_eq!(r.get(0).unwrap().polarisation, Polarisation::Phi);
    let says_both = "frequency_mhz,theta_deg,phi_deg,eirp_theta_dbm\n868.30,0,0,1\n";
    let same = ReadOptions::default()
        .with_frequency(mhz("868.3"))
        .with_polarisation(Polarisation::Theta);
    assert!(read_with(says_both, &same, &small).is_ok());
    for other in [
        ReadOptions::default().with_frequency(mhz("915")),
        ReadOptions::default().with_polarisation(Polarisation::Phi),
    ] {
        assert_eq!(
            read_with(says_both, &other, &small).unwrap_err().group(),
            Group::Usage
        );
    }
    let preamble =
        "# frequency: 868.3 MHz\n# polarisation: theta\ntheta_deg,phi_deg,eirp_dbm\n0,0,1\n";
    for other in [
        ReadOptions::default().with_frequency(mhz("915")),
        ReadOptions::default().with_polarisation(Polarisation::Phi),
    ] {
        assert_eq!(
            read_with(preamble, &other, &small).unwrap_err().group(),
            Group::Usage
        );
    }
}

#[test]
fn unknown_options_and_headings() {
    let text = "theta_deg,phi_deg,eirp_theta_dbm\n0,0,1\n";
    assert_eq!(refused(text, &[("skip", "3")]).group(), Group::Usage);
    assert_eq!(
        refused(text, &[("column", "level=ignore")]).group(),
        Group::Usage
    );
    assert_eq!(
        refused(text, &[("column", "eirp_theta_dbm=eirp_theta_mw")]).group(),
        Group::Usage
    );
    assert_eq!(refused(text, &[("quantity", "eis")]).group(), Group::Usage);
}

#[test]
fn what_is_not_needed_is_left_out_with_a_note() {
    let text = "theta_deg,phi_deg,azimuth,power_dbm,eirp_theta_dbm,eirp_phi_dbm,total_dbm\n0,0,9,9,0,0,3\n";
    let intake = read(text, &[]).unwrap();
    assert_eq!(intake.findings.len(), 1);
    assert!(intake.findings[0].message.contains("azimuth, power_dbm"));
    assert_eq!(intake.readings.unwrap().len(), 3);
    let quiet = read(text, &[("column", "azimuth=ignore,power_dbm=ignore")]).unwrap();
    assert!(quiet.findings.is_empty());
}

#[test]
fn limits_have_places() {
    let text = "frequency_mhz,theta_deg,phi_deg,eirp_theta_dbm\n868.3,0,0,1\n868.3,0,30,1\n869,0,60,1\n869,0,90,1\n";
    let place = |limits: Limits| {
        let error = read_with(text, &ReadOptions::default(), &limits).unwrap_err();
        let place = error.place().cloned().unwrap();
        (error.group(), place.line.unwrap(), place.field)
    };
    let mut limits = Limits::default();
    limits.max_readings = 3;
    assert_eq!(
        place(limits),
        (Group::Limit, 5, Some("eirp_theta_dbm".to_string()))
    );
    let mut limits = Limits::default();
    limits.max_frequencies = 1;
    assert_eq!(
        place(limits),
        (Group::Limit, 4, Some("frequency_mhz".to_string()))
    );
    let mut limits = Limits::default();
    limits.max_fields = 3;
    assert_eq!(place(limits), (Group::Limit, 1, None));
    let mut limits = Limits::default();
    limits.max_line_bytes = 10;
    assert_eq!(place(limits), (Group::Limit, 1, None));
    // Entries above and below, and both together.
    let many = |n: usize| "# a: b\n".repeat(n);
    for (above, below, line) in [(1500, 0, 1025), (0, 1500, 1027), (600, 600, 1027)] {
        let text = format!(
            "{}theta_deg,phi_deg,eirp_theta_dbm\n0,0,1\n{}",
            many(above),
            many(below)
        );
        let error = read_with(&text, &ReadOptions::default(), &Limits::small()).unwrap_err();
        assert_eq!(error.group(), Group::Limit);
        assert_eq!(error.place().and_then(|p| p.line), Some(line));
    }
    // Frequencies of a loss.
    let losses: String = (0..300).map(|f| format!("{},40\n", 900 - f)).collect();
    let text = format!("frequency_mhz,loss_theta_db\n{losses}");
    let error = read_with(&text, &ReadOptions::default(), &Limits::small()).unwrap_err();
    assert_eq!(
        (error.group(), error.place().unwrap().line),
        (Group::Limit, Some(258))
    );
    // A long row behind a short heading.
    let text = format!(
        "theta_deg,phi_deg,eirp_theta_dbm\n0,0,1\n0,30,1{}\n",
        " ".repeat(1 << 15)
    );
    let error = read_with(&text, &ReadOptions::default(), &Limits::small()).unwrap_err();
    assert_eq!(
        (error.group(), error.place().unwrap().line),
        (Group::Limit, Some(3))
    );
}

#[test]
fn a_count_may_stand_below_the_rows() {
    let text = "theta_deg,phi_deg,eirp_theta_dbm\n0,0,1\n0,30,1\n# rows: 2\n";
    assert_eq!(readings(text, &[]).metadata().len(), 1);
    assert_eq!(
        refused(&text.replace("rows: 2", "rows: 3"), &[])
            .place()
            .unwrap()
            .line,
        Some(4)
    );
}

#[test]
fn a_negative_loss_is_passed_on() {
    let curve = read(
        "frequency_mhz,pol,path loss (dB)\n868,theta,-1.5\n868,phi,40\n",
        &[],
    )
    .unwrap()
    .curve
    .unwrap();
    assert_eq!(curve.points(Polarisation::Theta), [(mhz("868"), -1.5)]);
}
