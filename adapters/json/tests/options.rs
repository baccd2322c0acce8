//! What a person decides for a file, and the limits.
#![cfg_attr(test, allow(clippy::unwrap_used, clippy::expect_used, clippy::panic))]

use spheresum_adapter_json::JsonAdapter;
use spheresum_core::intake::{Adapter, Intake, ReadOptions, Source};
use spheresum_core::unit::frequency::FrequencyUnit;
use spheresum_core::{Error, Frequency, Group, Limits, Polarisation, Readings, Result, Value};

fn read_with(text: &str, options: &ReadOptions, limits: &Limits) -> Result<Intake> {
    let source = Source::from_text("t", text, &Limits::default())?;
    JsonAdapter::new().read(&source, limits, options)
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

const ROW: &str = r#"{"theta_deg": 90, "phi_deg": 0, "eirp_theta_dbm": 10}"#;

#[test]
fn columns_are_what_the_person_says() {
    let text = r#"[{"az": 30, "el": 20, "V [dBm]": 0, "H [dBm]": 10}]"#;
    let hint = refused(text, &[]).advice().unwrap().to_string();
    let shown = hint.split("column=").nth(1).unwrap();
    assert!(read(text, &[("column", shown)]).is_ok(), "{shown}");
    let chosen = "az=phi_deg,el=elevation_deg,V [dBm]=eirp_theta_dbm,h [dbm]=eirp_phi";
    let r = readings(text, &[("column", chosen)]);
    let first = r.get(0).unwrap();
    assert_eq!((first.theta_deg, first.phi_deg, r.len()), (70.0, 30.0, 2));
    assert_eq!(first_value(&r), 1e-3);
}

#[test]
fn a_table_is_chosen_by_its_key() {
    let text = format!(
        r#"{{"north": [{ROW}], "south": {{"theta_deg": [1, 2], "phi_deg": [0, 0], "eirp_theta_dbm": [1, 2]}}}}"#
    );
    assert_eq!(refused(&text, &[]).group(), Group::Ambiguous);
    assert_eq!(readings(&text, &[("table", "north")]).len(), 1);
    let south = read(&text, &[("table", "south")]).unwrap();
    assert_eq!(south.readings.unwrap().len(), 2);
    assert_eq!(south.findings[0].code, "keys-unused");
    for (text, key) in [(text.as_str(), "east"), (&format!("[{ROW}]"), "north")] {
        let error = refused(text, &[("table", key)]);
        assert_eq!(error.group(), Group::Usage);
        assert!(error.advice().is_some());
    }
}

#[test]
fn what_stands_beside_the_table() {
    // Known headings make a table; other lists are left out, with a note.
    let text = format!(
        r#"{{"colours": ["red", "blue"], "history": [{{"day": 1}}], "setup": {{"frequency_mhz": 868.3}}, "rows": [{ROW}]}}"#
    );
    let intake = read(&text, &[]).unwrap();
    let codes: Vec<&str> = intake.findings.iter().map(|f| f.code.as_str()).collect();
    assert_eq!(codes, ["keys-unused", "entry-unused"]);
    assert!(intake.findings[0].message.contains("history, colours"));
    let place = intake.findings[1].place.clone().unwrap();
    assert_eq!(
        (place.line, place.column),
        (Some(1), Some(text.find("868.3").unwrap() as u64 + 1))
    );
    let readings = intake.readings.unwrap();
    assert_eq!(readings.frequencies(), [None]);
    assert_eq!(
        readings.metadata(),
        [("setup.frequency_mhz".to_string(), "868.3".to_string())]
    );
}

#[test]
fn entries_give_what_headings_leave_out() {
    let text = r#"{"frequency": "868.3 MHz", "polarisation": "phi", "quantity": "received", "unit": "dBm", "angles": "rad",
        "data": {"theta": [0, 1], "phi": [0, 1], "power": [-30, -40]}}"#;
    let r = readings(text, &[]);
    let first = r.get(0).unwrap();
    assert_eq!(
        (first.polarisation, first_value(&r)),
        (Polarisation::Phi, 1e-6)
    );
    assert_eq!(r.get(1).unwrap().theta_deg, 1_f64.to_degrees());
    // The same by options.
    let bare = r#"{"theta": [0, 1], "phi": [0, 1], "power": [-30, -40]}"#;
    let named = [("quantity", "received"), ("unit", "dBm"), ("angles", "rad")];
    let mut options = ReadOptions::default()
        .with_polarisation(Polarisation::Phi)
        .with_frequency(Frequency::parse("868.3", FrequencyUnit::Mhz).unwrap());
    for (name, value) in named {
        options = options.with_named(name, value);
    }
    let same = read_with(bare, &options, &Limits::small())
        .unwrap()
        .readings
        .unwrap();
    assert_eq!(same.frequencies(), r.frequencies());
    assert_eq!(same.get(1).map(|r| r.value), r.get(1).map(|r| r.value));
}

