//! The C++ wrapper: compiled and run against the library that cargo built beside this test, and complete.
#![cfg(unix)]
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod support;

use std::process::Command;
use support::{
    STRICT, crate_dir, exists, header, library_dir, prototypes, scratch, shared_library, text,
};

/// Functions that the wrapper leaves to C, and why. None so far.
const LEFT_OUT: [(&str, &str); 0] = [];

#[test]
fn the_wrapper_uses_every_function() {
    let wrapper = std::fs::read_to_string(crate_dir().join("include/spheresum.hpp")).unwrap();
    // Comments name functions too: what stands before `//` counts, and the comment at the top does not.
    let (_, body) = wrapper.split_once("#ifndef SPHERESUM_HPP").unwrap();
    let code: String = body
        .lines()
        .map(|line| line.split("//").next().unwrap_or_default())
        .collect::<Vec<_>>()
        .join("\n");
    let words: std::collections::BTreeSet<&str> = code
        .split(|c: char| !c.is_alphanumeric() && c != '_')
        .collect();
    let declared = prototypes(&header());
    assert!(declared.len() > 100, "{declared:?}");
    for name in &declared {
        let left_out = LEFT_OUT.iter().any(|(function, _)| function == name);
        assert_ne!(
            words.contains(name.as_str()),
            left_out,
            "{name} is used by the wrapper, or stands in LEFT_OUT with the reason"
        );
    }
    for (name, reason) in LEFT_OUT {
        assert!(declared.iter().any(|d| d == name), "{name} is no function");
        assert!(!reason.is_empty(), "{name} needs a reason");
    }
}

#[test]
fn the_program_passes() {
    if !exists("c++") {
        println!("skipped: there is no C++ compiler on this machine");
        return;
    }
    shared_library();
    let program = scratch("wrapper_cpp17");
    let built = Command::new("c++")
        .arg("-std=c++17")
        .args(STRICT.iter().filter(|f| **f != "-Wstrict-prototypes"))
        .arg("-I")
        .arg(crate_dir().join("include"))
        .arg(crate_dir().join("tests/cpp/wrapper.cpp"))
        .arg("-L")
        .arg(library_dir())
        .arg("-lspheresum")
        .arg(format!("-Wl,-rpath,{}", library_dir().display()))
        .arg("-o")
        .arg(&program)
        .output()
        .unwrap();
    assert!(built.status.success(), "{}", text(&built));
    let output = support::program(&program)
        .arg(crate_dir().join("../cli/demo"))
        .output()
        .unwrap();
    let all = text(&output);
    assert!(output.status.success(), "{all}");
    let (passed, _) = all
        .trim_end()
        .split_once(" passed, 0 failed")
        .unwrap_or_else(|| panic!("{all}"));
    assert!(passed.parse::<u32>().unwrap() > 100, "{all}");
}
