//! Compiles and runs C programs against the libraries that cargo built beside this test.
#![cfg(unix)]
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod support;

use std::process::{Command, Output};
use support::{STRICT, crate_dir, exists, library_dir, scratch, shared_library, text};

/// Compiles `tests/c/trp.c` against the shared library.
fn compile(compiler: &str, flags: &[&str], name: &str) -> std::path::PathBuf {
    shared_library();
    let program = scratch(name);
    let built = Command::new(compiler)
        .args(flags)
        .args(
            STRICT
                .iter()
                .filter(|f| !compiler.contains("++") || **f != "-Wstrict-prototypes"),
        )
        .arg("-I")
        .arg(crate_dir().join("include"))
        .arg(crate_dir().join("tests/c/trp.c"))
        .arg("-L")
        .arg(library_dir())
        .arg("-lspheresum")
        .arg(format!("-Wl,-rpath,{}", library_dir().display()))
        .arg("-lm")
        .arg("-o")
        .arg(&program)
        .output()
        .unwrap();
    assert!(built.status.success(), "{compiler}: {}", text(&built));
    program
}

/// Runs a program, and checks that the library kept quiet.
fn run(program: &std::path::Path) -> Output {
    let output = support::program(program).output().unwrap();
    assert!(output.stderr.is_empty(), "{}", text(&output));
    output
}

/// Number of passed and failed checks of the last line, "N passed, N failed".
fn score(output: &Output) -> (u32, u32) {
    let all = text(output);
    let words: Vec<&str> = all.lines().last().unwrap_or_default().split(' ').collect();
    let ["passed,", "failed"] = [words[1], words[3]] else {
        panic!("{all}")
    };
    (words[0].parse().unwrap(), words[2].parse().unwrap())
}

#[test]
fn the_c99_program_passes() {
    let output = run(&compile("cc", &["-std=c99"], "trp_c99"));
    assert!(output.status.success(), "{}", text(&output));
    let (passed, failed) = score(&output);
    assert!(passed > 60 && failed == 0, "{}", text(&output));
}

#[test]
fn the_cpp17_program_passes() {
    if !exists("c++") {
        println!("skipped: there is no C++ compiler on this machine");
        return;
    }
    let output = run(&compile("c++", &["-std=c++17", "-x", "c++"], "trp_cpp17"));
    assert!(output.status.success(), "{}", text(&output));
    assert_eq!(score(&output).1, 0, "{}", text(&output));
}

#[test]
fn a_wrong_expectation_fails() {
    let output = run(&compile("cc", &["-std=c99", "-DBREAK"], "trp_break"));
    assert_eq!(output.status.code(), Some(1), "{}", text(&output));
    assert_eq!(score(&output).1, 1, "{}", text(&output));
}

#[test]
fn the_build_lines_and_the_example_of_the_readme_work() {
    let readme = std::fs::read_to_string(crate_dir().join("README.md")).unwrap();
    let block = |fence: &str| {
        let (_, after) = readme.split_once(fence).expect(fence);
        after.split_once("```").expect("it ends").0.to_string()
    };
    let dir = scratch("readme");
    std::fs::create_dir_all(&dir).unwrap();
    std::fs::write(dir.join("isotropic.c"), block("```c\n")).unwrap();
    let expected = block("```text\n");
    let lines = block("```sh\n");
    let compiles: Vec<&str> = lines.lines().filter(|l| l.starts_with("cc ")).collect();
    assert_eq!(
        compiles.len(),
        2,
        "one line for the shared library and one for the static"
    );
    for line in compiles {
        if line.contains(".a ") && !cfg!(target_os = "linux") {
            println!("skipped: the static line names the system libraries of Linux");
            continue;
        }
        let line = line
            .replace(
                "capi/include",
                crate_dir().join("include").to_str().unwrap(),
            )
            .replace("$PWD/target/release", library_dir().to_str().unwrap())
            .replace("target/release", library_dir().to_str().unwrap());
        let built = Command::new("sh")
            .args(["-c", &line])
            .current_dir(&dir)
            .output()
            .unwrap();
        assert!(built.status.success(), "{line}\n{}", text(&built));
        let output = support::program(&dir.join("isotropic")).output().unwrap();
        assert!(output.status.success(), "{}", text(&output));
        assert_eq!(text(&output), expected, "{line}");
    }
}
