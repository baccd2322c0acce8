//! How sure the adapter is, of its own files and of those of others.
#![cfg_attr(test, allow(clippy::unwrap_used, clippy::expect_used, clippy::panic))]

use spheresum_adapter_json::JsonAdapter;
use spheresum_core::Limits;
use spheresum_core::intake::{Adapter, Confidence, Head, Look, Source};
use std::path::PathBuf;

fn look(text: &str) -> Look {
    let source = Source::from_text("t", text, &Limits::default()).unwrap();
    JsonAdapter::new().look(&Head::of(&source))
}

#[test]
fn as_sure_as_the_keys_are() {
    use Confidence::{Certain, Likely, None};
    for (text, want, reason) in [
        (
            r#"{"schema": "spheresum.readings/1"}"#,
            Certain,
            "its schema is spheresum.readings/1",
        ),
        (r#" {"blocks": [{"theta"#, None, ""),
        (
            r#"{"schema": "spheresum.readings/2", "x": []}"#,
            Certain,
            "another version",
        ),
        (
            r#"{"schema": "spheresum.reduction/1", "runs": []}"#,
            None,
            "a result (spheresum.reduction/1), not readings",
        ),
        (
            r#"{"schema": "spheresum.comparison/1", "runs": [{"theta_deg": 0, "phi_deg": 0}]}"#,
            None,
            "a result",
        ),
        (
            r#"[{"theta_deg": 0, "phi_deg": 0, "eirp_theta_dbm": 1}]"#,
            Certain,
            "a list of objects: headings name theta, phi and eirp",
        ),
        (
            r#"{"theta_deg": [0], "phi_deg": [0], "eirp_theta_dbm": [1]}"#,
            Certain,
            "an object of lists",
        ),
        (
            r#"{"x": {"theta_deg": [0], "phi_deg": [0], "eis_theta_dbm": [1]}}"#,
            Certain,
            "an object of lists",
        ),
        (
            r#"{"x": 1, "y": [{"theta_deg": 0, "phi_deg": 0, "power": 1}]}"#,
            Likely,
            "a list of objects",
        ),
        (
            r#"{"a": [{"theta_deg": 0}], "b": [{"theta_deg": 0}]}"#,
            Likely,
            "a list of objects",
        ),
        (
            r#"[{"frequency_mhz": 868, "loss_theta_db": 1}]"#,
            Certain,
            "frequency and loss",
        ),
        // One object a line: read refuses it, and says what to do.
        (
            "{\"theta_deg\": 0, \"phi_deg\": 0, \"eirp_theta_dbm\": 1}\n{\"theta_deg\": 0}",
            Likely,
            "an object of values",
        ),
        // Cut off in its first row.
        (
            r#"[{"theta_deg": 0, "phi_deg": 0, "eirp_theta_dbm": 1, "x": "#,
            Certain,
            "a list of objects",
        ),
        // Wrong in the middle, for the reader to say.
        (
            r#"[{"theta_deg": 0, "phi_deg": 0, "eirp_theta_dbm": NaN}]"#,
            Likely,
            "a list of objects",
        ),
        (
            r#"[{"theta_deg": 0, "phi_deg": 0, "eirp_theta_dbm": 1}, {"theta_deg": NaN}]"#,
            Certain,
            "a list of objects",
        ),
        (
            r#"[{"theta_deg": 0, "phi_deg": 0, "eirp_theta_dbm": 1}, {"a": 1, "a": 2}]"#,
            Certain,
            "a list of objects",
        ),
        (
            r#"{"name": "gauge", "colours": ["red"]}"#,
            None,
            "no known heading",
        ),
        (
            r#"{"type": "FeatureCollection", "features": [{"type": "Feature", "geometry": {}}]}"#,
            None,
            "no known heading",
        ),
        ("[]", None, "no objects"),
        ("{}", None, ""),
        ("[1, 2]", None, "no objects"),
        ("[gauge]\ntheta_deg = 0\n", None, ""),
        ("{ a letter }", None, ""),
        (
            "theta_deg,phi_deg,eirp_theta_dbm\n0,0,1\n",
            None,
            "starts with { or [",
        ),
    ] {
        let look = look(text);
        assert_eq!(look.confidence, want, "{text}: {}", look.reason);
        assert!(look.reason.contains(reason), "{text}: {}", look.reason);
    }
}

#[test]
fn the_head_of_a_long_file_is_enough() {
    let many = |one: &str, count: usize| vec![one; count].join(", ");
    let row = r#"{"theta_deg": 30, "phi_deg": 0, "eirp_theta_dbm": -3.25}"#;
    let long = format!("[{}]", many(row, 5000));
    assert!(long.len() > 2 * Head::MAX_BYTES);
    assert_eq!(look(&long).confidence, Confidence::Certain);
    let list = many("-3.25", 40_000);
    let lists =
        format!(r#"{{"theta_deg": [{list}], "phi_deg": [{list}], "eirp_theta_dbm": [{list}]}}"#);
    // Only the first key is in the head.
    assert_eq!(look(&lists).confidence, Confidence::Likely);
    let document = format!(
        r#"{{"schema": "spheresum.readings/1", "quantity": "eirp", "blocks": [{{"readings": [{}]}}]}}"#,
        many(row, 5000)
    );
    assert_eq!(look(&document).confidence, Confidence::Certain);
    // Cut anywhere, it is still known from its first row on.
    for cut in long
        .char_indices()
        .map(|(at, _)| at)
        .take(300)
        .skip(row.len() + 2)
    {
        assert_eq!(look(&long[..cut]).confidence, Confidence::Certain, "{cut}");
    }
}

#[test]
fn files_of_other_families_are_not_claimed() {
    let data = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../tests/data");
    let mut count = 0;
    for family in std::fs::read_dir(data).unwrap() {
        let family = family.unwrap().path();
        if family.ends_with("json") {
            continue;
        }
        let folders = [family.join("good"), family.join("bad"), family.clone()];
        for entry in folders
            .iter()
            .filter_map(|f| std::fs::read_dir(f).ok())
            .flatten()
        {
            let path = entry.unwrap().path();
            let Ok(bytes) = std::fs::read(&path) else {
                continue;
            };
            let Ok(source) = Source::from_bytes("t", bytes, &Limits::default()) else {
                continue;
            };
            let look = JsonAdapter::new().look(&Head::of(&source));
            assert_eq!(
                look.confidence,
                Confidence::None,
                "{}: {}",
                path.display(),
                look.reason
            );
            count += 1;
        }
    }
    assert!(count >= 20);
}
