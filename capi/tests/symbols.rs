//! The shared library exports what the header declares, nothing more and nothing less.
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

#[test]
fn exports_are_the_prototypes() {
    if !support::exists("nm") {
        println!("skipped: there is no nm on this machine");
        return;
    }
    let output = Command::new("nm")
        .args(["-D", "--defined-only"])
        .arg(support::shared_library())
        .output()
        .unwrap();
    assert!(output.status.success(), "{}", support::text(&output));
    let exported = names(&String::from_utf8(output.stdout).unwrap());
    assert!(!exported.is_empty());
    assert_eq!(exported, support::prototypes(&support::header()));
}

#[test]
fn prototypes_are_found_in_code_and_not_in_comments() {
    let header = "/* spheresum_gone() */ int32_t spheresum_b(const double *a);\nvoid my_spheresum_x(void);\n\
                  const char *spheresum_a (void); /** see spheresum_c() */ typedef struct spheresum_error spheresum_error;";
    assert_eq!(support::prototypes(header), ["spheresum_a", "spheresum_b"]);
}
