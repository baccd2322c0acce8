//! The adapter.

use crate::{look, read};
use spheresum_core::intake::{
    Adapter, Description, Head, Intake, Look, ReadOptions, Source, Yield,
};
use spheresum_core::{Limits, Result};

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

    fn look(&self, head: &Head<'_>) -> Look {
        look::look(head)
    }

    fn read(&self, source: &Source, limits: &Limits, options: &ReadOptions) -> Result<Intake> {
        read::read(source, limits, options)
    }
}
