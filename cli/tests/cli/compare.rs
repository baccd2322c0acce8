//! `compare`: differences that are known.

use crate::bench::{Bench, Pattern};
use serde_json::Value;

fn trp(document: &Value, test: usize) -> Value {
    let figures = document["tests"][test]["channels"][0]["figures"]
        .as_array()
        .unwrap();
    figures.iter().find(|f| f["name"] == "trp").unwrap().clone()
}

fn files(bench: &Bench) {
    bench.write("a.csv", &Pattern::default().csv());
    bench.write(
        "b.csv",
        &Pattern {
            offset_db: -3.0,
            ..Pattern::default()
        }
        .csv(),
    );
    bench.write(
        "c.csv",
        &Pattern {
            offset_db: 1.0,
            step: 10,
            ..Pattern::default()
        }
        .csv(),
    );
}

#[test]
fn the_json_has_what_the_contract_names() {
    let bench = Bench::new();
    files(&bench);
    let words = [
        "compare",
        "a.csv",
        "b.csv",
        "c.csv",
        "--json",
        "--path-loss-exponent",
        "3",
    ];
    let document = bench.run(&words).must_be(0).json();
    assert_eq!(document["schema"], "spheresum.comparison/1");
    assert_eq!(document["reference"]["name"], "a");
    assert_eq!(document["tests"][0]["name"], "b");
    assert_eq!(document["tests"][1]["name"], "c");
    assert!(
        document["tests"][0]["sentence"]
            .as_str()
            .unwrap()
            .contains("3.00 dB less")
    );
    let one = trp(&document, 0);
    for key in [
        "name",
        "reference",
        "test",
        "difference_db",
        "difference_lower_db",
        "difference_upper_db",
        "power_ratio",
        "share_lost_percent",
        "range_factor_free_space",
        "range_factor",
        "path_loss_exponent",
        "standard_uncertainty_db",
        "expanded_uncertainty_db",
        "coverage_factor",
        "verdict",
    ] {
        assert!(one.get(key).is_some(), "{key}");
    }
    // Closed forms.
    let near = |key: &str, want: f64| {
        let got = one[key].as_f64().unwrap();
        assert!((got - want).abs() < 1e-9, "{key}: {got} for {want}");
    };
    near("difference_db", -3.0);
    near("power_ratio", 10f64.powf(-0.3));
    near("share_lost_percent", 100.0 * (1.0 - 10f64.powf(-0.3)));
    near("range_factor_free_space", 10f64.powf(-3.0 / 20.0));
    near("range_factor", 10f64.powf(-3.0 / 30.0));
    assert_eq!(one["verdict"], "not-assessed");
    assert!(
        (document["tests"][0]["channels"][0]["directions"]["largest_db"]
            .as_f64()
            .unwrap()
            + 3.0)
            .abs()
            < 1e-9
    );
}

#[test]
fn the_sentence_comes_first() {
    let bench = Bench::new();
    files(&bench);
    let text = bench.run(&["compare", "a.csv", "b.csv"]).must_be(0).out;
    assert!(
        text.starts_with("b radiates 3.00 dB less than a at 868.3 MHz"),
        "{text}"
    );
    let one_line = text.split_whitespace().collect::<Vec<_>>().join(" ");
    for part in [
        "49.9 %",
        "× 0.71",
        "-3.00 dB",
        "not-assessed",
        "Over 266 directions",
        "a.csv (delimited, EIRP)",
    ] {
        assert!(one_line.contains(part), "{part}\n{text}");
    }
}

#[test]
fn grids_that_differ_are_compared_on_figures_only() {
    let bench = Bench::new();
    files(&bench);
    let words = ["compare", "a.csv", "c.csv", "--json"];
    let document = bench.run(&words).must_be(0).json();
    assert!(document["tests"][0]["channels"][0]["directions"].is_null());
    assert!((trp(&document, 0)["difference_db"].as_f64().unwrap() - 1.0).abs() < 1e-9);
    let text = bench.run(&["compare", "a.csv", "c.csv"]).must_be(0).out;
    assert!(text.contains("different grids"), "{text}");
}

#[test]
fn a_drop_beyond_the_limit_exits_with_1() {
    let bench = Bench::new();
    files(&bench);
    bench
        .run(&["compare", "a.csv", "b.csv", "--max-drop", "3.1"])
        .must_be(0);
    let ran = bench
        .run(&["compare", "a.csv", "c.csv", "b.csv", "--max-drop", "2.9"])
        .must_be(1);
    assert!(
        ran.err.contains("b: trp is worse by 3.00 dB"),
        "{}",
        ran.err
    );
    assert!(!ran.err.contains("c: "), "{}", ran.err);
    assert!(
        ran.out.contains("radiates"),
        "the result is printed all the same"
    );
    bench
        .run(&["compare", "a.csv", "b.csv", "--max-drop", "nan"])
        .must_be(2);
    bench
        .run(&["compare", "a.csv", "b.csv", "--path-loss-exponent", "-1"])
        .must_be(2);
}

#[test]
fn a_sensitivity_is_worse_when_it_rises() {
    let bench = Bench::new();
    let eis = |offset_db: f64| {
        Pattern {
            quantity: "eis",
            offset_db,
            ..Pattern::default()
        }
        .csv()
    };
    bench.write("a.csv", &eis(-90.0));
    bench.write("b.csv", &eis(-88.0));
    let ran = bench
        .run(&["compare", "a.csv", "b.csv", "--max-drop", "1.5"])
        .must_be(1);
    assert!(ran.out.contains("2.00 dB less sensitive"), "{}", ran.out);
    bench
        .run(&["compare", "b.csv", "a.csv", "--max-drop", "1.5"])
        .must_be(0);
}