#[test]
fn places_of_entries() {
    // An entry that is written with escapes has the place of its value, and one in a long line its own.
    for (text, column) in [
        (
            format!(r#"{{"frequency": "868.3 \u004d", "rows": [{ROW}]}}"#),
            16,
        ),
        (
            format!(r#"{{"points": 7, "rows": [{ROW}], "note": 7}}"#),
            12,
        ),
    ] {
        let place = refused(&text, &[]).place().cloned().unwrap();
        assert_eq!(
            (place.line, place.column),
            (Some(1), Some(column)),
            "{text}"
        );
    }
}

#[test]
fn decimal_signs() {
    let text = r#"{"theta_deg": ["0,5"], "phi_deg": [0.5], "eirp_theta_dbm": ["1,234"]}"#;
    let r = readings(text, &[]);
    let first = r.get(0).unwrap();
    assert_eq!((first.theta_deg, first.phi_deg), (0.5, 0.5));
    assert_eq!(refused(text, &[("decimal", "point")]).group(), Group::Input);
    let plain =
        r#"{"frequency_mhz": 868.3, "theta_deg": [0.5], "phi_deg": [0], "eirp_theta_dbm": [1]}"#;
    for sign in ["point", "comma"] {
        let r = readings(plain, &[("decimal", sign)]);
        assert_eq!(r.get(0).map(|r| r.theta_deg), Some(0.5));
        assert_eq!(r.frequencies()[0].map(Frequency::mhz), Some(868.3));
    }
}

#[test]
fn a_document_takes_no_named_options() {
    let text = format!(
        r#"{{"schema": "spheresum.readings/1", "quantity": "eirp", "blocks": [{{"readings": [{ROW}]}}]}}"#
    );
    for option in [
        ("column", "theta_deg=phi_deg"),
        ("quantity", "eirp"),
        ("table", "blocks"),
    ] {
        assert_eq!(refused(&text, &[option]).group(), Group::Usage);
    }
    // It may leave the frequency out, and then it can be given.
    let mhz = Frequency::parse("868.3", FrequencyUnit::Mhz).unwrap();
    let options = ReadOptions::default().with_frequency(mhz);
    let r = read_with(&text, &options, &Limits::small())
        .unwrap()
        .readings
        .unwrap();
    assert_eq!(r.frequencies(), [Some(mhz)]);
    let other = text.replace("\"theta_deg\"", "\"frequency_mhz\": 900, \"theta_deg\"");
    let error = read_with(&other, &options, &Limits::small()).unwrap_err();
    assert_eq!(error.group(), Group::Usage);
    let column = other.find("900").map(|at| at as u64 + 1);
    assert_eq!(error.place().and_then(|p| p.column), column);
    let wrong = ReadOptions::default().with_polarisation(Polarisation::Phi);
    assert_eq!(
        read_with(&text, &wrong, &Limits::small())
            .unwrap_err()
            .group(),
        Group::Usage
    );
}

#[test]
fn nearest_keys_are_suggested() {
    for (key, near) in [
        ("eirp_teta_dbm", "is it eirp_theta_dbm?"),
        ("Phi_deg", "is it phi_deg?"),
        ("thetadeg", "is it theta_deg?"),
        ("comment", "remarks of any name stand in metadata"),
    ] {
        let text = format!(
            r#"{{"schema": "spheresum.readings/1", "quantity": "eirp", "blocks": [{{"readings": [{{"{key}": 0}}]}}]}}"#
        );
        let error = refused(&text, &[]);
        assert!(
            error.advice().unwrap().contains(near),
            "{key}: {:?}",
            error.advice()
        );
    }
}

#[test]
fn limits_are_kept() {
    let limited = |text: &str, set: &dyn Fn(&mut Limits)| {
        let mut limits = Limits::small();
        set(&mut limits);
        let error = read_with(text, &ReadOptions::default(), &limits).unwrap_err();
        let place = error.place().cloned().unwrap_or_default();
        assert!(place.line.is_some() && place.column.is_some(), "{error}");
        assert!(error.advice().is_some(), "{error}");
        error.group()
    };
    let rows = format!("[{ROW}, {ROW}, {ROW}]");
    let lists = r#"{"theta_deg": [0, 1, 2], "phi_deg": [0, 0, 0], "eirp_theta_dbm": [1, 2, 3]}"#;
    let grid = r#"{"schema": "spheresum.readings/1", "quantity": "eirp", "blocks": [
        {"theta_deg": [0, 90, 180], "phi_deg": [0], "eirp_theta_dbm": [[1], [2], [3]]}]}"#;
    let blocks = format!(
        r#"{{"schema": "spheresum.readings/1", "quantity": "eirp", "blocks": [{{"readings": [{ROW}]}}, {{"readings": [{ROW}, {ROW}]}}]}}"#
    );
    for text in [rows.as_str(), lists, grid, &blocks] {
        assert_eq!(
            limited(text, &|l| l.max_readings = 2),
            Group::Limit,
            "{text}"
        );
    }
    for text in [rows.as_str(), lists, grid] {
        assert_eq!(limited(text, &|l| l.max_fields = 2), Group::Limit, "{text}");
    }
    // Few keys in each object, and many in all.
    let many = r#"[{"theta_deg": 0, "phi_deg": 0, "eirp_theta_dbm": 1}, {"theta_deg": 0, "phi_deg": 0, "x": 1}]"#;
    assert_eq!(limited(many, &|l| l.max_fields = 3), Group::Limit);
    let long = format!(
        r#"[{{"theta_deg": 0, "phi_deg": 0, "eirp_theta_dbm": "{}"}}]"#,
        "1".repeat(100)
    );
    assert_eq!(limited(&long, &|l| l.max_line_bytes = 64), Group::Limit);
    assert_eq!(
        limited(
            &long
                .replace('"', "'")
                .replace("'1", "1")
                .replace("1'", "1")
                .replace('\'', "\""),
            &|l| l.max_line_bytes = 64
        ),
        Group::Limit
    );
    let frequencies = r#"[{"frequency_mhz": 1, "theta_deg": 0, "phi_deg": 0, "eirp_theta_dbm": 1}, {"frequency_mhz": 2, "theta_deg": 0, "phi_deg": 0, "eirp_theta_dbm": 1}]"#;
    assert_eq!(
        limited(frequencies, &|l| l.max_frequencies = 1),
        Group::Limit
    );
    // Long lines are no harm: only texts and numbers are limited.
    let mut limits = Limits::small();
    limits.max_line_bytes = 64;
    assert!(read_with(&rows, &ReadOptions::default(), &limits).is_ok());
}
