//! Every good file is recognised by its own family, and by no other as surely.
#![cfg_attr(test, allow(clippy::unwrap_used, clippy::expect_used, clippy::panic))]
#![cfg(all(feature = "delimited", feature = "columns", feature = "keyed"))]

use spheresum_core::Limits;
use spheresum_core::intake::{Confidence, Source};
use std::path::PathBuf;

#[test]
fn good_files_have_one_owner() {
    let registry = spheresum_adapters::registry();
    let data = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../tests/data");
    let mut wrong = Vec::new();
    let mut count = 0;
    for adapter in registry.iter() {
        let id = &adapter.describe().id;
        let Ok(files) = std::fs::read_dir(data.join(id).join("good")) else {
            continue;
        };
        for file in files {
            let path = file.unwrap().path();
            let name = path.display().to_string();
            let bytes = std::fs::read(&path).unwrap();
            let source = Source::from_bytes(&name, bytes, &Limits::default()).unwrap();
            let found = registry.identify(&source);
            let [first, second, ..] = found.as_slice() else {
                panic!("fewer than two adapters")
            };
            let is_sure = first.look.confidence > second.look.confidence.max(Confidence::Maybe);
            if first.id != *id || !is_sure {
                wrong.push(format!("{name}: {first:?}, {second:?}"));
            }
            count += 1;
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(count >= 20);
}
