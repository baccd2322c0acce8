//! Wide tables, rows of units, footers, headings again and quotes: what a file may be, and what a person decides for it.
#![cfg_attr(test, allow(clippy::unwrap_used, clippy::expect_used, clippy::panic))]

use spheresum_adapter_delimited::DelimitedAdapter;
use spheresum_core::intake::{Adapter, Confidence, Head, Intake, ReadOptions, Source};
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

fn intake(text: &str, named: &[(&str, &str)]) -> Intake {
    read(text, named).unwrap_or_else(|e| panic!("{e}: {:?}", e.advice()))
}

fn readings(text: &str, named: &[(&str, &str)]) -> Readings {
    intake(text, named).readings.unwrap()
}

fn refused(text: &str, named: &[(&str, &str)]) -> Error {
    read(text, named).unwrap_err()
}

fn codes(intake: &Intake) -> Vec<&str> {
    intake.findings.iter().map(|f| f.code.as_str()).collect()
}

fn mhz(text: &str) -> Frequency {
    Frequency::parse(text, FrequencyUnit::Mhz).unwrap()
}

/// Frequency, polarisation and value of each reading.
fn all(readings: &Readings) -> Vec<(Frequency, Polarisation, f64)> {
    readings
        .iter()
        .map(|r| match r.value {
            Value::Power(p) => (
                readings.frequencies()[r.frequency].unwrap(),
                r.polarisation,
                p,
            ),
            Value::Field(_) => panic!("a field"),
        })
        .collect()
}

#[test]
fn wide_columns_in_any_order_and_spelling() {
    use Polarisation::{Phi, Theta};
    let text = "EIRP phi (0.8699 GHz) [mW];theta_deg;EIRP theta 868,3 MHz [mW];phi_deg;EIRP phi @ 868300 kHz [mW];\
                869.9 MHz EIRP theta [mW]\n1;0;2;0;3;4\n5;90;;0;7;8\n";
    let got = all(&readings(text, &[]));
    let w = |mw: f64| mw / 1e3;
    assert_eq!(
        got,
        [
            (mhz("869.9"), Phi, w(1.0)),
            (mhz("868.3"), Theta, w(2.0)),
            (mhz("868.3"), Phi, w(3.0)),
            (mhz("869.9"), Theta, w(4.0)),
            (mhz("869.9"), Phi, w(5.0)),
            (mhz("868.3"), Phi, w(7.0)),
            (mhz("869.9"), Theta, w(8.0)),
        ]
    );
}

#[test]
fn a_person_decides_for_wide_columns() {
    use Polarisation::{Phi, Theta};
    let text = "theta_deg,phi_deg,V 868.3 MHz [W],H 868.3 MHz [W],V 869.9 MHz [W]\n0,0,1,2,3\n";
    let chosen =
        "V 868.3 MHz [W]=eirp_theta_w,H 868.3 MHz [W]=eirp_phi,V 869.9 MHz [W]=eirp_theta_869.9mhz";
    let got = all(&readings(text, &[("column", chosen)]));
    assert_eq!(
        got,
        [
            (mhz("868.3"), Theta, 1.0),
            (mhz("868.3"), Phi, 2.0),
            (mhz("869.9"), Theta, 3.0)
        ]
    );
    let other = chosen.replace("869.9mhz", "868.3mhz");
    assert_eq!(refused(text, &[("column", &other)]).group(), Group::Usage);
    // A column without a frequency of its own may be left out.
    let mixed = "theta_deg,phi_deg,eirp_theta_w@868.3MHz,eirp_total_w\n0,0,1,2\n";
    let got = all(&readings(mixed, &[("column", "eirp_total_w=ignore")]));
    assert_eq!(got, [(mhz("868.3"), Theta, 1.0)]);
}

