//! `reduce`: text, JSON and CSV of files whose figures are known.

use crate::bench::{Bench, Pattern, figure};
use serde_json::Value;

#[test]
fn the_json_has_what_the_contract_names() {
    let bench = Bench::new();
    bench.write("iso.csv", &Pattern::default().csv());
    let document = bench
        .run(&["reduce", "iso.csv", "--json", "--rule", "clenshaw-curtis"])
        .must_be(0)
        .json();
    assert_eq!(document["schema"], "spheresum.reduction/1");
    for key in ["name", "version"] {
        assert!(document["program"][key].is_string(), "{key}");
    }
    let run = &document["runs"][0];
    for key in [
        "name", "inputs", "rule", "edges", "fill", "verdict", "channels", "summary", "findings",
        "history",
    ] {
        assert!(!run[key].is_null(), "{key}");
    }
    assert_eq!(run["name"], "iso");
    assert_eq!(run["inputs"][0]["path"], "iso.csv");
    assert_eq!(run["inputs"][0]["adapter"], "delimited");
    assert_eq!(run["inputs"][0]["quantity"], "eirp");
    assert_eq!(run["inputs"][0]["sha256"].as_str().map(str::len), Some(64));
    assert_eq!(run["channels"][0]["frequency_hz"], 868_300_000.0);
    let trp = figure(run, 0, "trp");
    for key in [
        "name",
        "state",
        "value",
        "unit",
        "rule",
        "edges",
        "lower",
        "upper",
        "bounds_assume",
        "interval_lower",
        "interval_upper",
        "coverage",
        "standard_uncertainty_db",
        "uncertainty_parts",
        "theta_deg",
        "phi_deg",
    ] {
        assert!(trp.get(key).is_some(), "{key}");
    }
    for key in ["noise", "gaps", "grid", "budget"] {
        assert_eq!(
            trp["uncertainty_parts"].get(key),
            Some(&Value::Null),
            "{key}"
        );
    }
    // Closed form: an isotropic source of 1 mW.
    assert!(trp["value"].as_f64().unwrap().abs() < 1e-9);
    assert_eq!(trp["state"], "value");
    assert_eq!(trp["unit"], "dBm");
    assert!(
        figure(run, 0, "directivity")["value"]
            .as_f64()
            .unwrap()
            .abs()
            < 1e-9
    );
    for step in run["history"].as_array().unwrap() {
        assert!(
            step["step"].is_string() && step["options"].is_object(),
            "{step}"
        );
    }
    assert_eq!(run["history"][0]["step"], "read");
}

#[test]
fn the_text_is_for_people() {
    let bench = Bench::new();
    bench.write("iso.csv", &Pattern::default().csv());
    let text = bench.run(&["reduce", "iso.csv"]).must_be(0).out;
    for part in [
        "iso.csv (delimited, EIRP)",
        "θ step 15°",
        "868.3 MHz",
        "trp",
        "dBm",
        "total radiated power",
        "rule sine",
    ] {
        assert!(text.contains(part), "{part}\n{text}");
    }
    assert!(!text.contains('\x1b'), "no colour in a pipe");
    assert!(
        text.lines().all(|l| l.trim_end() == l),
        "no blanks at line ends"
    );
}

#[test]
fn csv_has_one_row_a_figure() {
    let bench = Bench::new();
    bench.write(
        "two.csv",
        &Pattern {
            mhz: vec!["863", "870"],
            ..Pattern::default()
        }
        .csv(),
    );
    let ran = bench
        .run(&[
            "reduce",
            "--run",
            "a \"b\", c=two.csv",
            "--csv",
            "--figures",
            "trp,nhprp_30",
        ])
        .must_be(0);
    let lines: Vec<&str> = ran.out.lines().collect();
    assert!(lines[0].starts_with("run,scope,frequency_hz,figure,state,value,unit,lower,upper"));
    // Two figures at two frequencies, and the two summary figures of the TRP.
    assert_eq!(lines.len(), 1 + 4 + 2);
    assert!(
        lines[1].starts_with("\"a \"\"b\"\", c\",channel,863000000,trp,value,"),
        "{}",
        lines[1]
    );
    assert!(
        lines[5].contains(",summary,,trp_average,value,"),
        "{}",
        lines[5]
    );
}

