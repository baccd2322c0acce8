//! The C interface: C programs, linked to the shared library. Readings go in as arrays, and files by their paths.

use super::levels;
use serde_json::Value as Json;
use spheresum_core::figure::FigureState;
use spheresum_core::model::FieldScale;
use spheresum_core::rule::Rule;
use spheresum_core::table::{Amount, Answer, Case, Input, Outcome, Row, Symbol};
use spheresum_core::{Group, Mark, Polarisation, Quantity, Value};
use std::fmt::Write as _;
use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};
use std::sync::LazyLock;

/// The program that is given readings.
static OF_ROWS: LazyLock<PathBuf> = LazyLock::new(|| compiled("reduce_of_rows"));
/// The program that is given files.
static OF_FILES: LazyLock<PathBuf> = LazyLock::new(|| compiled("documents"));

/// Runs a program with the library that it was linked to: cargo's own path to libraries would find an older one first.
fn program(path: &Path) -> Command {
    let mut command = Command::new(path);
    command.env_remove("LD_LIBRARY_PATH");
    command
}

fn compiled(name: &str) -> PathBuf {
    let here = Path::new(env!("CARGO_MANIFEST_DIR"));
    let test = std::env::current_exe().expect("a test has a path");
    let libraries = test.parent().expect("target/PROFILE/deps");
    let program = Path::new(env!("CARGO_TARGET_TMPDIR"))
        .join(format!("{name}{}", std::env::consts::EXE_SUFFIX));
    let built = Command::new(std::env::var_os("CC").unwrap_or_else(|| "cc".into()))
        .args([
            "-std=c99",
            "-Wall",
            "-Wextra",
            "-Wpedantic",
            "-Werror",
            "-I",
        ])
        .arg(here.join("../capi/include"))
        .arg(here.join("checks/c").join(format!("{name}.c")))
        .arg("-L")
        .arg(libraries)
        .arg("-lspheresum")
        .arg(format!("-Wl,-rpath,{}", libraries.display()))
        .arg("-o")
        .arg(&program)
        .output()
        .expect("a C compiler starts");
    assert!(
        built.status.success(),
        "{}",
        String::from_utf8_lossy(&built.stderr)
    );
    program
}

/// The program that prints ring weights.
static OF_RULES: LazyLock<PathBuf> = LazyLock::new(|| compiled("weights"));

/// True for all but the amplitude of a level, which no call gives.
pub fn has(case: &Case, row: &Row) -> bool {
    matches!(
        case.input,
        Input::Pattern(_) | Input::Sphere(_) | Input::Weights { .. }
    ) || levels::has(case, row)
}

/// Runs a case.
pub fn run(case: &Case) -> Outcome {
    match &case.input {
        Input::Levels(levels) => {
            let asking = levels::asking(levels).unwrap();
            let options = ["rule=clenshaw-curtis".to_string()];
            of_files("reduce", &[asking.file], &options, |json| {
                let figures = json["runs"][0]["channels"][0]["figures"].as_array();
                let all = figures.unwrap();
                let figure = all.iter().find(|f| f["name"] == asking.figure).unwrap();
                let unit = Symbol::of(figure["unit"].as_str().unwrap()).unwrap();
                vec![Answer {
                    name: asking.name.to_string(),
                    state: spheresum_core::table::state_of(figure["state"].as_str().unwrap())
                        .unwrap(),
                    amount: figure["value"].as_f64().map(|v| Amount::new(v, unit)),
                }]
            })
        }
        Input::Difference { d_db, exponent } => {
            let files = [0.0, *d_db].map(|dbm| levels::isotropic(dbm, "dbm"));
            let mut options = vec!["rule=clenshaw-curtis".to_string()];
            options.extend(exponent.map(|n| format!("path-loss-exponent={n}")));
            of_files("compare", &files, &options, |json| {
                let figures = json["tests"][0]["channels"][0]["figures"].as_array();
                let trp = figures.unwrap().iter().find(|f| f["name"] == "trp");
                levels::of_difference(trp.unwrap())
            })
        }
        Input::Weights { rule, intervals } => of_rule(*rule, *intervals),
        _ => of_rows(case),
    }
}

/// Ring weights, and their mean of one.
fn of_rule(rule: Rule, intervals: usize) -> Outcome {
    let number = match rule {
        Rule::Sine => "1",
        Rule::ClenshawCurtis => "2",
        other => panic!("no number for {other}"),
    };
    let mut command = program(&OF_RULES);
    let output = command.args([number, &intervals.to_string()]).output();
    let (status, message, lines) = said(&output.unwrap());
    if status != 0 {
        return failed(status, &message);
    }
    let weights: Vec<f64> = lines.lines().map(|l| l.parse().unwrap()).collect();
    let ring = |(i, w): (usize, &f64)| Answer::value(format!("ring-weight {i}"), *w, Symbol::One);
    let mut answers: Vec<Answer> = weights.iter().enumerate().map(ring).collect();
    let mean = weights.iter().sum::<f64>() / 2.0;
    answers.push(Answer::value("mean-of-one", mean, Symbol::One));
    Outcome::Answers(answers)
}

