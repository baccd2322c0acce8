//! The options in a result's history, given back to the command, reproduce its JSON byte for byte.

use crate::bench::{Bench, Pattern};
use serde_json::Value;

/// The options of all steps of some runs, as a person would type them. An option that several steps name alike is given once;
/// `run` may be given again and again.
fn options_of(runs: &[&Value]) -> Vec<String> {
    let mut words: Vec<String> = Vec::new();
    let mut given: Vec<(String, String)> = Vec::new();
    for run in runs {
        for step in run["history"].as_array().unwrap() {
            for (name, value) in step["options"].as_object().unwrap() {
                let pair = (name.clone(), value.as_str().unwrap().to_string());
                if !given.contains(&pair) {
                    words.push(format!("--{}", pair.0));
                    words.push(pair.1.clone());
                    given.push(pair);
                }
            }
        }
    }
    words
}

fn replay(bench: &Bench, command: &str, files: &[&str], options: &[&str]) {
    let typed = [&[command][..], files, options, &["--json"]].concat();
    let first = bench.run(&typed).must_be(0);
    let document = first.json();
    let runs: Vec<&Value> = if command == "compare" {
        let tests = document["runs"].as_array().unwrap();
        std::iter::once(&document["reference"])
            .chain(tests)
            .collect()
    } else {
        document["runs"].as_array().unwrap().iter().collect()
    };
    let words = options_of(&runs);
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    let again = bench
        .run(&[&[command][..], files, &words, &["--json"]].concat())
        .must_be(0);
    assert!(
        first.out == again.out,
        "{typed:?} gives another result than {words:?}"
    );
}

#[test]
fn reduce_can_be_replayed() {
    let bench = Bench::new();
    let gap: fn(usize, usize) -> bool = |theta, phi| !(theta == 90 && phi == 30);
    bench.write(
        "gap.csv",
        &Pattern {
            keep: gap,
            ..Pattern::default()
        }
        .csv(),
    );
    bench.write(
        "received.csv",
        &Pattern {
            quantity: "received",
            offset_db: -40.0,
            ..Pattern::default()
        }
        .csv(),
    );
    bench.write(
        "loss.csv",
        "frequency_mhz,loss_theta_db,loss_phi_db\n860,39,39.5\n880,41,41\n",
    );
    bench.write("v.csv", &Pattern::default().anonymous_csv());
    bench.write(
        "semicolon.csv",
        &Pattern::default().csv().replace(',', ";").replace('.', ","),
    );
    let matrix = |title: &str| {
        let labels: String = (0..12).map(|p| format!(",{}", 30 * p)).collect();
        let row = |t: usize| format!("{}{}\n", 30 * t, ",1.5".repeat(12));
        format!("{title}\n{labels}\n{}", (0..7).map(row).collect::<String>())
    };
    bench.write(
        "matrix.csv",
        &[matrix("EIRP theta [dBm]"), matrix("EIRP phi [dBm]")].join("\n"),
    );
    replay(
        &bench,
        "reduce",
        &["matrix.csv"],
        &[
            "--adapter",
            "matrix",
            "--angles",
            "deg",
            "--option",
            "rows=theta;separator=comma",
        ],
    );
    replay(&bench, "reduce", &["gap.csv"], &[]);
    replay(
        &bench,
        "reduce",
        &["gap.csv"],
        &[
            "--rule",
            "clenshaw-curtis",
            "--edges",
            "exact",
            "--max-missing",
            "3.5",
        ],
    );
    replay(
        &bench,
        "reduce",
        &["gap.csv"],
        &[
            "--conducted-power-dbm",
            "-3.25",
            "--accepted-power-dbm=-4",
            "--snap-deg",
            "0.2",
        ],
    );
    replay(
        &bench,
        "reduce",
        &["gap.csv"],
        &["--figures", "trp,nhprp_30", "--adapter", "delimited"],
    );
    replay(
        &bench,
        "reduce",
        &["received.csv"],
        &["--range", "loss.csv"],
    );
    replay(
        &bench,
        "reduce",
        &["received.csv"],
        &[
            "--range",
            "loss.csv",
            "--floor",
            "theta=-80.25,phi=-81",
            "--detector",
            "log",
            "--signal",
            "noise-like",
            "--averages",
            "12",
            "--floor-averages",
            "100",
            "--noise-limit",
            "0.5",
            "--sweep-minutes",
            "7",
            "--device-size-mm",
            "120",
        ],
    );
    replay(
        &bench,
        "reduce",
        &["received.csv"],
        &[
            "--range",
            "loss.csv",
            "--floor",
            "received.csv",
            "--detector",
            "rms",
        ],
    );
    replay(
        &bench,
        "reduce",
        &["received.csv", "received.csv"],
        &["--range", "theta=40.125,phi=39"],
    );
    replay(
        &bench,
        "reduce",
        &["received.csv"],
        &[
            "--range",
            "loss.csv",
            "--figures",
            "trp, nhprp_45,total_efficiency",
            "--conducted-power-dbm",
            "-3",
            "--edges",
            "half",
        ],
    );
    replay(
        &bench,
        "reduce",
        &["semicolon.csv"],
        &["--separator", "semicolon", "--decimal", "comma"],
    );
    replay(
        &bench,
        "reduce",
        &[],
        &[
            "--run",
            "gauge=v.csv@theta,v.csv@phi",
            "--frequency-mhz",
            "868.30",
        ],
    );
    replay(
        &bench,
        "reduce",
        &[],
        &[
            "--run",
            "gauge=v.csv@theta@868.3",
            "--run",
            "gauge=v.csv@868.3@phi",
            "--run",
            "x=gap.csv",
        ],
    );
}

#[test]
fn compare_can_be_replayed() {
    let bench = Bench::new();
    bench.write("a.csv", &Pattern::default().csv());
    bench.write(
        "b.csv",
        &Pattern {
            step: 10,
            offset_db: -3.0,
            ..Pattern::default()
        }
        .csv(),
    );
    replay(
        &bench,
        "compare",
        &["a.csv", "b.csv"],
        &["--path-loss-exponent", "2.75"],
    );
    replay(
        &bench,
        "compare",
        &["a.csv"],
        &["--run", "again=b.csv", "--rule", "sine"],
    );
    let received = Pattern {
        quantity: "received",
        offset_db: -40.0,
        ..Pattern::default()
    };
    bench.write("theta.csv", &received.single_csv("theta"));
    bench.write("phi.csv", &received.single_csv("phi"));
    bench.write("received.csv", &received.csv());
    bench.write(
        "loss.csv",
        "frequency_mhz,loss_theta_db,loss_phi_db\n860,39,39.5\n880,41,41\n",
    );
    replay(
        &bench,
        "compare",
        &["received.csv"],
        &[
            "--run",
            "two=theta.csv,phi.csv",
            "--range",
            "loss.csv",
            "--figures",
            "trp,total_efficiency,trp",
            "--conducted-power-dbm",
            "-0.5",
            "--fill",
            "none",
        ],
    );
}
