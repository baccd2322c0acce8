//! Good files cut at every length and with bytes changed: read or refused, and never a panic.
#![cfg_attr(test, allow(clippy::unwrap_used, clippy::expect_used, clippy::panic))]

mod data;

use spheresum_adapter_touchstone::TouchstoneAdapter;
use spheresum_core::Limits;
use spheresum_core::intake::{Adapter, Head, ReadOptions, Source};

fn good_files() -> Vec<(String, Vec<u8>)> {
    let names = data::names("good").into_iter();
    names
        .map(|n| {
            let bytes = std::fs::read(data::path(&format!("good/{n}"))).unwrap();
            (n, bytes)
        })
        .collect()
}

/// Tries to read, and says whether it was read.
fn try_read(name: &str, bytes: &[u8]) -> bool {
    let limits = Limits::small();
    let Ok(source) = Source::from_bytes(name, bytes.to_vec(), &limits) else {
        return false;
    };
    let adapter = TouchstoneAdapter::new();
    adapter.look(&Head::of(&source));
    match adapter.read(&source, &limits, &ReadOptions::default()) {
        Ok(intake) => {
            let curve = intake.curve.unwrap();
            let ports = curve.ports().unwrap();
            let finite = |v: &spheresum_core::Complex64| v.re.is_finite() && v.im.is_finite();
            assert!(ports.values().iter().all(finite));
            true
        }
        Err(error) => {
            let place = error.place().cloned().unwrap_or_default();
            let is_placed = place.line.is_some() && place.column.is_some();
            assert!(is_placed && error.advice().is_some(), "{name}: {error}");
            false
        }
    }
}

#[test]
fn cut_at_every_length() {
    let (mut read, mut refused) = (0, 0);
    for (name, file) in good_files() {
        for length in 0..file.len() {
            for name in [name.as_str(), "t"] {
                if try_read(name, &file[..length]) {
                    read += 1;
                } else {
                    refused += 1;
                }
            }
        }
    }
    assert!(
        read > 100 && refused > 1000,
        "{read} read, {refused} refused"
    );
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
    let spice = b"!#[] \t\r\n+-.eE0123456789RSYZHGr,_\xC2\xB5\xFF\x00";
    for (name, file) in good_files() {
        for _ in 0..500 {
            let mut changed = file.clone();
            for _ in 0..=below(4) {
                let at = below(changed.len());
                changed[at] = spice[below(spice.len())];
            }
            try_read(&name, &changed);
        }
    }
}
