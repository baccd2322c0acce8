//! Who may depend on whom. `cargo metadata` says who does.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use serde_json::Value;
use std::collections::BTreeSet;
use std::process::Command;

/// True where the first package may name the second, for whatever purpose. Both are of this workspace.
fn may(from: &str, to: &str) -> bool {
    let adapter = |name: &str| name.starts_with("spheresum-adapter-");
    match from {
        "spheresum-core" => false,
        "spheresum-adapters" => to == "spheresum-core" || adapter(to),
        "spheresum" | "spheresum-capi" => matches!(to, "spheresum-core" | "spheresum-adapters"),
        "spheresum-tests" => true,
        "spheresum-fuzz" => to != "spheresum-tests",
        _ if adapter(from) => to == "spheresum-core",
        _ => panic!("{from} is new: say in this test what it may depend on"),
    }
}

/// Packages of the workspace with the names of all their dependencies: ordinary, for tests, for building.
fn packages() -> Vec<(String, BTreeSet<String>)> {
    let output = Command::new(std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into()))
        .args([
            "metadata",
            "--no-deps",
            "--format-version",
            "1",
            "--offline",
        ])
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .output()
        .unwrap();
    assert!(
        output.status.success(),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
    let metadata: Value = serde_json::from_slice(&output.stdout).unwrap();
    let name = |v: &Value| v["name"].as_str().unwrap().to_string();
    let list = |v: &Value| v.as_array().unwrap().clone();
    list(&metadata["packages"])
        .iter()
        .map(|p| (name(p), list(&p["dependencies"]).iter().map(name).collect()))
        .collect()
}

#[test]
fn arrows_run_one_way() {
    let packages = packages();
    let ours: BTreeSet<&String> = packages.iter().map(|p| &p.0).collect();
    assert!(ours.len() >= 7, "{ours:?}");
    let wrong: Vec<String> = packages
        .iter()
        .flat_map(|(from, all)| {
            all.iter()
                .filter(|to| ours.contains(to))
                .map(move |to| (from, to))
        })
        .filter(|(from, to)| !may(from, to))
        .map(|(from, to)| format!("{from} → {to}"))
        .collect();
    assert!(wrong.is_empty(), "{wrong:?}");
}

#[test]
fn core_reads_no_text_formats_and_has_no_parser() {
    let packages = packages();
    let core = &packages.iter().find(|p| p.0 == "spheresum-core").unwrap().1;
    for banned in ["nom", "csv", "clap", "toml"] {
        assert!(!core.contains(banned), "core depends on {banned}");
    }
}

#[test]
fn the_rule_forbids_what_it_should() {
    for (from, to) in [
        ("spheresum-core", "spheresum-adapters"),
        ("spheresum-core", "spheresum-adapter-delimited"),
        (
            "spheresum-adapter-delimited",
            "spheresum-adapter-touchstone",
        ),
        ("spheresum-adapter-delimited", "spheresum-adapters"),
        ("spheresum-adapters", "spheresum"),
        ("spheresum", "spheresum-adapter-delimited"),
        ("spheresum", "spheresum-capi"),
        ("spheresum-capi", "spheresum"),
        ("spheresum-capi", "spheresum-tests"),
        ("spheresum-fuzz", "spheresum-tests"),
    ] {
        assert!(!may(from, to), "{from} → {to}");
    }
    assert!(may("spheresum-tests", "spheresum-fuzz"));
    assert!(may("spheresum", "spheresum-adapters"));
}
