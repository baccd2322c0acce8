//! Good files cut at every length and with bytes changed: read or refused, and never a panic.
#![cfg_attr(test, allow(clippy::unwrap_used, clippy::expect_used, clippy::panic))]

use spheresum_adapter_matrix::MatrixAdapter;
use spheresum_core::Limits;
use spheresum_core::intake::{Adapter, Head, ReadOptions, Source};
use std::path::PathBuf;

fn good_files() -> Vec<Vec<u8>> {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../tests/data/matrix/good");
    let mut paths: Vec<PathBuf> = std::fs::read_dir(folder)
        .unwrap()
        .map(|e| e.unwrap().path())
        .collect();
    paths.sort();
    paths.iter().map(|p| std::fs::read(p).unwrap()).collect()
}

fn try_read(bytes: &[u8]) {
    let limits = Limits::small();
    let Ok(source) = Source::from_bytes("t", bytes.to_vec(), &limits) else {
        return;
    };
    let adapter = MatrixAdapter::new();
    adapter.look(&Head::of(&source));
    if let Err(error) = adapter.read(&source, &limits, &ReadOptions::default()) {
        assert!(
            error
                .place()
                .is_some_and(|p| p.line.is_some() && p.column.is_some()),
            "{error} has no place"
        );
    }
}

#[test]
fn cut_at_every_length() {
    for file in good_files() {
        for length in 0..file.len() {
            try_read(&file[..length]);
        }
    }
}

#[test]
fn with_bytes_changed() {
    // Deterministic, so that a failure repeats.
    let mut state = 868_300_u64;
    let mut below = |n: usize| {
        state = state
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (state >> 33) as usize % n
    };
    let spice = b",;\t \"'#!%/.-+eE<>0123456789\n\r[](){}=:_nan\xC2\xB0\xFF\x00";
    for file in good_files() {
        for _ in 0..300 {
            let mut changed = file.clone();
            for _ in 0..=below(4) {
                let at = below(changed.len());
                changed[at] = spice[below(spice.len())];
            }
            try_read(&changed);
        }
    }
}
