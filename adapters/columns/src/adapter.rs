//! The adapter.

use crate::{look, read};
use spheresum_core::intake::{
    Adapter, Description, Head, Intake, Look, Pieces, ReadOptions, Source, Yield,
};
use spheresum_core::{Limits, Result};

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
            description: Description::new("columns", "fixed-width and blank-separated columns of numbers, as Fortran programs write them", Yield::Either)
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

    fn look(&self, head: &Head<'_>) -> Look {
        look::look(head)
    }

    fn read(&self, source: &Source, limits: &Limits, options: &ReadOptions) -> Result<Intake> {
        read::read(source, limits, options)
    }

    fn read_pieces(
        &self,
        first: &Source,
        pieces: &mut Pieces<'_>,
        limits: &Limits,
        options: &ReadOptions,
    ) -> Result<Option<Intake>> {
        read::read_pieces(first, pieces, limits, options)
    }
}
