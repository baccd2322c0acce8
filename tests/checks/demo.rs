//! The demonstration files that the command carries are what the generator writes.
//!
//! `SPHERESUM_BLESS=1 cargo test -p spheresum-tests --test demo` writes them anew.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use spheresum_tests::demo;
use std::path::Path;

#[test]
fn the_files_are_what_the_generator_writes() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../cli/demo");
    let mut files: Vec<(&str, String)> = demo::configurations()
        .iter()
        .map(|c| (c.file, c.readings_csv()))
        .collect();
    files.push(("range-loss.csv", demo::range_loss_csv()));
    files.push(("noise-floor.csv", demo::noise_floor_csv()));
    for (name, text) in files {
        let path = folder.join(name);
        if std::env::var_os("SPHERESUM_BLESS").is_some() {
            std::fs::write(&path, &text).unwrap();
        }
        let committed = std::fs::read_to_string(&path).unwrap();
        assert!(
            committed == text,
            "{name} is stale: see the top of this test"
        );
    }
}

#[test]
fn the_fields_are_physical() {
    // A sum of dipole fields at one place obeys |E(−r)| = |E(r)|; spread over the board it does not, but the total at a
    // pole is one value whatever φ it is read at (closed form).
    for configuration in demo::configurations() {
        for theta in [0.0, 180.0] {
            let at = |phi: f64| configuration.eirp_w(theta, phi).iter().sum::<f64>();
            for phi in [15.0, 90.0, 222.0] {
                assert!((at(phi) / at(0.0) - 1.0).abs() < 1e-12);
            }
        }
    }
}
