//! The adapter.

use crate::{look, read};
use spheresum_core::intake::{
    Adapter, Description, Head, Intake, Look, ReadOptions, Source, Yield,
};
use spheresum_core::{Limits, Result};

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

    fn look(&self, head: &Head<'_>) -> Look {
        look::look(head)
    }

    fn read(&self, source: &Source, limits: &Limits, options: &ReadOptions) -> Result<Intake> {
        read::read(source, limits, options)
    }
}
