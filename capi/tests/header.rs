//! The committed header is what the sources say. After a change: `SPHERESUM_BLESS=1 cargo test -p spheresum-capi --test header`.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod support;

/// The header as the sources and Cargo.toml have it now.
fn generated() -> String {
    let dir = support::crate_dir();
    let mut config = cbindgen::Config::from_file(dir.join("cbindgen.toml")).unwrap();
    config.after_includes = Some(version_macros(env!("CARGO_PKG_VERSION")));
    let mut header = Vec::new();
    cbindgen::Builder::new()
        .with_config(config)
        .with_src(dir.join("src/lib.rs"))
        .generate()
        .unwrap()
        .write(&mut header);
    String::from_utf8(header).unwrap()
}

/// The macros of the header's own version, made of the version as a whole.
fn version_macros(version: &str) -> String {
    let parts: Vec<u32> = version
        .split('.')
        .map(|p| p.parse().expect("a version of three numbers"))
        .collect();
    let [major, minor, patch] = parts[..] else {
        panic!("{version} is not three numbers")
    };
    assert!(
        minor < 1000 && patch < 1000,
        "{version} does not fit the number"
    );
    format!(
        "\n/**\n * Version of this header, as spheresum_version() gives that of the library.\n */\n\
         #define SPHERESUM_VERSION \"{version}\"\n\n\
         /**\n * Version of this header, as spheresum_version_number() gives that of the library.\n */\n\
         #define SPHERESUM_VERSION_NUMBER {}",
        1_000_000 * major + 1000 * minor + patch
    )
}

/// First line, from 1, in which two texts differ.
fn first_difference(one: &str, other: &str) -> Option<usize> {
    if one == other {
        return None;
    }
    let equal = one
        .split('\n')
        .zip(other.split('\n'))
        .take_while(|(a, b)| a == b)
        .count();
    Some(equal + 1)
}

#[test]
fn the_committed_header_is_current() {
    let now = generated();
    let path = support::crate_dir().join("include/spheresum.h");
    if std::env::var_os("SPHERESUM_BLESS").is_some_and(|v| v == "1") {
        std::fs::write(&path, &now).unwrap();
    }
    let committed = std::fs::read_to_string(&path).unwrap_or_default();
    if let Some(line) = first_difference(&committed, &now) {
        panic!(
            "{} is stale from line {line}; look at the change, then run\n  SPHERESUM_BLESS=1 cargo test -p spheresum-capi --test header",
            path.display()
        );
    }
}

#[test]
fn a_changed_header_would_be_noticed() {
    let header = support::header();
    let lines = header.split('\n').count();
    assert_eq!(
        first_difference(&header, &(header.clone() + "/* more */\n")),
        Some(lines)
    );
    assert_eq!(
        first_difference(&header, &header.replacen("size_t count", "int count", 1))
            .map(|l| l < lines),
        Some(true)
    );
}

#[test]
fn version_macros_are_of_the_whole_version() {
    let macros = version_macros("12.3.45");
    assert!(
        macros.contains("#define SPHERESUM_VERSION \"12.3.45\"\n"),
        "{macros}"
    );
    assert!(
        macros.ends_with("#define SPHERESUM_VERSION_NUMBER 12003045"),
        "{macros}"
    );
}

#[test]
fn the_header_is_plain() {
    let header = support::header();
    assert!(
        header.is_ascii(),
        "some compilers read comments in the code page of the machine"
    );
    for needed in [
        "Threads ",
        "caller owns",
        "#ifndef SPHERESUM_H",
        "#ifdef __cplusplus",
    ] {
        assert!(header.contains(needed), "{needed} is gone");
    }
    // Rust's own words have no place in it.
    for leaked in ["Safety", "SpheresumError", "usize", "::", "[`"] {
        assert!(!header.contains(leaked), "{leaked} leaked into the header");
    }
}
