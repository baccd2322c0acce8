//! The adapter.

use crate::{look, read};
use spheresum_core::intake::{
    Adapter, Description, Head, Intake, Look, ReadOptions, Source, Yield,
};
use spheresum_core::{Limits, Result};

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

    fn look(&self, head: &Head<'_>) -> Look {
        look::look(head)
    }

    fn read(&self, source: &Source, limits: &Limits, options: &ReadOptions) -> Result<Intake> {
        read::read(source, limits, options)
    }
}
