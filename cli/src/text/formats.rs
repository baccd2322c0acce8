//! The list of adapters.

use super::table::{facts, heading};
use spheresum_core::intake::{Registry, Yield};
use std::fmt::Write;

/// The adapters that are there, then those that are known and left out of this build.
pub fn formats(registry: &Registry, known: &[(&str, &str)]) -> String {
    let mut out = String::new();
    let mut there = Vec::new();
    for adapter in registry.iter() {
        let about = adapter.describe();
        there.push(about.id.clone());
        let yields = match about.yields {
            Yield::Readings => "readings over directions",
            Yield::Curve => "a curve over frequency",
            _ => "readings over directions, or a curve over frequency",
        };
        out.push_str(&heading(&about.id, 0));
        out.push_str(&facts(
            &[
                ("reads", about.name.clone()),
                ("yields", yields.to_string()),
                ("quantities", about.quantities.join(", ")),
                ("specified in", about.specification.clone()),
            ],
            2,
        ));
        out.push('\n');
    }
    for (id, name) in known.iter().filter(|(id, _)| there.iter().all(|t| t != id)) {
        let _ = writeln!(out, "{id} ({name}) is known, but left out of this build.");
    }
    out.truncate(out.trim_end().len());
    out.push('\n');
    out
}
