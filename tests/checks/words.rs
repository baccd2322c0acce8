//! What a person reads of every bad file: group, place, message and hint, kept as a snapshot, so that a change of words is seen
//! and read before it lands. That places are right is tested by the adapter kit (`kit.rs`, by `bad/EXPECTED.csv`); here they are one
//! list to read through.
//!
//! `SPHERESUM_BLESS=1 cargo test -p spheresum-tests --test words` writes `tests/data/WORDS.txt` anew.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use spheresum_core::intake::{Confidence, ReadOptions, Registry, Source};
use spheresum_core::{Error, Limits};
use spheresum_tests::samples;
use std::fmt::Write as _;
use std::path::PathBuf;

fn snapshot() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("data/WORDS.txt")
}

/// The error of a bad file that its own adapter reads.
fn error_of(registry: &Registry, family: &str, name: &str, bytes: Vec<u8>) -> Error {
    let limits = Limits::default();
    let read = Source::from_bytes(name, bytes, &limits)
        .and_then(|s| registry.read(&s, Some(family), &limits, &ReadOptions::default()));
    match read {
        Ok(_) => panic!("{family}/{name} is read"),
        Err(error) => error,
    }
}

#[test]
fn of_every_bad_file() {
    let registry = spheresum_adapters::registry();
    let mut text = String::new();
    let mut count = 0;
    for adapter in registry.iter() {
        let family = &adapter.describe().id;
        let folder = samples::folder(family);
        let good: Vec<String> = samples::good(&folder)
            .unwrap()
            .into_iter()
            .map(|s| s.name)
            .collect();
        let all = samples::of(&folder).unwrap();
        for sample in all.into_iter().filter(|s| !good.contains(&s.name)) {
            let error = error_of(&registry, family, &sample.name, sample.bytes);
            let place = error.place().unwrap_or_else(|| panic!("{error}: no place"));
            assert!(place.line.is_some() && place.column.is_some(), "{error}");
            let hint = error.advice().unwrap_or_else(|| panic!("{error}: no hint"));
            writeln!(
                text,
                "{family}/{place}: {}: {}\n    {hint}",
                error.group().as_str(),
                error.message()
            )
            .unwrap();
            count += 1;
        }
    }
    assert!(count > 300, "{count} bad files");
    if std::env::var_os("SPHERESUM_BLESS").is_some() {
        std::fs::write(snapshot(), &text).unwrap();
    }
    let kept = std::fs::read_to_string(snapshot()).unwrap_or_default();
    for (kept, now) in kept.lines().zip(text.lines()) {
        assert_eq!(kept, now, "the words of a bad file have changed");
    }
    assert_eq!(kept.lines().count(), text.lines().count());
}

/// `look` names the right adapter for every good file, and no other is as sure; under a name that says nothing as well.
#[test]
fn every_good_file_is_recognised() {
    let registry = spheresum_adapters::registry();
    let mut count = 0;
    for adapter in registry.iter() {
        let family = &adapter.describe().id;
        for sample in samples::good(&samples::folder(family)).unwrap() {
            for name in [sample.name.as_str(), "-"] {
                let source = Source::from_bytes(name, sample.bytes.clone(), &Limits::default());
                let found = registry.identify(&source.unwrap());
                let (first, second) = (&found[0], &found[1]);
                assert_eq!(&first.id, family, "{}: {found:#?}", sample.name);
                assert!(
                    first.look.confidence > second.look.confidence
                        && first.look.confidence >= Confidence::Likely,
                    "{}: {found:#?}",
                    sample.name
                );
            }
            count += 1;
        }
    }
    assert!(count > 60, "{count} good files");
}
