//! All adapters of this project that are compiled in, ready in one registry.
//!
//! ```
//! let registry = spheresum_adapters::registry();
//! assert!(registry.iter().any(|a| a.describe().id == "delimited"));
//! ```

use spheresum_core::intake::Registry;

/// The adapters of this project: id and what each reads. One that is listed here and missing from [`registry`] is switched
/// off by a feature of the build.
pub const KNOWN: &[(&str, &str)] = &[
    (
        "delimited",
        "delimited text tables with a heading line (CSV and its kin)",
    ),
    (
        "touchstone",
        "network parameters of one to four ports against frequency (Touchstone 1 and 2)",
    ),
];

/// A registry of all adapters that are compiled in.
#[must_use]
pub fn registry() -> Registry {
    #[cfg_attr(
        not(any(feature = "delimited", feature = "touchstone")),
        expect(unused_mut)
    )]
    let mut registry = Registry::new();
    #[cfg(feature = "delimited")]
    add(
        &mut registry,
        spheresum_adapter_delimited::DelimitedAdapter::new(),
    );
    #[cfg(feature = "touchstone")]
    add(
        &mut registry,
        spheresum_adapter_touchstone::TouchstoneAdapter::new(),
    );
    registry
}

/// Adds an adapter whose id is known to be free: the test below holds every id to [`KNOWN`].
#[cfg(any(feature = "delimited", feature = "touchstone"))]
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
        let switches = [
            ("delimited", cfg!(feature = "delimited")),
            ("touchstone", cfg!(feature = "touchstone")),
        ];
        let is_on = |id: &str| switches.contains(&(id, true));
        let on: Vec<(String, String)> = known.into_iter().filter(|k| is_on(&k.0)).collect();
        assert_eq!(compiled, on);
    }
}

/// The example in the README compiles.
#[cfg(all(doctest, feature = "delimited"))]
#[doc = include_str!("../../../README.md")]
struct Readme;
