//! The adapter.

use spheresum_core::intake::{
    Adapter, Confidence, Description, Head, Intake, Look, ReadOptions, Source, Yield,
};
use spheresum_core::{Error, Limits, Result};

/// Reads fixed-width and blank-separated columns of numbers, as Fortran programs write them.
#[derive(Clone, Debug)]
pub struct ColumnsAdapter {
    description: Description,
}

impl ColumnsAdapter {
    /// The adapter.
    #[must_use]
    pub fn new() -> Self {
        Self {
            description: Description::new("columns", "fixed-width and blank-separated columns of numbers, as Fortran programs write them", Yield::Readings)
                .with_quantities(&["eirp", "eis", "gain", "received", "level", "field"])
                .with_specification("adapters/columns/README.md"),
        }
    }
}

impl Default for ColumnsAdapter {
    fn default() -> Self {
        Self::new()
    }
}

impl Adapter for ColumnsAdapter {
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
