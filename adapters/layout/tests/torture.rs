//! Layouts and files cut at every length and with bytes changed: read or refused, and never a panic.
#![cfg_attr(test, allow(clippy::unwrap_used, clippy::expect_used, clippy::panic))]

use spheresum_adapter_layout::{Layout, LayoutAdapter, propose};
use spheresum_core::intake::{Adapter, Head, ReadOptions, Source};
use spheresum_core::{Error, Group, Limits};
use std::path::PathBuf;

const NAMES: [&str; 5] = ["words", "numbers", "blocks", "cuts", "fixed"];

fn example(name: &str, ending: &str) -> Vec<u8> {
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join(format!("examples/{name}.{ending}"));
    std::fs::read(path).unwrap()
}

fn placed(error: &Error) {
    let place = error.place();
    assert!(
        place.is_some_and(|p| p.line.is_some() && p.column.is_some()),
        "{error} has no place"
    );
    assert!(
        error.group() == Group::Usage || error.advice().is_some_and(|a| !a.is_empty()),
        "{error} has no hint"
    );
}

fn try_layout(bytes: &[u8]) -> Option<LayoutAdapter> {
    match Layout::from_bytes("t.toml", bytes.to_vec()) {
        Ok(layout) => Some(LayoutAdapter::new(layout)),
        Err(error) => {
            placed(&error);
            None
        }
    }
}

fn try_read(adapter: &LayoutAdapter, bytes: &[u8]) {
    let limits = Limits::small();
    let Ok(source) = Source::from_bytes("t.txt", bytes.to_vec(), &limits) else {
        return;
    };
    adapter.look(&Head::of(&source));
    if let Err(error) = adapter.read(&source, &limits, &ReadOptions::default()) {
        placed(&error);
    }
}

fn try_propose(bytes: &[u8]) {
    let Ok(source) = Source::from_bytes("t.txt", bytes.to_vec(), &Limits::small()) else {
        return;
    };
    if let Some(proposal) = propose(&source)
        && let Err(error) = Layout::parse("p.toml", &proposal)
    {
        assert!(error.message().contains("filled in"), "{error}\n{proposal}");
    }
}

#[test]
fn layouts_cut_at_every_length() {
    for name in NAMES {
        let (layout, file) = (example(name, "toml"), example(name, "txt"));
        for length in 0..=layout.len() {
            if let Some(adapter) = try_layout(&layout[..length]) {
                try_read(&adapter, &file);
            }
        }
    }
}

#[test]
fn files_cut_at_every_length() {
    for name in NAMES {
        let adapter = try_layout(&example(name, "toml")).unwrap();
        let file = example(name, "txt");
        for length in (0..=file.len().min(2500)).filter(|l| l % 3 == 0) {
            try_read(&adapter, &file[..length]);
            if length % 31 == 0 {
                try_propose(&file[..length]);
            }
        }
    }
}

/// Deterministic, so that a failure repeats.
struct Rolls(u64);

impl Rolls {
    fn below(&mut self, n: usize) -> usize {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) as usize % n
    }

    fn change(&mut self, bytes: &[u8], spice: &[u8]) -> Vec<u8> {
        let mut changed = bytes.to_vec();
        for _ in 0..=self.below(4) {
            let at = self.below(changed.len());
            changed[at] = spice[self.below(spice.len())];
        }
        changed
    }
}

#[test]
fn with_bytes_changed() {
    let mut rolls = Rolls(868_300);
    let of_layouts = b"\"'[]{}=#\n ,.?0123456789-_abphitxe\\\t\xC2\xB0\xFF\x00";
    let of_files = b",;|\t \"'#!%/.-+eED<>0123456789\n\r[](){}=:_nan\xC2\xB0\xFF\x00";
    for name in NAMES {
        let (layout, file) = (example(name, "toml"), example(name, "txt"));
        let good = try_layout(&layout).unwrap();
        for _ in 0..150 {
            let changed = rolls.change(&layout, of_layouts);
            if let Some(adapter) = try_layout(&changed) {
                try_read(&adapter, &file);
            }
            let changed = rolls.change(&file, of_files);
            try_read(&good, &changed);
            try_propose(&changed);
        }
    }
}
