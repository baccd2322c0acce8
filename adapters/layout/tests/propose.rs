//! Proposals: what the text shows, a `?` where a person has to say what it means, and nothing that a layout would not take.
#![cfg_attr(test, allow(clippy::unwrap_used, clippy::expect_used, clippy::panic))]

use spheresum_adapter_layout::{Layout, LayoutAdapter, propose};
use spheresum_core::intake::{Adapter, Confidence, Head, ReadOptions, Source};
use spheresum_core::unit::level::w_from_dbm;
use spheresum_core::{Limits, Readings, Value};
use std::path::{Path, PathBuf};

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

fn source(name: &str, text: &str) -> Source {
    Source::from_text(name, text, &Limits::default()).unwrap()
}

fn of(name: &str, text: &str) -> String {
    propose(&source(name, text)).unwrap()
}

fn read(layout: &str, source: &Source) -> Readings {
    let layout = Layout::parse("proposal.toml", layout)
        .unwrap_or_else(|e| panic!("{e}: {:?}\n{layout}", e.advice()));
    let adapter = LayoutAdapter::new(layout);
    let sure = adapter.look(&Head::of(source));
    assert!(sure.confidence >= Confidence::Likely, "{}", sure.reason);
    let intake = adapter.read(source, &Limits::default(), &ReadOptions::default());
    intake
        .unwrap_or_else(|e| panic!("{e}: {:?}", e.advice()))
        .readings
        .unwrap()
}

/// θ, φ, W of all readings.
fn values(readings: &Readings) -> Vec<(f64, f64, f64)> {
    let watts = |v: Value| match v {
        Value::Power(p) => p,
        Value::Field(_) => panic!("a field"),
    };
    readings
        .iter()
        .map(|r| (r.theta_deg, r.phi_deg, watts(r.value)))
        .collect()
}

/// The answers to the `?` of a proposal, in their order.
fn fill(proposal: &str, answers: &[&str]) -> String {
    let mut filled = String::new();
    let mut answers = answers.iter();
    for line in proposal.lines() {
        let comment = line.find("  #").unwrap_or(line.len());
        let (said, remark) = line.split_at(if line.starts_with('#') { 0 } else { comment });
        let said = match said.contains("\"?\"") || said.contains("{?}") {
            true => said.replace('?', answers.next().expect("an answer")),
            false => said.to_string(),
        };
        filled.push_str(&format!("{said}{remark}\n"));
    }
    assert_eq!(answers.next(), None, "all answers are needed");
    filled
}

#[test]
fn an_easy_file_needs_no_word() {
    let text = "Sweep of the gauge, channel at 868.3 MHz\nserial 12345\n\nTheta [deg] | Phi [deg] | EIRP theta [dBm] | EIRP phi [dBm]\n\
                0 | 0 | -3.5 | -4\n0 | 90 | -2 | -30.25\n90 | 0 | 1 | 2\n";
    let proposal = of("easy sweep.txt", text);
    for part in [
        "id = \"easy-sweep-layout\"",
        "separator = \"pipe\"",
        "decimal = \"point\"",
        "skip_lines = 2  # guess",
        "is = \"eirp_phi_dbm\"",
        "frequency_mhz = \"868.3\"  # guess",
        "first_line_contains = \"Sweep of the gauge, channel at\"",
        "contains = \"Theta [deg] | Phi [deg]",
    ] {
        assert!(proposal.contains(part), "{part}\n{proposal}");
    }
    assert!(
        !proposal
            .lines()
            .any(|l| l.contains("\"?\"") && !l.starts_with('#'))
    );
    let readings = read(&proposal, &source("easy sweep.txt", text));
    let dbm = [-3.5, -4.0, -2.0, -30.25, 1.0, 2.0];
    let got: Vec<f64> = values(&readings).iter().map(|v| v.2).collect();
    assert_eq!(got, dbm.map(w_from_dbm));
    assert_eq!(readings.frequencies()[0].unwrap().to_string(), "868.3 MHz");
}

#[test]
fn decimal_commas_footers_and_words_are_seen() {
    let text = "Phi;Theta;Pol;EIRP [dBm];Note\n0,0;0,0;V;-3,5;ok\n90,5;0,0;H;UND;ok\n180,0;90,0;V;1,0;ok\nend of file\n";
    let proposal = of("x.csv", text);
    for part in [
        "separator = \"semicolon\"",
        "decimal = \"comma\"",
        "stop_at = \"end of file\"  # guess",
        "is = \"phi_deg\"  # degrees, by the size",
        "is = \"pol\"",
        "is = \"eirp_dbm\"",
        "is = \"ignore\"  # guess: its texts are no numbers",
        "\"V\" = \"?\"",
        "# missing = [\"UND\"]",
    ] {
        assert!(proposal.contains(part), "{part}\n{proposal}");
    }
    let filled = fill(&proposal, &["phi", "theta"]) + "\n[tokens]\nmissing = [\"UND\"]\n";
    let got = values(&read(&filled, &source("x.csv", text)));
    assert_eq!(
        got,
        [(0.0, 0.0, w_from_dbm(-3.5)), (90.0, 180.0, w_from_dbm(1.0))]
    );
}

