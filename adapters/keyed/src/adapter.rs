//! The adapter.

use spheresum_core::intake::{
    Adapter, Confidence, Description, Head, Intake, Look, ReadOptions, Source, Yield,
};
use spheresum_core::{Error, Limits, Result};

/// Reads records of `key = value` lines, one a direction.
#[derive(Clone, Debug)]
pub struct KeyedAdapter {
    description: Description,
}

impl KeyedAdapter {
    /// The adapter.
    #[must_use]
    pub fn new() -> Self {
        Self {
            description: Description::new(
                "keyed",
                "records of `key = value` lines, one a direction",
                Yield::Readings,
            )
            .with_quantities(&["eirp", "eis", "gain", "received", "level", "field"])
            .with_specification("adapters/keyed/README.md"),
        }
    }
}

impl Default for KeyedAdapter {
    fn default() -> Self {
        Self::new()
    }
}

impl Adapter for KeyedAdapter {
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
