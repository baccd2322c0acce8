//! The adapter.

use spheresum_core::intake::{
    Adapter, Confidence, Description, Head, Intake, Look, ReadOptions, Source, Yield,
};
use spheresum_core::{Error, Limits, Result};

/// Reads JSON: our sphere documents, and tables as arrays or objects.
#[derive(Clone, Debug)]
pub struct JsonAdapter {
    description: Description,
}

impl JsonAdapter {
    /// The adapter.
    #[must_use]
    pub fn new() -> Self {
        Self {
            description: Description::new(
                "json",
                "JSON: our sphere documents, and tables as arrays or objects",
                Yield::Readings,
            )
            .with_quantities(&["eirp", "eis", "gain", "received", "level", "field"])
            .with_specification("adapters/json/README.md"),
        }
    }
}

impl Default for JsonAdapter {
    fn default() -> Self {
        Self::new()
    }
}

impl Adapter for JsonAdapter {
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
