//! Every bad layout: group, line, column and words of its error, as `EXPECTED.csv` beside them says.
#![cfg_attr(test, allow(clippy::unwrap_used, clippy::expect_used, clippy::panic))]

mod expected;

use expected::{data, expected, listed_and_present};
use spheresum_adapter_layout::Layout;
use spheresum_core::Error;

fn error_of(name: &str) -> Error {
    let bytes = std::fs::read(data("bad").join(name)).unwrap();
    match Layout::from_bytes(name, bytes) {
        Err(error) => error,
        Ok(_) => panic!("{name} was read"),
    }
}

#[test]
fn each_has_its_place_and_words() {
    let mut wrong = Vec::new();
    for row in expected("bad") {
        let error = error_of(&row[0]);
        wrong.extend(expected::difference(&row, &error, &row[0]));
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn the_list_is_that_of_the_files() {
    let (listed, present) = listed_and_present("bad", ".toml");
    assert_eq!(listed, present);
    assert!(listed.len() >= 80);
}
