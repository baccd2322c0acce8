//! The adapter.

use spheresum_core::intake::{
    Adapter, Confidence, Description, Head, Intake, Look, ReadOptions, Source, Yield,
};
use spheresum_core::{Error, Limits, Result};

/// Reads blocks of values over θ and φ, one a polarisation and frequency.
#[derive(Clone, Debug)]
pub struct MatrixAdapter {
    description: Description,
}

impl MatrixAdapter {
    /// The adapter.
    #[must_use]
    pub fn new() -> Self {
        Self {
            description: Description::new(
                "matrix",
                "blocks of values over θ and φ, one a polarisation and frequency",
                Yield::Readings,
            )
            .with_quantities(&["eirp", "eis", "gain", "received", "level", "field"])
            .with_specification("adapters/matrix/README.md"),
        }
    }
}

impl Default for MatrixAdapter {
    fn default() -> Self {
        Self::new()
    }
}

impl Adapter for MatrixAdapter {
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
