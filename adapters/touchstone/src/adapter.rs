//! The adapter.

use crate::{look, read};
use spheresum_core::intake::{
    Adapter, Description, Head, Intake, Look, ReadOptions, Source, Yield,
};
use spheresum_core::{Limits, Result};

/// Reads Touchstone files.
#[derive(Clone, Debug)]
pub struct TouchstoneAdapter {
    description: Description,
}

impl TouchstoneAdapter {
    /// The adapter.
    #[must_use]
    pub fn new() -> Self {
        Self {
            description: Description::new(
                "touchstone",
                "network parameters of one to four ports against frequency (Touchstone 1 and 2)",
                Yield::Curve,
            )
            .with_specification("adapters/touchstone/README.md"),
        }
    }
}

impl Default for TouchstoneAdapter {
    fn default() -> Self {
        Self::new()
    }
}

impl Adapter for TouchstoneAdapter {
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