/// The examples' files, their proposals filled in by a person who knows the range.
#[test]
fn examples_can_be_filled_in() {
    let folder = root().join("examples");
    let reference = {
        let layout = std::fs::read_to_string(folder.join("numbers.toml")).unwrap();
        let bytes = std::fs::read(folder.join("numbers.txt")).unwrap();
        let source = Source::from_bytes("numbers.txt", bytes, &Limits::default()).unwrap();
        sorted(values(&read(&layout, &source)))
    };
    for (name, answers) in [
        (
            "words",
            &["theta_deg", "phi_deg", "eirp_dbm", "phi", "theta"][..],
        ),
        (
            "numbers",
            &[
                "phi_deg",
                "theta_deg",
                "eirp_theta_dbm",
                "eirp_phi_dbm",
                "ignore",
            ],
        ),
        (
            "blocks",
            &["theta_deg", "phi_deg", "eirp_dbm", "phi", "theta"],
        ),
        (
            "cuts",
            &[
                "clockwise_deg",
                "elevation_deg",
                "eirp_theta_dbm",
                "eirp_phi_dbm",
            ],
        ),
    ] {
        let file = format!("{name}.txt");
        let bytes = std::fs::read(folder.join(&file)).unwrap();
        let source = Source::from_bytes(&file, bytes, &Limits::default()).unwrap();
        let proposal = propose(&source).unwrap();
        let error = Layout::parse("p.toml", &proposal).unwrap_err();
        assert!(error.message().contains("has to be filled in"), "{error}");
        let got = sorted(values(&read(&fill(&proposal, answers), &source)));
        assert_eq!(got, reference, "{name}");
    }
}

fn sorted(mut values: Vec<(f64, f64, f64)>) -> Vec<(f64, f64, f64)> {
    for value in &mut values {
        value.1 = (value.1 + 360.0) % 360.0;
    }
    values.sort_by(|a, b| a.partial_cmp(b).unwrap());
    values
}

fn files(folder: &Path, found: &mut Vec<PathBuf>) {
    let Ok(entries) = std::fs::read_dir(folder) else {
        return;
    };
    let mut paths: Vec<PathBuf> = entries.map(|e| e.unwrap().path()).collect();
    paths.sort();
    for path in paths {
        if path.is_dir() {
            files(&path, found);
        } else {
            found.push(path);
        }
    }
}

#[test]
fn every_proposal_is_a_layout_but_for_its_gaps() {
    let mut paths = Vec::new();
    files(&root().join("../../tests/data"), &mut paths);
    files(&root().join("examples"), &mut paths);
    let (mut whole, mut gaps) = (0, 0);
    for path in paths {
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        let bytes = std::fs::read(&path).unwrap();
        let Ok(source) = Source::from_bytes(&name, bytes, &Limits::default()) else {
            continue;
        };
        let Some(proposal) = propose(&source) else {
            continue;
        };
        assert_eq!(propose(&source).as_ref(), Some(&proposal), "{name} twice");
        match Layout::parse("p.toml", &proposal) {
            Ok(_) => whole += 1,
            Err(error) => {
                assert!(
                    error.message().contains("has to be filled in"),
                    "{}: {error}\n{proposal}",
                    path.display()
                );
                gaps += 1;
            }
        }
    }
    assert!(whole > 10 && gaps > 10, "{whole} {gaps}");
}

#[test]
fn prose_gets_none() {
    for text in [
        "Dear all,\nthe sweep went well.\n",
        "a,b\nc,d\n",
        "# only 1 2 3\n",
    ] {
        assert_eq!(propose(&source("t", text)), None, "{text}");
    }
}

#[test]
fn a_long_file_is_cut_at_a_line() {
    let mut text = String::from("theta_deg;phi_deg;eirp_theta_dbm\n");
    for n in 0..20_000 {
        text.push_str(&format!("{};{};-1.5\n", n % 180, n % 360));
    }
    let proposal = of("long.txt", &text);
    assert!(!proposal.contains("stop_at"), "{proposal}");
    assert_eq!(read(&proposal, &source("long.txt", &text)).len(), 20_000);
}
