//! What the tests of the header, the symbols and the C programs share.
#![allow(dead_code, reason = "each test file uses a part")]

use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

/// Flags that the header and the programs must survive.
pub const STRICT: [&str; 6] = [
    "-Wall",
    "-Wextra",
    "-Wpedantic",
    "-Wstrict-prototypes",
    "-Wconversion",
    "-Werror",
];

/// The folder of this crate.
pub fn crate_dir() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

/// The committed header.
pub fn header() -> String {
    std::fs::read_to_string(crate_dir().join("include/spheresum.h")).expect("the header is there")
}

/// The folder in which cargo built the libraries for this test.
pub fn library_dir() -> PathBuf {
    let test = std::env::current_exe().expect("a test has a path");
    test.parent().expect("it lies in a folder").to_path_buf()
}

/// The shared library.
pub fn shared_library() -> PathBuf {
    let name = format!(
        "{}spheresum{}",
        std::env::consts::DLL_PREFIX,
        std::env::consts::DLL_SUFFIX
    );
    let path = library_dir().join(name);
    assert!(path.is_file(), "{} was not built", path.display());
    path
}

/// True where a program can be started.
pub fn exists(program: &str) -> bool {
    Command::new(program)
        .arg("--version")
        .output()
        .is_ok_and(|o| o.status.success())
}

/// Where a test may put its program.
pub fn scratch(name: &str) -> PathBuf {
    Path::new(env!("CARGO_TARGET_TMPDIR")).join(name)
}

/// A command that runs a program against the library that it was linked to.
///
/// Cargo lets tests look for libraries in `target/<profile>` first, where one of an earlier build may lie.
pub fn program(path: &Path) -> Command {
    let mut command = Command::new(path);
    for variable in [
        "LD_LIBRARY_PATH",
        "DYLD_LIBRARY_PATH",
        "DYLD_FALLBACK_LIBRARY_PATH",
    ] {
        command.env_remove(variable);
    }
    command
}

/// Standard output and standard error of a command, for messages.
pub fn text(output: &Output) -> String {
    let mut all = String::from_utf8_lossy(&output.stdout).into_owned();
    let _ = write!(all, "{}", String::from_utf8_lossy(&output.stderr));
    all
}

/// Names of the functions that a header declares, sorted.
pub fn prototypes(header: &str) -> Vec<String> {
    let code = without_comments(header);
    let mut names: Vec<String> = code
        .match_indices("spheresum_")
        .filter(|(at, _)| !code[..*at].ends_with(|c: char| c.is_alphanumeric() || c == '_'))
        .filter_map(|(at, _)| {
            let name: String = code[at..]
                .chars()
                .take_while(|c| c.is_alphanumeric() || *c == '_')
                .collect();
            code[at + name.len()..]
                .trim_start()
                .starts_with('(')
                .then_some(name)
        })
        .collect();
    names.sort();
    names
}

fn without_comments(header: &str) -> String {
    let mut code = String::new();
    let mut rest = header;
    while let Some((before, comment)) = rest.split_once("/*") {
        code.push_str(before);
        rest = comment.split_once("*/").map_or("", |(_, after)| after);
    }
    code + rest
}