/// The group of a status.
fn failed(status: i32, message: &str) -> Outcome {
    let family = usize::try_from(status / 1000).unwrap();
    let group = family
        .checked_sub(1)
        .and_then(|g| Group::ALL.get(g).copied());
    Outcome::Failed {
        groups: group.into_iter().collect(),
        message: message.to_string(),
    }
}

/// Status and message of the first line, and what follows.
fn said(output: &Output) -> (i32, String, String) {
    assert!(
        output.status.success(),
        "the program fell: {:?}",
        output.status
    );
    let text = String::from_utf8(output.stdout.clone()).unwrap();
    let (first, rest) = text.split_once('\n').unwrap();
    let (status, message) = first.split_once('\t').unwrap();
    (
        status.parse().unwrap(),
        message.to_string(),
        rest.to_string(),
    )
}

fn of_files(
    what: &str,
    files: &[String],
    options: &[String],
    answers: impl FnOnce(&Json) -> Vec<Answer>,
) -> Outcome {
    let folder = tempfile::tempdir().unwrap();
    let mut command = program(&OF_FILES);
    command.arg(what);
    for (n, text) in files.iter().enumerate() {
        let file = folder.path().join(format!("readings-{n}.csv"));
        std::fs::write(&file, text).unwrap();
        command.arg(file);
    }
    let output = command.args(options).output().unwrap();
    let (status, message, document) = said(&output);
    if status != 0 {
        return failed(status, &message);
    }
    Outcome::Answers(answers(&serde_json::from_str(&document).unwrap()))
}

fn of_rows(case: &Case) -> Outcome {
    let readings = case.readings().unwrap().unwrap();
    let mut text = format!(
        "{}\n{}\n",
        number_of(readings.quantity()),
        case.command_options.len()
    );
    for (name, value) in &case.command_options {
        writeln!(text, "{name}\t{value}").unwrap();
    }
    writeln!(text, "{}", readings.len()).unwrap();
    for one in readings.iter() {
        let polarisation = match one.polarisation {
            Polarisation::Theta => 0,
            Polarisation::Phi => 1,
            Polarisation::Total => 2,
        };
        let (re, im) = match one.value {
            // More than any level: lost.
            Value::Power(p) if p.is_infinite() => (1000.0, 0.0),
            Value::Power(p) => (p, 0.0),
            Value::Field(e) => (e.re, e.im),
        };
        let state = match one.mark {
            Mark::Exact => 0,
            Mark::AtMost => 1,
            Mark::AtLeast => 2,
        };
        let hz = readings.frequencies()[one.frequency].map_or(0.0, |f| f.hz());
        writeln!(
            text,
            "{polarisation} {hz:e} {:e} {:e} {re:e} {im:e} {state}",
            one.theta_deg, one.phi_deg
        )
        .unwrap();
    }
    let mut child = program(&OF_ROWS)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    // A program that refuses stops reading.
    let _ = child.stdin.take().unwrap().write_all(text.as_bytes());
    let (status, message, lines) = said(&child.wait_with_output().unwrap());
    if status != 0 {
        return failed(status, &message);
    }
    Outcome::Answers(lines.lines().map(answer).collect())
}

/// Name, state, whether the value is known, value, unit.
fn answer(line: &str) -> Answer {
    let cells: Vec<&str> = line.split('\t').collect();
    let [name, state, known, value, unit] = cells[..] else {
        panic!("{line}")
    };
    let state = match state {
        "0" => FigureState::Value,
        "1" => FigureState::Zero,
        "2" => FigureState::NotAboveZero,
        "3" => FigureState::Refused,
        other => panic!("state {other}"),
    };
    let unit = Symbol::of(unit).unwrap();
    Answer {
        name: name.to_string(),
        state,
        amount: (known == "1").then(|| Amount::new(value.parse().unwrap(), unit)),
    }
}

fn number_of(quantity: Quantity) -> i32 {
    match quantity {
        Quantity::Eirp => 1,
        Quantity::Eis => 2,
        Quantity::Gain => 3,
        Quantity::ReceivedPower => 4,
        Quantity::InstrumentLevel => 5,
        Quantity::Field(FieldScale::SqrtWatt) => 6,
        Quantity::Field(FieldScale::Volt) => 7,
        Quantity::Field(FieldScale::Relative) => 8,
        other => panic!("no number for {other}"),
    }
}