#[test]
fn two_files_make_one_run() {
    let bench = Bench::new();
    let pattern = Pattern::default();
    bench.write("v.csv", &pattern.anonymous_csv());
    bench.write("h.csv", &pattern.anonymous_csv());
    let ran = bench.run(&[
        "reduce",
        "--run",
        "gauge=v.csv@theta@868.3,h.csv@868.3@phi",
        "--json",
        "--rule",
        "clenshaw-curtis",
    ]);
    let document = ran.must_be(0).json();
    let run = &document["runs"][0];
    assert_eq!(run["name"], "gauge");
    assert_eq!(run["inputs"].as_array().map(Vec::len), Some(2));
    assert_eq!(run["channels"][0]["frequency_hz"], 868_300_000.0);
    assert!(figure(run, 0, "trp")["value"].as_f64().unwrap().abs() < 1e-9);
    // Two files that are equal byte for byte are more often a slip than an isotropic source.
    let same = |run: &serde_json::Value| {
        let findings = run["findings"].as_array().unwrap();
        findings.iter().any(|f| f["code"] == "same-file")
    };
    assert!(same(run));
    bench.write(
        "h.csv",
        &format!("# horizontal\n{}", pattern.anonymous_csv()),
    );
    let words = ["reduce", "--run", "gauge=v.csv@theta,h.csv@phi", "--json"];
    assert!(!same(&bench.run(&words).must_be(0).json()["runs"][0]));
}

#[test]
fn several_frequencies_have_a_summary() {
    let bench = Bench::new();
    let mhz = vec!["863", "865", "867.5", "868.3", "870"];
    bench.write(
        "m.csv",
        &Pattern {
            mhz,
            ..Pattern::default()
        }
        .csv(),
    );
    let text = bench.run(&["reduce", "m.csv"]).must_be(0).out;
    for part in [
        "863 MHz",
        "867.5 MHz",
        "Over 5 frequencies",
        "trp_average",
        "trp_lowest",
    ] {
        assert!(text.contains(part), "{part}\n{text}");
    }
    let document = bench.run(&["reduce", "m.csv", "--json"]).must_be(0).json();
    assert_eq!(
        document["runs"][0]["channels"].as_array().map(Vec::len),
        Some(5)
    );
    assert_eq!(document["runs"][0]["summary"][0]["name"], "trp_average");
}

#[test]
fn received_power_needs_the_range_loss() {
    let bench = Bench::new();
    let pattern = Pattern {
        quantity: "received",
        offset_db: -40.0,
        ..Pattern::default()
    };
    bench.write("r.csv", &pattern.csv());
    bench.write(
        "loss.csv",
        "frequency_mhz,loss_theta_db,loss_phi_db\n860,39,39\n880,41,41\n",
    );
    let without = bench.run(&["reduce", "r.csv"]).must_be(4);
    assert!(without.err.contains("--range"), "{}", without.err);
    // Closed form: 40 dB on −40 dBm; at 868.3 MHz the file gives 39.83 dB.
    for (range, want) in [("theta=40,phi=40", 0.0), ("loss.csv", -0.17)] {
        let words = [
            "reduce",
            "r.csv",
            "--range",
            range,
            "--json",
            "--rule",
            "clenshaw-curtis",
        ];
        let document = bench.run(&words).must_be(0).json();
        let trp = figure(&document["runs"][0], 0, "trp")["value"]
            .as_f64()
            .unwrap();
        assert!((trp - want).abs() < 1e-9, "{range}: {trp}");
    }
    let history = bench
        .run(&["reduce", "r.csv", "--range", "loss.csv", "--json"])
        .must_be(0)
        .out;
    assert!(history.contains("loss.csv: sha256 "));
    // The loss twice is an error of the caller.
    bench.write("e.csv", &Pattern::default().csv());
    bench
        .run(&["reduce", "e.csv", "--range", "loss.csv"])
        .must_be(2);
    // A file of readings is no range loss, and a range loss is no readings.
    bench
        .run(&["reduce", "r.csv", "--range", "r.csv"])
        .must_be(3);
    let curve = bench.run(&["reduce", "loss.csv"]).must_be(3);
    assert!(curve.err.contains("--range"), "{}", curve.err);
}

