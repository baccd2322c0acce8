//! The shared library exports what the header declares and `exports.txt` lists, nothing more and nothing less.
//! After a change: `SPHERESUM_BLESS=1 cargo test -p spheresum-capi --test symbols`.
#![cfg(target_os = "linux")]
#![allow(clippy::unwrap_used, clippy::expect_used)]

mod support;

use std::process::Command;

/// Names that `nm` lists, sorted.
fn names(listing: &str) -> Vec<String> {
    let mut names: Vec<String> = listing
        .lines()
        .filter_map(|l| l.split_whitespace().last())
        .map(str::to_string)
        .collect();
    names.sort();
    names
}

/// Names that the shared library exports, sorted; none where there is no `nm`.
fn exported() -> Option<Vec<String>> {
    if !support::exists("nm") {
        println!("skipped: there is no nm on this machine");
        return None;
    }
    let output = Command::new("nm")
        .args(["-D", "--defined-only"])
        .arg(support::shared_library())
        .output()
        .unwrap();
    assert!(output.status.success(), "{}", support::text(&output));
    let exported = names(&String::from_utf8(output.stdout).unwrap());
    assert!(!exported.is_empty());
    Some(exported)
}

#[test]
fn exports_are_the_prototypes() {
    if let Some(exported) = exported() {
        assert_eq!(exported, support::prototypes(&support::header()));
    }
}

#[test]
fn exports_are_the_committed_list() {
    let Some(exported) = exported() else { return };
    let path = support::crate_dir().join("exports.txt");
    if std::env::var_os("SPHERESUM_BLESS").is_some_and(|v| v == "1") {
        std::fs::write(&path, exported.join("\n") + "\n").unwrap();
    }
    let committed = std::fs::read_to_string(&path).unwrap_or_default();
    let listed: Vec<&str> = committed.lines().collect();
    assert_eq!(
        exported, listed,
        "left: the library, right: exports.txt; a function that went away breaks callers, see abi/README.md; to accept the change, run\n  \
         SPHERESUM_BLESS=1 cargo test -p spheresum-capi --test symbols"
    );
}

#[test]
fn prototypes_are_found_in_code_and_not_in_comments() {
    let header = "/* spheresum_gone() */ int32_t spheresum_b(const double *a);\nvoid my_spheresum_x(void);\n\
                  const char *spheresum_a (void); /** see spheresum_c() */ typedef struct spheresum_error spheresum_error;";
    assert_eq!(support::prototypes(header), ["spheresum_a", "spheresum_b"]);
}
