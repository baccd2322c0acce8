//! `--floor` and what goes with it.

use crate::bench::Bench;

/// An isotropic source of 0 dBm in each polarisation and reading, noise as strong as the signal included.
fn weak() -> String {
    let mut text = String::from(
        "# averages: 400\nfrequency_mhz,theta_deg,phi_deg,eirp_theta_dbm,eirp_phi_dbm\n",
    );
    for theta in (0..=180).step_by(15) {
        for phi in (0..360).step_by(15) {
            text.push_str(&format!("868.3,{theta},{phi},0,0\n"));
        }
    }
    text
}

/// The floor: half of the power of each reading.
const HALF_DBM: &str = "-3.010299956639812";

fn silent() -> String {
    let mut text = String::from(
        "# averages: 1000000\nfrequency_mhz,theta_deg,phi_deg,eirp_theta_dbm,eirp_phi_dbm\n",
    );
    for phi in 0..10 {
        text.push_str(&format!("868.3,90,{},{HALF_DBM},{HALF_DBM}\n", 36 * phi));
    }
    text
}

#[test]
fn a_floor_is_taken_off_by_value_and_by_file() {
    let bench = Bench::new();
    bench.write("weak.csv", &weak());
    bench.write("silent.csv", &silent());
    for floor in [
        HALF_DBM,
        &format!("theta={HALF_DBM},phi={HALF_DBM}"),
        "silent.csv",
    ] {
        let words = [
            "reduce",
            "weak.csv",
            "--floor",
            floor,
            "--detector",
            "rms",
            "--rule",
            "clenshaw-curtis",
            "--json",
        ];
        let document = bench.run(&words).must_be(0).json();
        let channel = &document["runs"][0]["channels"][0];
        let noise = &channel["noise"];
        // Closed form: half of the power is noise, 3.01 dB.
        assert!((noise["bias_db"].as_f64().unwrap() - 3.0103).abs() < 1e-4);
        assert_eq!(noise["averages"], 400.0);
        assert_eq!(document["runs"][0]["verdict"], "corrected");
        let trp = &channel["figures"][0];
        assert!(trp["value"].as_f64().unwrap().abs() < 1e-6);
        assert!(
            trp["interval_lower"].as_f64().unwrap() < 0.0
                && trp["interval_upper"].as_f64().unwrap() > 0.0
        );
        assert_eq!(trp["coverage"], 0.95);
        let history = document["runs"][0]["history"].as_array().unwrap();
        let step = history.iter().find(|s| s["step"] == "floor").unwrap();
        assert_eq!(step["options"]["detector"], "rms");
        if floor == "silent.csv" {
            assert!(step.to_string().contains("sha256"));
        }
    }
    let text = bench
        .run(&[
            "reduce",
            "weak.csv",
            "--floor",
            "silent.csv",
            "--detector",
            "rms",
            "--sweep-minutes",
            "10",
        ])
        .must_be(0)
        .out;
    for part in [
        "interval (95 %)",
        "corrected",
        "+3.01 dB before the floor is taken off",
        "lowest TRP that this setup can see",
    ] {
        assert!(text.contains(part), "{part}\n{text}");
    }
    let csv = bench
        .run(&[
            "reduce",
            "weak.csv",
            "--floor",
            "silent.csv",
            "--detector",
            "rms",
            "--csv",
        ])
        .must_be(0)
        .out;
    assert!(
        csv.lines()
            .next()
            .unwrap()
            .ends_with("interval_lower,interval_upper,coverage,standard_uncertainty_db")
    );
}

