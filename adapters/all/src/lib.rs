//! All adapters of this project that are compiled in, ready in one registry.
//!
//! ```
//! let registry = spheresum_adapters::registry();
//! assert!(registry.iter().any(|a| a.describe().id == "delimited"));
//! ```

use spheresum_core::intake::Registry;

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
];

/// A registry of all adapters that are compiled in.
#[must_use]
pub fn registry() -> Registry {
    #[allow(unused_mut, reason = "without any format there is nothing to add")]
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
    registry
}

/// Adds an adapter whose id is known to be free: the test below holds every id to [`KNOWN`].
#[allow(dead_code, reason = "without any format there is nothing to add")]
fn add(registry: &mut Registry, adapter: impl spheresum_core::intake::Adapter + 'static) {
    let added = registry.add(adapter);
    debug_assert!(added.is_ok(), "two adapters of the project share an id");
}

#[cfg(test)]
mod tests {
    use super::*;

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
        )) {
            assert_eq!(compiled, known);
        }
    }
}

/// The example in the README compiles.
#[cfg(all(doctest, feature = "delimited"))]
#[doc = include_str!("../../../README.md")]
struct Readme;