#[test]
fn one_frequency_given_twice_agrees_or_not() {
    let text = "theta_deg,phi_deg,eirp_theta_w@868.3MHz,eirp_phi_w@868.3MHz\n0,0,1,2\n";
    let with = |text: &str, frequency: &str| {
        let options = ReadOptions::default().with_frequency(mhz(frequency));
        read_with(text, &options, &Limits::small()).map_err(|e| (e.group(), e.place().is_some()))
    };
    assert!(with(text, "868.3").is_ok());
    assert_eq!(with(text, "869.9").unwrap_err(), (Group::Usage, true));
    let two = text.replace("phi_w@868.3", "phi_w@869.9");
    assert_eq!(with(&two, "868.3").unwrap_err(), (Group::Usage, true));
    assert!(read(&format!("# frequency: 868.3 MHz\n{text}"), &[]).is_ok());
    assert_eq!(
        refused(&format!("# frequency: 868.3 MHz\n{two}"), &[]).group(),
        Group::Input
    );
    // Beside the columns it is a remark.
    assert!(read(&format!("# frequency: see the headings\n{two}"), &[]).is_ok());
}

#[test]
fn a_loss_with_a_column_for_each_frequency() {
    let text = "loss_theta_db@868.3MHz,loss_theta_db@869.9MHz,loss_phi_db@868.3MHz,loss_phi_db@869.9MHz\n40,41,42,43\n";
    let curve = intake(text, &[]).curve.unwrap();
    let want = [(mhz("868.3"), 42.0), (mhz("869.9"), 43.0)];
    assert_eq!(curve.points(Polarisation::Phi), want);
    assert_eq!(
        refused(&format!("{text}1,2,3,4\n"), &[])
            .place()
            .and_then(|p| p.line),
        Some(3)
    );
}

/// A table of `columns` frequencies from 800 MHz on in steps of 10 kHz; row r, column c holds r + c/1000 dBm.
fn wide(columns: usize, rows: usize) -> String {
    let mut text = String::from("theta_deg,phi_deg");
    for c in 0..columns {
        text += &format!(",EIRP theta {}.{:02} MHz [dBm]", 800 + c / 100, c % 100);
    }
    for r in 0..rows {
        text += &format!("\n{},30", r);
        for c in 0..columns {
            text += &format!(",{}.{:03}", r + c / 1000, c % 1000);
        }
    }
    text
}

#[test]
fn thousands_of_columns_under_limits() {
    let text = wide(3000, 4);
    let options = ReadOptions::default();
    let intake = read_with(&text, &options, &Limits::default()).unwrap();
    let readings = intake.readings.unwrap();
    assert_eq!(
        (readings.len(), readings.frequencies().len()),
        (12_000, 3000)
    );
    for (at, reading) in readings.iter().enumerate().step_by(997) {
        let (r, c) = (at / 3000, at % 3000);
        let f = mhz(&format!("{}.{:02}", 800 + c / 100, c % 100));
        assert_eq!(readings.frequencies()[reading.frequency], Some(f));
        assert_eq!(reading.theta_deg, r as f64);
        let Value::Power(p) = reading.value else {
            panic!("a field")
        };
        let want_w = 10_f64.powf((r as f64 + c as f64 / 1000.0 - 30.0) / 10.0);
        assert!((p / want_w - 1.0).abs() < 1e-12);
    }
    let refused = |limits: &Limits| {
        let error = read_with(&text, &options, limits).unwrap_err();
        (error.group(), error.place().and_then(|p| p.line))
    };
    for limits in [
        Limits::small(),
        {
            let mut limits = Limits::default();
            limits.max_fields = 3001;
            limits
        },
        {
            let mut limits = Limits::default();
            limits.max_frequencies = 2999;
            limits
        },
    ] {
        assert_eq!(refused(&limits), (Group::Limit, Some(1)));
    }
    let mut limits = Limits::default();
    limits.max_readings = 7000;
    assert_eq!(refused(&limits), (Group::Limit, Some(4)));
}

#[test]
fn a_look_at_wide_headings() {
    let look = |text: &str| {
        let source = Source::from_text("t", text, &Limits::default()).unwrap();
        DelimitedAdapter::new().look(&Head::of(&source)).confidence
    };
    // Its heading line is longer than what a look is shown.
    assert_eq!(look(&wide(3000, 1)), Confidence::Certain);
    assert_eq!(
        look("theta_deg\tphi_deg\t868.3 MHz\t869.9 MHz\n"),
        Confidence::Certain
    );
    assert!(look("theta_deg\tphi_deg\t868.3\t869.9\n") < Confidence::Certain);
    assert!(look("name,colour 2,level\n") < Confidence::Certain);
}

