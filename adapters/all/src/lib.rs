//! All adapters of this project that are compiled in, ready in one registry.
//!
//! ```
//! let registry = spheresum_adapters::registry();
//! assert!(registry.iter().any(|a| a.describe().id == "delimited"));
//! ```

use spheresum_core::intake::Registry;

/// Layouts: adapters that a TOML text makes.
#[cfg(feature = "layout")]
pub use spheresum_adapter_layout as layout;

/// The adapters of this project: id and what each reads. One that is listed here and missing from [`registry`] is switched
/// off by a feature of the build, which has the id's name.
pub const KNOWN: &[(&str, &str)] = &[
    (
        "delimited",
        "delimited text tables with a heading line (CSV and its kin)",
    ),
    (
        "matrix",
        "blocks of values over θ and φ, one a polarisation and frequency",
    ),
    (
        "cuts",
        "cuts: blocks with one angle fixed and the other running",
    ),
    (
        "columns",
        "fixed-width and blank-separated columns of numbers, as Fortran programs write them",
    ),
    ("keyed", "records of `key = value` lines, one a direction"),
    (
        "json",
        "JSON: readings documents, and tables as lists of objects or objects of lists",
    ),
    (
        "touchstone",
        "network parameters of one to four ports against frequency (Touchstone 1 and 2)",
    ),
];

/// A registry of all adapters that are compiled in; it knows of the others which feature brings them.
#[must_use]
pub fn registry() -> Registry {
    let mut registry = Registry::new();
    #[cfg(feature = "delimited")]
    add(
        &mut registry,
        spheresum_adapter_delimited::DelimitedAdapter::new(),
    );
    #[cfg(feature = "matrix")]
    add(
        &mut registry,
        spheresum_adapter_matrix::MatrixAdapter::new(),
    );
    #[cfg(feature = "cuts")]
    add(&mut registry, spheresum_adapter_cuts::CutsAdapter::new());
    #[cfg(feature = "columns")]
    add(
        &mut registry,
        spheresum_adapter_columns::ColumnsAdapter::new(),
    );
    #[cfg(feature = "keyed")]
    add(&mut registry, spheresum_adapter_keyed::KeyedAdapter::new());
    #[cfg(feature = "json")]
    add(&mut registry, spheresum_adapter_json::JsonAdapter::new());
    #[cfg(feature = "touchstone")]
    add(
        &mut registry,
        spheresum_adapter_touchstone::TouchstoneAdapter::new(),
    );
    for (id, name) in KNOWN {
        registry.mention(id, name, &format!("{id} of spheresum-adapters"));
    }
    registry
}

/// Adds an adapter whose id is known to be free: the test below holds every id to [`KNOWN`].
#[allow(dead_code, reason = "without any format there is nothing to add")]
fn add(registry: &mut Registry, adapter: impl spheresum_core::intake::Adapter + 'static) {
    let added = registry.add(adapter);
    debug_assert!(added.is_ok(), "two adapters of the project share an id");
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use spheresum_core::intake::{ReadOptions, Source};
    use spheresum_core::{Group, Limits};

    #[test]
    fn known_ids_are_the_compiled_ones() {
        let compiled: Vec<(String, String)> = registry()
            .iter()
            .map(|a| (a.describe().id.clone(), a.describe().name.clone()))
            .collect();
        let known: Vec<(String, String)> = KNOWN
            .iter()
            .map(|(i, n)| (i.to_string(), n.to_string()))
            .collect();
        assert!(compiled.iter().all(|one| known.contains(one)));
        if cfg!(all(
            feature = "delimited",
            feature = "matrix",
            feature = "cuts",
            feature = "columns",
            feature = "keyed",
            feature = "json",
            feature = "touchstone",
        )) {
            assert_eq!(compiled, known);
        }
    }

    #[test]
    fn an_absent_one_is_told_from_a_misspelt_one() {
        let registry = registry();
        assert_eq!(
            registry.iter().count() + registry.absent().len(),
            KNOWN.len()
        );
        let limits = Limits::small();
        let source = Source::from_text("t", "words\n", &limits).unwrap();
        for (id, _) in KNOWN {
            // Each has a feature of its name.
            let manifest = include_str!("../Cargo.toml");
            assert!(manifest.contains(&format!("\n{id} = [")), "{id}");
            let there = registry.iter().any(|a| a.describe().id == *id);
            let error = registry
                .read(&source, Some(id), &limits, &ReadOptions::default())
                .err();
            let absent = error.filter(|e| e.message().contains("not compiled in"));
            assert_eq!(absent.is_none(), there, "{id}");
            let hint = absent.and_then(|e| e.advice().map(ToString::to_string));
            assert!(hint.is_none_or(|h| h.contains(&format!("feature {id} of"))));
        }
        let error = registry
            .read(&source, Some("delimted"), &limits, &ReadOptions::default())
            .unwrap_err();
        assert_eq!(error.group(), Group::Usage);
        assert!(
            error
                .advice()
                .is_some_and(|a| a.contains("did you mean delimited?"))
        );
    }
}

/// The example in the README compiles.
#[cfg(all(doctest, feature = "delimited"))]
#[doc = include_str!("../../../README.md")]
struct Readme;
