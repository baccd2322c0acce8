//! Times of readings: the same in every family that has rows, and drift over them.

#![allow(clippy::unwrap_used, clippy::panic)]

use spheresum_core::assemble::{DEFAULT_SNAP_DEG, assemble};
use spheresum_core::intake::{ReadOptions, Source};
use spheresum_core::{Finding, Limits, Readings};
use std::fmt::Write as _;

/// The directions of a coarse sphere, with a reference direction after each of the five rings: (θ, φ, EIRP in dBm, seconds). The level
/// falls by 1 dB over the 20 minutes, from the first reference to the last. Sorted by direction, so that the lines say nothing.
fn rows() -> Vec<(u32, u32, f64, f64)> {
    let at = |seconds: f64| -(seconds - 300.0) / 1200.0;
    let mut rows = Vec::new();
    for ring in 0..5_u32 {
        for column in 0..4_u32 {
            let seconds = 300.0 * f64::from(ring) + 60.0 * f64::from(column);
            rows.push((45 * ring, 90 * column, at(seconds), seconds));
        }
        let seconds = 300.0 * f64::from(ring) + 290.0;
        rows.push((90, 45, at(seconds), seconds));
    }
    rows.sort_by_key(|r| (r.0, r.1));
    // The reference's readings out of their order.
    let first = rows.iter().position(|r| (r.0, r.1) == (90, 45)).unwrap();
    rows.swap(first, first + 2);
    rows.swap(first + 3, first + 4);
    rows
}

/// The file in each family: name and text.
fn files() -> Vec<(&'static str, String)> {
    let mut csv = String::from("time_s;theta_deg;phi_deg;eirp_theta_dbm\n");
    let mut dates = String::from("theta_deg,phi_deg,eirp_theta_dbm,timestamp\n");
    let mut columns = String::from("  theta_deg phi_deg eirp_theta_dbm time_min\n");
    let mut keyed = String::new();
    let mut json = Vec::new();
    for (theta, phi, dbm, seconds) in rows() {
        let _ = writeln!(
            csv,
            "{};{theta};{phi};{dbm:.6}",
            seconds.to_string().replace('.', ",")
        );
        // From five minutes before midnight on.
        let from = 86_400.0 - 300.0;
        let all = (from + seconds) as u32;
        let (day, second) = (7 + all / 86_400, all % 86_400);
        let _ = writeln!(
            dates,
            "{theta},{phi},{dbm:.6},2031-05-{day:02} {:02}:{:02}:{:02}",
            second / 3600,
            second / 60 % 60,
            second % 60
        );
        let _ = writeln!(
            columns,
            "  {theta:9} {phi:7} {dbm:14.6} {:8.5}",
            seconds / 60.0
        );
        let _ = writeln!(
            keyed,
            "time_s = {seconds}\ntheta_deg = {theta}\nphi_deg = {phi}\neirp_theta_dbm = {dbm:.6}\n"
        );
        json.push(format!(
            "{{\"theta_deg\": {theta}, \"phi_deg\": {phi}, \"eirp_theta_dbm\": {dbm:.6}, \"time_s\": {seconds}}}"
        ));
    }
    csv = csv.replace(".000000", "").replace('.', ",");
    let document = format!(
        "{{\"schema\": \"spheresum.readings/1\", \"quantity\": \"eirp\", \"blocks\": [{{\"readings\": [{}]}}]}}",
        json.join(",\n")
    );
    vec![
        ("times.csv", csv),
        ("dates.csv", dates),
        ("times.dat", columns),
        ("times.log", keyed),
        ("rows.json", format!("[{}]", json.join(",\n"))),
        ("document.json", document),
    ]
}

fn read(name: &str, text: String) -> (String, Readings, Vec<Finding>) {
    let limits = Limits::default();
    // Blanks part the fields of a delimited file too.
    let forced = name.ends_with(".dat").then_some("columns");
    let source = Source::from_bytes(name, text.into_bytes(), &limits).unwrap();
    let (id, intake) = spheresum_adapters::registry()
        .read(&source, forced, &limits, &ReadOptions::default())
        .unwrap_or_else(|e| panic!("{name}: {e}"));
    (id, intake.readings.unwrap(), intake.findings)
}

fn drift(readings: Readings) -> Option<String> {
    let limits = Limits::default();
    let assembled = assemble(&[readings], DEFAULT_SNAP_DEG, &limits).unwrap();
    let mut found = assembled.findings.into_iter().filter(|f| f.code == "drift");
    found.next().map(|f| f.message)
}

#[test]
fn every_family_with_rows_keeps_the_times() {
    let mut ids = Vec::new();
    for (name, text) in files() {
        let (id, readings, findings) = read(name, text);
        let (first, last) = readings.time_span_s().unwrap();
        assert!(
            (last - first - 1490.0).abs() < 1e-3,
            "{name}: {first} {last}"
        );
        assert!((0..readings.len()).all(|at| readings.time_s(at).is_some()));
        let lost = findings
            .iter()
            .find(|f| f.code == "times-unread" || f.code == "columns-unused");
        assert!(lost.is_none(), "{name}: {lost:?}");
        // 1 dB in 20 minutes, from the first to the last reading of the reference.
        let message = drift(readings).unwrap();
        assert!(
            message.contains("drifts by -1.00 dB in 20.0 minutes"),
            "{name}: {message}"
        );
        assert!(!message.contains("lines"), "{name}: {message}");
        ids.push(id);
    }
    ids.dedup();
    assert_eq!(ids, ["delimited", "columns", "keyed", "json"]);
}

/// The same file without its times: the lines say nothing.
#[test]
fn without_times_the_lines_stand_for_them() {
    let text = files().swap_remove(1).1.replace("timestamp", "remark");
    let (_, readings, findings) = read("dates.csv", text);
    assert_eq!(readings.time_span_s(), None);
    assert!(findings.iter().any(|f| f.code == "columns-unused"));
    assert_eq!(drift(readings), None);
}

#[test]
fn times_that_cannot_be_read_are_told_and_lose_no_reading() {
    let whole = files().swap_remove(1).1;
    let count = read("dates.csv", whole.clone()).1.len();
    for (from, to, odd) in [
        ("2031-05-", "2031-13-", 25),
        ("2031-05-08 ", "", 20),
        ("2031-05-07 23:55:00", "", 0),
    ] {
        let (_, readings, findings) = read("dates.csv", whole.replace(from, to));
        assert_eq!(readings.len(), count);
        let told = findings.iter().find(|f| f.code == "times-unread");
        match odd {
            0 => assert!(told.is_none()),
            _ => {
                let told = told.unwrap();
                assert!(told.message.starts_with(&odd.to_string()), "{told:?}");
                assert!(told.place.is_some(), "{told:?}");
            }
        }
        // Where a time of the reference lacks, the lines stand for all.
        assert_eq!(drift(readings).is_some(), odd == 0, "{to}");
    }
}