#[test]
fn units_come_from_their_row_or_from_entries() {
    let plain = all(&readings(
        "# frequency: 868.3 MHz\ntheta [rad];phi;EIRP theta;note\n;[deg];(mW);s\n1;2;3;4\n",
        &[],
    ));
    assert_eq!(plain, [(mhz("868.3"), Polarisation::Theta, 3e-3)]);
    // The row comes before the entry, and the column's own unit before both.
    let text = "# unit: W\n# frequency: 868.3 MHz\ntheta_deg phi_deg eirp_theta eirp_phi_w\n\n(deg) (deg) (mW) -\n0 0 3 4\n";
    let got = all(&readings(text, &[]));
    assert_eq!(got.iter().map(|r| r.2).collect::<Vec<_>>(), [3e-3, 4.0]);
    // A row of ones is a row.
    assert_eq!(
        readings("theta_deg,phi_deg,gain_total_1\n1,1,1\n", &[]).len(),
        1
    );
}

#[test]
fn footers_are_left_out_with_a_note() {
    let table = "theta_deg,phi_deg,eirp_theta_dbm\n0,0,1\n0,30,1\n";
    for footer in [
        "End of data",
        "*** 2 points ***",
        "--------",
        "Mean,,-12.3",
        "Total,2",
        "\n\nReport, made on Monday, page 3, of the operator\n",
        "=====\nSum of all,,3\n# remark\n",
    ] {
        let intake = intake(&format!("{table}{footer}\n"), &[]);
        assert_eq!(codes(&intake), ["footer"], "{footer}");
        let place = intake.findings[0].place.clone().unwrap();
        assert!(place.line >= Some(4) && intake.readings.unwrap().len() == 2);
    }
    let entries = intake(&format!("{table}Rows: 2\nMean: -12.3 dBm\n\n"), &[]);
    assert!(codes(&entries).is_empty());
    let want = [("Rows", "2"), ("Mean", "-12.3 dBm")].map(|(k, v)| (k.to_string(), v.to_string()));
    assert_eq!(entries.readings.unwrap().metadata(), want);
    // An entry that would have meant something comes too late.
    let late = refused(&format!("{table}quantity: received\n"), &[]);
    assert_eq!(late.place().and_then(|p| p.line), Some(4));
    // Rows of this table start with text as well.
    let text_first = "note,theta_deg,phi_deg,eirp_theta_dbm\na,0,0,1\n";
    assert_eq!(
        codes(&intake(&format!("{text_first}End of data\n"), &[])),
        ["columns-unused", "footer"]
    );
    assert!(read(&format!("{text_first}End of data"), &[]).is_err());
    assert!(read(&format!("{text_first}Mean,,-12.3\n"), &[]).is_err());
}

/// Cut anywhere in its last row, a file with a claim or without is refused, or the row is whole.
#[test]
fn a_cut_row_is_never_a_footer() {
    let table = "theta_deg,phi_deg,eirp_theta_dbm,eirp_phi_dbm\n0,0,1.5,2.5\n0,30,1.5,2.5\n";
    let second = table.len() - "0,30,1.5,2.5\n".len();
    for cut in second + 1..table.len() {
        let whole = cut >= second + "0,30,1.5,".len();
        assert_eq!(
            read(&table[..cut], &[]).is_ok(),
            whole,
            "{:?}",
            &table[..cut]
        );
    }
}

