//! Compiles and runs C programs against the libraries that cargo built beside this test.
#![cfg(unix)]
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod support;

use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use support::{STRICT, crate_dir, exists, library_dir, scratch, shared_library, text};

/// Compiles a program of `tests/c` against the shared library.
fn compile(source: &str, compiler: &str, flags: &[&str], name: &str) -> PathBuf {
    let program = scratch(name);
    build(
        compiler,
        &[flags, &["-lm", "-lpthread"]].concat(),
        source,
        &program,
    );
    program
}

fn build(compiler: &str, flags: &[&str], source: &str, output: &Path) {
    shared_library();
    let (libraries, flags): (Vec<&str>, Vec<&str>) =
        flags.iter().copied().partition(|f| f.starts_with("-l"));
    let built = Command::new(compiler)
        .args(flags)
        .args(
            STRICT
                .iter()
                .filter(|f| !compiler.contains("++") || **f != "-Wstrict-prototypes"),
        )
        .arg("-I")
        .arg(crate_dir().join("include"))
        .arg(crate_dir().join("tests/c").join(source))
        .arg("-L")
        .arg(library_dir())
        .arg("-lspheresum")
        .arg(format!("-Wl,-rpath,{}", library_dir().display()))
        .args(libraries)
        .arg("-o")
        .arg(output)
        .output()
        .unwrap();
    assert!(built.status.success(), "{compiler}: {}", text(&built));
}

/// A folder of its own for a program, with the plug-ins of `tests/c/plugin.c`.
fn folder(name: &str) -> PathBuf {
    let folder = scratch(name);
    std::fs::create_dir_all(&folder).unwrap();
    for kind in [
        "GOOD",
        "NOTHING",
        "NO_TABLE",
        "OTHER_VERSION",
        "NO_ADAPTERS",
        "TWICE",
        "TWO",
    ] {
        let define = format!("-D{kind}");
        let path = folder.join(format!("{}.so", kind.to_lowercase()));
        build(
            "cc",
            &["-std=c99", "-shared", "-fPIC", &define],
            "plugin.c",
            &path,
        );
    }
    folder
}

/// Runs a program, and checks that the library kept quiet.
fn run(program: &Path) -> Output {
    run_in(program, None)
}

/// Runs a program with a folder.
fn run_in(program: &Path, folder: Option<&Path>) -> Output {
    let output = support::program(program).args(folder).output().unwrap();
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
    let output = run(&compile("trp.c", "cc", &["-std=c99"], "trp_c99"));
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
    let output = run(&compile(
        "trp.c",
        "c++",
        &["-std=c++17", "-x", "c++"],
        "trp_cpp17",
    ));
    assert!(output.status.success(), "{}", text(&output));
    assert_eq!(score(&output).1, 0, "{}", text(&output));
}

#[test]
fn a_wrong_expectation_fails() {
    let output = run(&compile(
        "trp.c",
        "cc",
        &["-std=c99", "-DBREAK"],
        "trp_break",
    ));
    assert_eq!(output.status.code(), Some(1), "{}", text(&output));
    assert_eq!(score(&output).1, 1, "{}", text(&output));
}

/// Runs one of the longer programs as C99, as C++17, and with a wrong expectation.
fn passes(program: &str, least: u32, break_status: Option<i32>) {
    let source = format!("{program}.c");
    let folder = folder(&format!("{program}_folder"));
    let c99 = compile(&source, "cc", &["-std=c99"], &format!("{program}_c99"));
    let output = run_in(&c99, Some(&folder));
    assert!(output.status.success(), "{}", text(&output));
    let (passed, failed) = score(&output);
    assert!(passed >= least && failed == 0, "{}", text(&output));
    if let Some(status) = break_status {
        let flags = ["-std=c99", "-DBREAK"];
        let wrong = compile(&source, "cc", &flags, &format!("{program}_break"));
        let output = run_in(&wrong, Some(&folder));
        assert_eq!(output.status.code(), Some(status), "{}", text(&output));
        assert_eq!(score(&output).1, 1, "{}", text(&output));
    }
    if !exists("c++") {
        println!("skipped: there is no C++ compiler on this machine");
        return;
    }
    let flags = ["-std=c++17", "-x", "c++"];
    let cpp = compile(&source, "c++", &flags, &format!("{program}_cpp17"));
    let output = run_in(&cpp, Some(&folder));
    assert!(output.status.success(), "{}", text(&output));
    assert_eq!(score(&output), (passed, 0), "{}", text(&output));
}

#[test]
fn the_walk_through_the_header_passes() {
    passes("whole", 390, Some(1));
}

#[test]
fn wrong_calls_are_refused() {
    passes("misuse", 570, None);
}

#[test]
fn a_running_reduction_runs_and_calls_are_stopped() {
    passes("running", 700, None);
}

#[test]
fn threads_share_what_is_const() {
    passes("threads", 10, None);
}

/// Names of `names` that no C program calls.
fn uncalled(names: &[String], programs: &str) -> Vec<String> {
    names
        .iter()
        .filter(|n| !programs.contains(&format!("{n}(")))
        .cloned()
        .collect()
}

#[test]
fn every_function_of_the_header_is_called() {
    let read = |name| std::fs::read_to_string(crate_dir().join("tests/c").join(name)).unwrap();
    let names = support::prototypes(&support::header());
    assert!(names.len() > 100, "{names:?}");
    // In its normal use; a wrong call alone does not count. The adapter of tiny.h belongs to the walk.
    let walk = read("whole.c") + &read("running.c") + &read("tiny.h") + &read("check.h");
    assert_eq!(uncalled(&names, &walk), Vec::<String>::new());
    let wrong = read("misuse.c") + &read("running.c") + &read("trp.c");
    let never_wrong = [
        "spheresum_version",
        "spheresum_version_number",
        "spheresum_option_count",
        "spheresum_table_count",
    ];
    let missing = uncalled(&names, &wrong);
    let missing: Vec<&String> = missing
        .iter()
        .filter(|n| !never_wrong.contains(&n.as_str()))
        .collect();
    assert!(missing.is_empty(), "no wrong call of {missing:?}");
    let new = ["spheresum_new_one".to_string()];
    assert_eq!(uncalled(&new, &walk), new, "a new function is noticed");
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