#[test]
fn negative_numbers_are_values() {
    let bench = Bench::new();
    bench.write(
        "iso.csv",
        &Pattern {
            offset_db: -6.0,
            ..Pattern::default()
        }
        .csv(),
    );
    let words = [
        "reduce",
        "iso.csv",
        "--conducted-power-dbm",
        "-3",
        "--json",
        "--rule",
        "clenshaw-curtis",
    ];
    let document = bench.run(&words).must_be(0).json();
    // Closed form: −6 dBm of −3 dBm.
    let percent = figure(&document["runs"][0], 0, "total_efficiency")["value"]
        .as_f64()
        .unwrap();
    assert!(
        (percent - 100.0 * 10f64.powf(-0.3)).abs() < 1e-9,
        "{percent}"
    );
}

#[test]
fn a_zero_power_is_said_in_watts() {
    let bench = Bench::new();
    let mut text = "theta_deg,phi_deg,eirp_theta_w,eirp_phi_w\n".to_string();
    for theta in (0..=180).step_by(30) {
        for phi in (0..360).step_by(30) {
            text.push_str(&format!("{theta},{phi},0,0\n"));
        }
    }
    bench.write("zero.csv", &text);
    let ran = bench.run(&["reduce", "zero.csv"]).must_be(0);
    assert!(ran.out.contains("0 W"), "{}", ran.out);
    assert!(ran.out.contains("unknown frequency"), "{}", ran.out);
}

#[test]
fn standard_input_is_a_file() {
    use std::io::Write;
    use std::process::Stdio;
    let bench = Bench::new();
    let mut child = bench
        .command(".", &["reduce", "-", "--json"])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    child
        .stdin
        .take()
        .unwrap()
        .write_all(Pattern::default().csv().as_bytes())
        .unwrap();
    let output = child.wait_with_output().unwrap();
    assert!(output.status.success());
    let document: Value = serde_json::from_slice(&output.stdout).unwrap();
    assert_eq!(document["runs"][0]["name"], "stdin");
    assert_eq!(document["runs"][0]["inputs"][0]["path"], "-");
}

#[test]
fn the_rows_may_come_in_any_order() {
    let bench = Bench::new();
    // A pattern with different values, so that a sum in another order would show.
    let mut rows: Vec<String> = Vec::new();
    for theta in (0..=180).step_by(15) {
        for phi in (0..360).step_by(15) {
            let (t, p) = (f64::from(theta).to_radians(), f64::from(phi).to_radians());
            let pole = theta % 180 == 0;
            let a = if pole {
                -9.0
            } else {
                -9.0 + 7.0 * t.sin() + p.cos()
            };
            let b = if pole {
                -9.0
            } else {
                -12.0 + t.cos() + (2.0 * p).sin()
            };
            rows.push(format!("868.3,{theta},{phi},{a:.3},{b:.3}\n"));
        }
    }
    let heading = "frequency_mhz,theta_deg,phi_deg,eirp_theta_dbm,eirp_phi_dbm\n";
    bench.write("one/g.csv", &format!("{heading}{}", rows.concat()));
    // A fixed shuffle: steps through the rows by a number that shares no factor with their count.
    let n = rows.len();
    let shuffled: String = (0..n).map(|i| rows[(i * 101 + 7) % n].clone()).collect();
    bench.write("two/g.csv", &format!("{heading}{shuffled}"));
    let of = |folder: &str| {
        bench
            .run_in(folder, &["reduce", "g.csv", "--json"])
            .must_be(0)
    };
    let (one, two) = (of("one"), of("two"));
    let channels = |text: &str| {
        let from = text.find("\"channels\"").unwrap();
        let to = text.find("\"findings\"").unwrap();
        text[from..to].to_string()
    };
    assert_ne!(
        one.json()["runs"][0]["inputs"],
        two.json()["runs"][0]["inputs"],
        "the files differ"
    );
    assert_eq!(channels(&one.out), channels(&two.out));
    assert_eq!(
        one.json()["runs"][0]["findings"],
        two.json()["runs"][0]["findings"]
    );
}
