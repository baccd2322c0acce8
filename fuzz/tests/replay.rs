//! Runs every seed, regression, corpus and artifact file through its target's body.
#![cfg_attr(test, allow(clippy::unwrap_used, clippy::expect_used, clippy::panic))]

use std::path::PathBuf;

#[test]
fn every_file_passes_its_target() {
    let root = PathBuf::from(env!("CARGO_MANIFEST_DIR"));
    for (target, body) in spheresum_fuzz::TARGETS {
        let mut seeds = 0;
        let mut failed = Vec::new();
        let mut folders: Vec<(bool, PathBuf)> = ["seeds", "regressions", "corpus", "artifacts"]
            .into_iter()
            .map(|folder| (folder == "seeds", root.join(folder).join(target)))
            .collect();
        // The good and bad files of a family are seeds of its reader.
        let family = match *target {
            "layout" => "layout",
            // Its bytes are calls.
            "capi_calls" => "none",
            target => target.strip_prefix("read_").unwrap_or("delimited"),
        };
        for kind in ["good", "bad"] {
            folders.push((true, root.join("../tests/data").join(family).join(kind)));
        }
        for (is_seed, folder) in folders {
            let Ok(entries) = std::fs::read_dir(&folder) else {
                continue;
            };
            for entry in entries {
                let path = entry.unwrap().path();
                let data = std::fs::read(&path).unwrap();
                seeds += usize::from(is_seed);
                if std::panic::catch_unwind(|| body(&data)).is_err() {
                    failed.push(path.display().to_string());
                }
            }
        }
        assert!(seeds > 0, "{target} has no seeds");
        assert!(
            failed.is_empty(),
            "{target} panics on {}",
            failed.join(", ")
        );
    }
}
