//! Touchstone files through the command: looked at, refused with a place, and as a range loss.

use crate::bench::{Bench, Pattern, figure};
use std::path::{Path, PathBuf};

fn data(below: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../tests/data/touchstone")
        .join(below)
}

fn range_file() -> String {
    data("good/range-three-port.s3p")
        .to_str()
        .unwrap()
        .to_string()
}

/// Received power at 868.3 MHz whose EIRP is 40 dB or so higher.
fn bench() -> Bench {
    let bench = Bench::new();
    let pattern = Pattern {
        quantity: "received",
        offset_db: -40.0,
        ..Pattern::default()
    };
    bench.write("received.csv", &pattern.csv());
    bench
}

#[test]
fn look_says_what_the_ports_do() {
    let ran = Bench::new().run(&["look", &range_file()]).must_be(0);
    for part in [
        "touchstone (certain",
        "ports        3",
        "S (scattering)",
        "3, 860 MHz … 880 MHz",
        "50 Ω",
        "|S21|  -40.20   -40.00  dB    from port 1 to port 2",
        "|S11|  -20.90   -20.10  dB    reflection at port 1",
        "--range-path",
    ] {
        assert!(ran.out.contains(part), "{part}\n{}", ran.out);
    }
    assert!(ran.err.is_empty(), "{}", ran.err);
}

#[test]
fn every_good_file_can_be_looked_at() {
    let bench = Bench::new();
    let mut count = 0;
    for entry in std::fs::read_dir(data("good")).unwrap() {
        let path = entry.unwrap().path();
        let ran = bench.run(&["look", path.to_str().unwrap()]).must_be(0);
        assert!(ran.out.contains("touchstone (certain"), "{}", ran.out);
        let is_noted = ran.out.contains("Findings");
        let is_odd = ["noise", "normalised.s2p", "no-end", "zero-hertz"]
            .iter()
            .any(|part| path.to_string_lossy().contains(part));
        assert_eq!(is_noted, is_odd, "{}", ran.out);
        count += 1;
    }
    assert!(count >= 15);
}

#[test]
fn every_bad_file_exits_with_3_and_its_place() {
    let bench = Bench::new();
    let expected = std::fs::read_to_string(data("bad/EXPECTED.csv")).unwrap();
    let mut count = 0;
    for row in expected.lines().skip(1) {
        let fields: Vec<&str> = row.splitn(5, ',').collect();
        let path = data("bad").join(fields[0]);
        let path = path.to_str().unwrap();
        let place = format!("{path}:{}:{}\n", fields[2], fields[3]);
        let ran = bench
            .run(&["look", path, "--adapter", "touchstone"])
            .must_be(3);
        assert!(ran.err.contains(&place), "{place}\n{}", ran.err);
        assert!(ran.err.contains("help: "), "{}", ran.err);
        // By itself another adapter may take it for a table of numbers, and refuses it as well.
        bench.run(&["look", path]).must_be(3);
        count += 1;
    }
    assert!(count >= 25);
}

#[test]
fn transfers_are_a_range_loss() {
    let bench = bench();
    let words = ["reduce", "received.csv", "--json", "--range"];
    let range = range_file();
    let by_file = [&words[..], &[&range, "--range-path", "theta=S21,phi=S31"]].concat();
    let by_numbers = [&words[..], &["theta=40.083,phi=41.64"]].concat();
    let by_file = bench.run(&by_file).must_be(0).json();
    let by_numbers = bench.run(&by_numbers).must_be(0).json();
    for name in ["trp", "trp_theta", "trp_phi"] {
        let of = |document: &serde_json::Value| {
            figure(&document["runs"][0], 0, name)["value"]
                .as_f64()
                .unwrap()
        };
        assert!((of(&by_file) - of(&by_numbers)).abs() < 1e-9, "{name}");
    }
    // Closed form: half a milliwatt in each polarisation, 40 dB lower, with the losses of the file; and the sine rule's sum
    // over a constant, (π/2N) cot(π/2N) with N = 12.
    let mw = 0.5 * (10_f64.powf(0.0083) + 10_f64.powf(0.164));
    let step = std::f64::consts::PI / 24.0;
    let trp = figure(&by_file["runs"][0], 0, "trp")["value"]
        .as_f64()
        .unwrap();
    assert!((trp - 10.0 * (mw * step / step.tan()).log10()).abs() < 1e-9);
    // The history gives the options back.
    let history = by_file["runs"][0]["history"].as_array().unwrap();
    let step = history.iter().find(|s| s["step"] == "range").unwrap();
    assert_eq!(step["options"]["range-path"], "theta=S21,phi=S31");
    assert_eq!(step["options"]["range"], range_file().as_str());
    let step_text = step.to_string();
    assert!(step_text.contains("sha256"), "{step_text}");
}

