//! The command: files in, JSON out.

use super::levels;
use serde_json::Value;
use spheresum_core::Group;
use spheresum_core::table::{Amount, Answer, Case, Input, Outcome, Symbol, state_of};
use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::LazyLock;
use std::time::SystemTime;

/// The program of this build. Cargo names it for tests of its own package only; it lies beside the folder of this test.
static PROGRAM: LazyLock<Result<PathBuf, String>> = LazyLock::new(|| {
    let test = std::env::current_exe().expect("a test has a path");
    let folder = test
        .parent()
        .and_then(Path::parent)
        .expect("target/PROFILE/deps/TEST");
    let program = folder.join(format!("spheresum{}", std::env::consts::EXE_SUFFIX));
    if modified(&program) < newest_source() {
        build(folder)?;
    }
    if program.is_file() {
        Ok(program)
    } else {
        Err(format!("{} was not built", program.display()))
    }
});

/// When a file was written; the beginning of time where there is none.
fn modified(path: &Path) -> SystemTime {
    std::fs::metadata(path)
        .and_then(|m| m.modified())
        .unwrap_or(SystemTime::UNIX_EPOCH)
}

/// A stale program would test yesterday's code.
fn newest_source() -> SystemTime {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("..");
    let mut newest = modified(&root.join("Cargo.lock"));
    let mut folders: Vec<PathBuf> = ["core", "adapters", "cli"].map(|f| root.join(f)).to_vec();
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(&folder)
            .expect("a folder of the workspace")
            .flatten()
        {
            let path = entry.path();
            if path.is_dir() && !path.ends_with("target") && !path.ends_with("tests") {
                folders.push(path);
            } else if path
                .extension()
                .is_some_and(|e| e == "rs" || e == "toml" || e == "tbl" || e == "csv")
            {
                newest = newest.max(modified(&path));
            }
        }
    }
    newest
}

fn build(folder: &Path) -> Result<(), String> {
    let profile = match folder.file_name().and_then(|n| n.to_str()) {
        Some("debug") | None => "dev",
        Some(name) => name,
    };
    let done = Command::new(std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into()))
        .args([
            "build",
            "--quiet",
            "--package",
            "spheresum",
            "--profile",
            profile,
            "--target-dir",
        ])
        .arg(folder.parent().expect("target/PROFILE"))
        .current_dir(concat!(env!("CARGO_MANIFEST_DIR"), "/.."))
        .status()
        .expect("cargo starts");
    if done.success() {
        Ok(())
    } else {
        Err("the command does not build".to_string())
    }
}

/// Runs a case.
pub fn run(case: &Case) -> Outcome {
    match &case.input {
        Input::Levels(levels) => of_levels(levels),
        Input::Difference { d_db, exponent } => of_difference(*d_db, *exponent),
        _ => {
            let options: Vec<String> = case
                .command_options
                .iter()
                .map(|(name, value)| format!("--{name}={value}"))
                .collect();
            match asked("reduce", &[case.csv().unwrap()], &options) {
                Ok(json) => {
                    let bias = json["runs"][0]["channels"][0]["noise"]["bias_db"].as_f64();
                    let bias = bias.map(|b| Answer::value("noise-bias", b, Symbol::Db));
                    Outcome::Answers(figures(&json).iter().map(answer).chain(bias).collect())
                }
                Err(failed) => failed,
            }
        }
    }
}

/// The answer of the sphere that stands for some levels.
fn of_levels(levels: &[Amount]) -> Outcome {
    let asking = levels::asking(levels).unwrap();
    let options = ["--rule=clenshaw-curtis".to_string()];
    match asked("reduce", &[asking.file], &options) {
        Ok(json) => {
            let all = figures(&json);
            let figure = all.iter().find(|f| f["name"] == asking.figure).unwrap();
            let name = asking.name.to_string();
            Outcome::Answers(vec![Answer {
                name,
                ..answer(figure)
            }])
        }
        Err(failed) => failed,
    }
}

/// What a comparison says of two isotropic sources.
fn of_difference(d_db: f64, exponent: Option<f64>) -> Outcome {
    let files = [0.0, d_db].map(|dbm| levels::isotropic(dbm, "dbm"));
    let mut options = vec!["--rule=clenshaw-curtis".to_string()];
    options.extend(exponent.map(|n| format!("--path-loss-exponent={n}")));
    match asked("compare", &files, &options) {
        Ok(json) => {
            assert_eq!(json["schema"], "spheresum.comparison/1");
            let figures = json["tests"][0]["channels"][0]["figures"]
                .as_array()
                .unwrap();
            let trp = figures.iter().find(|f| f["name"] == "trp").unwrap();
            Outcome::Answers(levels::of_difference(trp))
        }
        Err(failed) => failed,
    }
}

/// Writes the files and gives the JSON that the command makes of them.
fn asked(subcommand: &str, files: &[String], options: &[String]) -> Result<Value, Outcome> {
    let program = match &*PROGRAM {
        Ok(program) => program,
        Err(message) => {
            return Err(Outcome::Failed {
                groups: Vec::new(),
                message: message.clone(),
            });
        }
    };
    let folder = tempfile::tempdir().unwrap();
    let mut command = Command::new(program);
    command.arg(subcommand);
    for (n, text) in files.iter().enumerate() {
        let file = folder.path().join(format!("readings-{n}.csv"));
        std::fs::write(&file, text).unwrap();
        command.arg(file);
    }
    let output = command.args(options).arg("--json").output().unwrap();
    let json = || Ok(serde_json::from_slice(&output.stdout).unwrap());
    let groups = match output.status.code() {
        Some(0) => return json(),
        Some(2) => vec![Group::Usage],
        Some(3) => vec![
            Group::Input,
            Group::Ambiguous,
            Group::Unsupported,
            Group::Limit,
            Group::Io,
        ],
        // A figure that decides was refused: the others are still given.
        Some(4) if !output.stdout.is_empty() => return json(),
        Some(4) => vec![Group::Domain],
        _ => Vec::new(),
    };
    Err(Outcome::Failed {
        groups,
        message: String::from_utf8_lossy(&output.stderr).into_owned(),
    })
}

/// Figures of the only channel of the only run.
fn figures(document: &Value) -> Vec<Value> {
    assert_eq!(document["schema"], "spheresum.reduction/1");
    let channels = match document["runs"].as_array().unwrap().as_slice() {
        [run] => run["channels"].as_array().unwrap(),
        runs => panic!("{} runs", runs.len()),
    };
    assert_eq!(channels.len(), 1);
    channels[0]["figures"].as_array().unwrap().clone()
}

fn answer(figure: &Value) -> Answer {
    let text = |key: &str| figure[key].as_str().unwrap();
    let unit = Symbol::of(text("unit")).unwrap();
    Answer {
        name: text("name").to_string(),
        state: state_of(text("state")).unwrap(),
        amount: figure["value"]
            .as_f64()
            .map(|value| Amount::new(value, unit)),
    }
}