#[test]
fn headings_again() {
    let block = "# operator: A\ntheta_deg,phi_deg,eirp_theta_dbm\n";
    let text = format!(
        "# quantity: eirp\n{block}0,0,1\n\u{c}\n# quantity: eirp\n{block}\n0,30,1\nOperator: B\nTHETA_DEG,phi_deg,\"eirp_theta_dbm\"\n0,60,1\nTotal: 3\n"
    );
    let again = intake(&text, &[]);
    assert_eq!(codes(&again), ["heading-repeated"]);
    assert!(again.findings[0].message.contains("2 times"));
    assert_eq!(again.findings[0].place.as_ref().unwrap().line, Some(8));
    assert_eq!(again.readings.unwrap().len(), 3);
    // With its row of units, and a claim that counts all rows.
    let units = "Theta;Phi;EIRP theta\ndeg;deg;dBm\n";
    let text = format!("{units}0;0;1\n{units}0;30;1\nrows: 2\n");
    assert_eq!(readings(&text, &[]).len(), 2);
    let text = text.replace("rows: 2", "rows: 1");
    assert_eq!(refused(&text, &[]).place().and_then(|p| p.line), Some(7));
    // With entries in two cells, which agree with the first ones or are refused; below the rows they count too.
    let block = "Frequency;868 MHz\nTheta [deg];Phi [deg];EIRP theta [dBm]\n";
    let text = format!("{block}0;0;1\n{block}0;30;1\nRows;2\n");
    assert_eq!(codes(&intake(&text, &[])), ["heading-repeated"]);
    for (from, to, line) in [("Rows;2", "Rows;1", 7), ("Rows;2", "Frequency;915 MHz", 7)] {
        let text = text.replace(from, to);
        assert_eq!(refused(&text, &[]).place().and_then(|p| p.line), Some(line));
    }
    let text = text.replacen("868 MHz", "868,3MHz", 2);
    assert_eq!(readings(&text, &[]).len(), 2);
    // Text between the blocks could be anything.
    let text = "theta_deg,phi_deg,eirp_theta_dbm\n0,0,1\nPage 2\ntheta_deg,phi_deg,eirp_theta_dbm\n0,30,1\n";
    assert_eq!(refused(text, &[]).place().and_then(|p| p.line), Some(3));
}

#[test]
fn quotes_in_full() {
    let text = "\"a \"\"note\"\"; free\";\"theta\r\n [deg]\";phi_deg;\"EIRP theta [dBm]\"\r\n\"x; \"\"y\"\"\r\n\r\nz\";\"0\";\" 15 \";1\r\n;0;30;2\r\n";
    let chosen = [("column", "a \"note\"; free=ignore")];
    let quoted = intake(text, &chosen);
    assert_eq!(codes(&quoted), ["quoted-lines"]);
    assert_eq!(quoted.findings[0].place.as_ref().unwrap().line, Some(3));
    let readings = quoted.readings.unwrap();
    let lines: Vec<(f64, u32)> = readings.iter().map(|r| (r.phi_deg, r.line)).collect();
    assert_eq!(lines, [(15.0, 3), (30.0, 6)]);
    // Places count the lines inside quotes.
    let error = refused(&text.replace(";30;", ";x;"), &chosen);
    let place = error.place().unwrap();
    assert_eq!((place.line, place.column), (Some(6), Some(4)));
    let error = refused(&text.replace(" 15 ", "x"), &chosen);
    let place = error.place().unwrap();
    assert_eq!((place.line, place.column), (Some(5), Some(9)));
}

#[test]
fn powers_over_a_dipole() {
    for (heading, role, dbm) in [
        ("ERP theta [dBm]", "erp_theta_dbm", 10.0_f64),
        ("ERP theta [dBW]", "erp_theta", 40.0),
        ("ERP theta [mW]", "erp_theta", 10.0),
    ] {
        // 10 mW are 10 dBm.
        let text = format!("# quantity: eirp\ntheta_deg,phi_deg,{heading}\n0,0,10\n");
        let option = format!("{heading}={role}");
        let found = readings(&text, &[("column", &option)]);
        // EIRP = ERP + 2.15 dB: common practice, from memory.
        let want_w = 10_f64.powf((dbm + 2.15 - 30.0) / 10.0);
        let Value::Power(p) = found.get(0).unwrap().value else {
            panic!("a field")
        };
        assert!(
            (p / want_w - 1.0).abs() < 1e-12,
            "{heading}: {p} is not {want_w}"
        );
        // Taken as it stands, the hint does the same.
        let hint = refused(&text, &[]).advice().unwrap().to_string();
        let shown = hint.split("column=").nth(1).unwrap();
        assert_eq!(readings(&text, &[("column", shown)]), found);
    }
}

#[test]
fn bars_between_fields() {
    let r = readings("theta_deg|phi_deg|eirp_theta_w|eirp_phi_w\n0|0||2\n", &[]);
    assert_eq!(r.len(), 1);
    let text = "|theta_deg|phi_deg|eirp_theta_w|\n|:--|--:|---|\n|0|0|1|\n";
    assert_eq!(readings(text, &[]).len(), 1);
    assert!(
        read(
            "theta_deg,phi_deg,eirp_theta_w\n0,0,1\n",
            &[("separator", "pipe")]
        )
        .is_err()
    );
}
