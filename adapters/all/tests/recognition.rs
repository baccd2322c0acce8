//! The good files of every adapter: the registry gives each to its own, and no other is as sure.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]
#![cfg(all(feature = "delimited", feature = "touchstone"))]

use spheresum_core::Limits;
use spheresum_core::intake::{Confidence, Source};
use std::path::PathBuf;

/// The good files of an adapter, under their own names and under a name that says nothing.
fn sources(id: &str) -> Vec<Source> {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR"))
        .join("../../tests/data")
        .join(id)
        .join("good");
    let mut sources = Vec::new();
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        let bytes = std::fs::read(&path).unwrap();
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        for name in [name.as_str(), "-"] {
            sources.push(Source::from_bytes(name, bytes.clone(), &Limits::small()).unwrap());
        }
    }
    assert!(sources.len() > 10, "{id}");
    sources
}

#[test]
fn each_file_goes_to_its_own_adapter() {
    let registry = spheresum_adapters::registry();
    for id in ["delimited", "touchstone"] {
        for source in sources(id) {
            let found = registry.identify(&source);
            assert_eq!(found[0].id, id, "{}: {found:?}", source.name());
            assert!(
                found[0].look.confidence > found[1].look.confidence,
                "{found:?}"
            );
            // Another's file is never more than a possibility.
            assert!(
                found[1].look.confidence <= Confidence::Maybe,
                "{}: {found:?}",
                source.name()
            );
        }
    }
}

#[test]
fn comments_of_tables_are_no_option_lines() {
    let registry = spheresum_adapters::registry();
    for text in [
        "# frequency: 868.3 MHz\ntheta_deg,phi_deg,eirp_theta_dbm,eirp_phi_dbm\n0,0,-3,-3\n",
        "# MHz\nfrequency_mhz,loss_theta_db,loss_phi_db\n868.3,40,41\n",
        "#\ntheta_deg phi_deg eirp_theta_dbm\n0 0 -3\n",
        "# s\n# R 50\ntheta_deg\tphi_deg\teirp_theta_dbm\n0\t0\t-3\n",
    ] {
        let source = Source::from_text("table.csv", text, &Limits::small()).unwrap();
        let found = registry.identify(&source);
        assert_eq!(found[0].id, "delimited", "{text}: {found:?}");
        assert_eq!(
            found[1].look.confidence,
            Confidence::None,
            "{text}: {found:?}"
        );
    }
}