#[test]
fn what_is_missing_or_contradicts_is_told() {
    let bench = Bench::new();
    bench.write("weak.csv", &weak());
    bench.write("silent.csv", &silent());
    bench.write(
        "loss.csv",
        "frequency_mhz,loss_theta_db,loss_phi_db\n868.3,40,40\n",
    );
    for (words, status, part) in [
        (&["--floor", "-3"][..], 2, "--detector"),
        (&["--detector", "rms"], 2, "--floor"),
        (
            &["--floor", "theta=-3", "--detector", "rms"],
            2,
            "the phi polarisation is missing",
        ),
        (
            &["--floor", "1e9", "--detector", "rms"],
            2,
            "no noise floor",
        ),
        (
            &["--floor", "silent.csv", "--detector", "peak"],
            2,
            "rms log",
        ),
        (
            &[
                "--floor",
                "silent.csv",
                "--detector",
                "rms",
                "--averages",
                "0",
            ],
            2,
            "--averages",
        ),
        (
            &[
                "--floor",
                "silent.csv",
                "--detector",
                "rms",
                "--floor-averages",
                "5",
            ],
            2,
            "--floor-averages",
        ),
        (
            &[
                "--floor",
                "-3",
                "--detector",
                "rms",
                "--target-uncertainty",
                "0",
            ],
            2,
            "--target-uncertainty",
        ),
        (
            &["--floor", "absent.csv", "--detector", "rms"],
            3,
            "absent.csv",
        ),
        (
            &["--floor", "loss.csv", "--detector", "rms"],
            3,
            "noise-only",
        ),
    ] {
        let ran = bench
            .run(&[&["reduce", "weak.csv"], words].concat())
            .must_be(status);
        assert!(ran.err.contains(part), "{words:?}: {}", ran.err);
    }
}

#[test]
fn a_directivity_beyond_the_size_is_told() {
    let bench = Bench::new();
    // All of the power in one direction of the grid: about 20 dBi.
    let mut text = String::from("frequency_mhz,theta_deg,phi_deg,eirp_theta_dbm,eirp_phi_dbm\n");
    for theta in (0..=180).step_by(15) {
        for phi in (0..360).step_by(15) {
            let dbm = if (theta, phi) == (90, 90) { 20 } else { -30 };
            text.push_str(&format!("868.3,{theta},{phi},{dbm},-30\n"));
        }
    }
    bench.write("beam.csv", &text);
    let told = |size: &[&str]| {
        let words = [&["reduce", "beam.csv", "--json"], size].concat();
        let document = bench.run(&words).must_be(0).json();
        document["runs"][0]["findings"]
            .to_string()
            .contains("directivity-above-size")
    };
    assert!(told(&["--device-size-mm", "100"]));
    // ka of 10 allows 20.8 dBi.
    assert!(!told(&["--device-size-mm", "2000"]) && !told(&[]));
    bench
        .run(&["reduce", "beam.csv", "--device-size-mm", "0"])
        .must_be(2);
}

#[test]
fn a_floor_that_nobody_gave_is_suspected() {
    let bench = Bench::new();
    // A z dipole of 0 dBm and a floor of -25 dBm in each reading: phi holds nothing else.
    let mut text = String::from("frequency_mhz,theta_deg,phi_deg,eirp_theta_w,eirp_phi_w\n");
    let floor_w = 1e-3 * 10_f64.powf(-2.5);
    for theta in (0..=180_i32).step_by(15) {
        for phi in (0..360).step_by(15) {
            let theta_w = 1.5e-3 * f64::from(theta).to_radians().sin().powi(2) + floor_w;
            text.push_str(&format!("868.3,{theta},{phi},{theta_w:e},{floor_w:e}\n"));
        }
    }
    bench.write("floored.csv", &text);
    let looked = bench.run(&["look", "floored.csv"]).must_be(0).out;
    assert!(looked.contains("phi 0.0 dB, from the weakest"), "{looked}");
    let document = bench.run(&["reduce", "floored.csv", "--json"]).must_be(0);
    let findings = document.json()["runs"][0]["findings"].clone();
    let codes: Vec<&str> = findings
        .as_array()
        .unwrap()
        .iter()
        .map(|f| f["code"].as_str().unwrap())
        .collect();
    assert!(codes.contains(&"floor-suspected"), "{codes:?}");
}
