//! The adapter.

use spheresum_core::intake::{
    Adapter, Confidence, Description, Head, Intake, Look, ReadOptions, Source, Yield,
};
use spheresum_core::{Error, Limits, Result};

/// Reads cuts: blocks with one angle fixed and the other running.
#[derive(Clone, Debug)]
pub struct CutsAdapter {
    description: Description,
}

impl CutsAdapter {
    /// The adapter.
    #[must_use]
    pub fn new() -> Self {
        Self {
            description: Description::new(
                "cuts",
                "cuts: blocks with one angle fixed and the other running",
                Yield::Readings,
            )
            .with_quantities(&["eirp", "eis", "gain", "received", "level", "field"])
            .with_specification("adapters/cuts/README.md"),
        }
    }
}

impl Default for CutsAdapter {
    fn default() -> Self {
        Self::new()
    }
}

impl Adapter for CutsAdapter {
    fn describe(&self) -> &Description {
        &self.description
    }

    fn look(&self, _head: &Head<'_>) -> Look {
        Look::new(Confidence::None, "not built yet")
    }

    fn read(&self, _source: &Source, _limits: &Limits, _options: &ReadOptions) -> Result<Intake> {
        Err(Error::unsupported("not built yet"))
    }
}
