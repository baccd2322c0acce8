//! The command: a file in, JSON out.

use serde_json::Value;
use spheresum_core::Group;
use spheresum_core::table::{Amount, Answer, Case, Outcome, Symbol, state_of};
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

/// Writes the readings to a file and reduces it.
pub fn run(case: &Case) -> Outcome {
    let program = match &*PROGRAM {
        Ok(program) => program,
        Err(message) => {
            return Outcome::Failed {
                groups: Vec::new(),
                message: message.clone(),
            };
        }
    };
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("readings.csv");
    std::fs::write(&file, case.csv().unwrap()).unwrap();
    let mut command = Command::new(program);
    command.arg("reduce").arg(&file).arg("--json");
    for (name, value) in &case.command_options {
        command.arg(format!("--{name}={value}"));
    }
    let output = command.output().unwrap();
    let message = String::from_utf8_lossy(&output.stderr).into_owned();
    let groups = match output.status.code() {
        Some(0) => return answers(&output.stdout),
        Some(2) => vec![Group::Usage],
        Some(3) => vec![
            Group::Input,
            Group::Ambiguous,
            Group::Unsupported,
            Group::Limit,
            Group::Io,
        ],
        // A figure that decides was refused: the others are still given.
        Some(4) if !output.stdout.is_empty() => return answers(&output.stdout),
        Some(4) => vec![Group::Domain],
        _ => Vec::new(),
    };
    Outcome::Failed { groups, message }
}

/// Figures of the only channel of the only run.
fn answers(json: &[u8]) -> Outcome {
    let document: Value = serde_json::from_slice(json).unwrap();
    assert_eq!(document["schema"], "spheresum.reduction/1");
    let channels = match document["runs"].as_array().unwrap().as_slice() {
        [run] => run["channels"].as_array().unwrap(),
        runs => panic!("{} runs", runs.len()),
    };
    assert_eq!(channels.len(), 1);
    let figures = channels[0]["figures"].as_array().unwrap();
    Outcome::Answers(figures.iter().map(answer).collect())
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