#[test]
fn compare_takes_it_too() {
    let bench = bench();
    let received = bench.read("received.csv");
    bench.write(
        "other.csv",
        &received.replace("# device: test", "# device: other"),
    );
    let range = range_file();
    let words = ["compare", "received.csv", "other.csv", "--range", &range];
    bench.run(&words).must_be(2);
    bench
        .run(&[&words[..], &["--range-path", "theta=S21,phi=S31"]].concat())
        .must_be(0);
}

#[test]
fn wrong_paths_say_what_to_type() {
    let bench = bench();
    let reduce = |range: &str, path: Option<&str>, status: i32| {
        let mut words = vec!["reduce", "received.csv", "--range", range];
        words.extend(path.into_iter().flat_map(|p| ["--range-path", p]));
        let ran = bench.run(&words).must_be(status);
        assert!(ran.out.is_empty(), "{}", ran.out);
        ran.err.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    let range = range_file();
    let none = reduce(&range, None, 2);
    assert!(none.contains("--range-path theta=S21,phi=S31"), "{none}");
    for (path, part) in [
        ("theta=S21", "path of the phi polarisation"),
        ("theta=S21,phi=S22", "reflection"),
        ("theta=S21,phi=S41", "S41 is not there"),
        ("theta=S21,theta=S31", "names no paths"),
        ("S21", "names no paths"),
        ("theta=S21,phi=S31,gain=3", "no option \"gain\""),
    ] {
        let said = reduce(&range, Some(path), 2);
        assert!(said.contains(part), "{part}: {said}");
    }
    let numbers = reduce("theta=40,phi=41", Some("theta=S21,phi=S31"), 2);
    assert!(numbers.contains("gives numbers"), "{numbers}");
    // An amplifier in the path.
    let amplifier = data("good/v2-noise.s2p");
    let gain = reduce(amplifier.to_str().unwrap(), Some("theta=S21,phi=S12"), 3);
    assert!(gain.contains("gains power"), "{gain}");
    // How many ports there are.
    let unsaid = data("bad/ports-ambiguous.txt");
    let unsaid = reduce(unsaid.to_str().unwrap(), Some("theta=S21,phi=S12"), 3);
    assert!(
        unsaid.contains("--range-path, behind the paths") && !unsaid.contains("--ports"),
        "{unsaid}"
    );
    // A table has no transfers.
    bench.write(
        "loss.csv",
        "frequency_mhz,loss_theta_db,loss_phi_db\n868.3,39,39.5\n",
    );
    let table = reduce("loss.csv", Some("theta=S21,phi=S31"), 2);
    assert!(table.contains("no option"), "{table}");
    // Alone it means nothing.
    bench
        .run(&["reduce", "received.csv", "--range-path", "theta=S21"])
        .must_be(2);
}

#[test]
fn the_number_of_ports_can_be_said() {
    let bench = Bench::new();
    let two = "# MHz S RI\n868.3 0.1 0 0.8 0.1 0.8 0.1 0.2 0\n";
    bench.write("path.s4p", two);
    let refused = bench.run(&["look", "path.s4p"]).must_be(3).err;
    assert!(refused.contains("--ports VALUE"), "{refused}");
    let ran = bench.run(&["look", "path.s4p", "--ports", "2"]).must_be(0);
    assert!(ran.out.contains("ports        2"), "{}", ran.out);
}