#[test]
fn a_limit_that_cannot_be_judged_is_no_pass() {
    let bench = Bench::new();
    files(&bench);
    bench.write("single.csv", &Pattern::default().single_csv("theta"));
    let ran = bench
        .run(&["compare", "a.csv", "single.csv", "--max-drop", "20"])
        .must_be(4);
    assert!(ran.err.contains("cannot be judged"), "{}", ran.err);
    let ran = bench
        .run(&[
            "compare",
            "a.csv",
            "b.csv",
            "--max-drop",
            "20",
            "--figures",
            "uhrp",
        ])
        .must_be(4);
    assert!(ran.err.contains("cannot be judged"), "{}", ran.err);
}

#[test]
fn many_frequencies_have_a_row_each() {
    let bench = Bench::new();
    let many = |offset_db: f64| {
        Pattern {
            mhz: vec!["863", "865", "867.5", "868.3", "870"],
            offset_db,
            ..Pattern::default()
        }
        .csv()
    };
    bench.write("a.csv", &many(0.0));
    bench.write("b.csv", &many(-2.0));
    let text = bench.run(&["compare", "a.csv", "b.csv"]).must_be(0).out;
    assert!(
        text.starts_with("b radiates 2.00 dB less than a on average over 5 frequencies"),
        "{text}"
    );
    for mhz in ["863 MHz", "867.5 MHz", "870 MHz"] {
        let rows = text.lines().filter(|l| l.trim_start().starts_with(mhz));
        assert!(rows.count() >= 3, "{mhz}\n{text}");
    }
    for part in [
        "not-assessed",
        "36.9 %",
        "trp_average",
        "Differences of the total power",
    ] {
        assert!(text.contains(part), "{part}\n{text}");
    }
    assert!(text.lines().all(|l| l.chars().count() <= 110), "{text}");
    let document = bench
        .run(&["compare", "a.csv", "b.csv", "--json"])
        .must_be(0)
        .json();
    let channels = document["tests"][0]["channels"].as_array().unwrap();
    assert_eq!(channels.len(), 5);
    assert_eq!(channels[2]["frequency_hz"], 867_500_000.0);
}

#[test]
fn named_runs_come_after_files() {
    let bench = Bench::new();
    files(&bench);
    let document = bench
        .run(&["compare", "--run", "x=b.csv", "--run", "y=a.csv", "--json"])
        .must_be(0)
        .json();
    assert_eq!(
        (
            &document["reference"]["name"],
            &document["tests"][0]["name"]
        ),
        (&"x".into(), &"y".into())
    );
    let document = bench
        .run(&["compare", "--run", "x=b.csv", "a.csv", "--json"])
        .must_be(0)
        .json();
    assert_eq!(
        (
            &document["reference"]["name"],
            &document["tests"][0]["name"]
        ),
        (&"a".into(), &"x".into())
    );
    let ran = bench.run(&["compare", "a.csv"]).must_be(2);
    assert!(ran.err.contains("at least one test"), "{}", ran.err);
}

#[test]
fn csv_has_one_row_a_figure() {
    let bench = Bench::new();
    files(&bench);
    let ran = bench
        .run(&[
            "compare",
            "a.csv",
            "b.csv",
            "--csv",
            "--figures",
            "trp,uhrp",
        ])
        .must_be(0);
    let lines: Vec<&str> = ran.out.lines().collect();
    assert!(lines[0].starts_with(
        "reference,test,scope,frequency_hz,figure,unit,reference_value,test_value,difference_db"
    ));
    assert!(
        lines[1].starts_with("a,b,channel,868300000,trp,dBm,"),
        "{}",
        lines[1]
    );
    assert!(lines[1].ends_with(",not-assessed"), "{}", lines[1]);
}

#[test]
fn the_sentence_tells_bounds_and_the_frequency_that_differs_most() {
    // Isotropic totals in dBm, both polarisations alike, on a 30° grid; two frequencies in MHz.
    let table = |second_dbm: f64, gap: bool| {
        let mut text =
            String::from("frequency_mhz,theta_deg,phi_deg,eirp_theta_dbm,eirp_phi_dbm\n");
        for (mhz, dbm) in [(868, 0.0), (870, second_dbm)] {
            for theta in (0..=180).step_by(30) {
                for phi in (0..360).step_by(30) {
                    let missing = gap && theta == 90 && phi == 60;
                    let cell = if missing {
                        String::new()
                    } else {
                        dbm.to_string()
                    };
                    text.push_str(&format!("{mhz},{theta},{phi},{cell},{cell}\n"));
                }
            }
        }
        text
    };
    let bench = Bench::new();
    bench.write("whole.csv", &table(0.0, false));
    bench.write("down.csv", &table(-2.0, false));
    bench.write("gap.csv", &table(0.0, true));
    let words = ["compare", "whole.csv", "down.csv", "gap.csv", "--json"];
    let document = bench.run(&words).must_be(0).json();
    let sentence = |n: usize| document["tests"][n]["sentence"].as_str().unwrap();
    assert!(
        sentence(0).contains("At 870 MHz it differs by -2.00 dB."),
        "{}",
        sentence(0)
    );
    assert!(
        !sentence(0).contains("What was not measured"),
        "{}",
        sentence(0)
    );
    // The gap is filled with the truth; at zero it takes its share away, at its border's largest reading it adds nothing.
    assert!(
        sentence(1).contains("the same within 0.01 dB"),
        "{}",
        sentence(1)
    );
    assert!(
        sentence(1).contains("can move the difference between -0."),
        "{}",
        sentence(1)
    );
    assert!(!sentence(1).contains("At 8"), "{}", sentence(1));
}
