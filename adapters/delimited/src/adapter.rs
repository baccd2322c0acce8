//! The adapter.

use crate::body::Paths;
use crate::{look, parts, read};
use spheresum_core::intake::{
    Adapter, Description, Head, Intake, Look, Pieces, ReadOptions, Source, Yield,
};
use spheresum_core::{Limits, Result};

/// Reads delimited text tables.
#[derive(Clone, Debug)]
pub struct DelimitedAdapter {
    description: Description,
}

impl DelimitedAdapter {
    /// The adapter.
    #[must_use]
    pub fn new() -> Self {
        Self {
            description: Description::new(
                "delimited",
                "delimited text tables with a heading line (CSV and its kin)",
                Yield::Either,
            )
            .with_quantities(&["eirp", "eis", "gain", "received", "level", "field"])
            .with_specification("adapters/delimited/README.md"),
        }
    }
}

impl Default for DelimitedAdapter {
    fn default() -> Self {
        Self::new()
    }
}

impl Adapter for DelimitedAdapter {
    fn describe(&self) -> &Description {
        &self.description
    }

    fn look(&self, head: &Head<'_>) -> Look {
        look::look(head)
    }

    fn read(&self, source: &Source, limits: &Limits, options: &ReadOptions) -> Result<Intake> {
        read::read(source, limits, options, paths(options))
    }

    fn read_pieces(
        &self,
        first: &Source,
        pieces: &mut Pieces<'_>,
        limits: &Limits,
        options: &ReadOptions,
    ) -> Result<Option<Intake>> {
        read::read_pieces(first, pieces, limits, options, paths(options))
    }
}

fn paths(options: &ReadOptions) -> Paths {
    match options.threads {
        0 | 1 => Paths::Fast,
        threads => Paths::Parts {
            threads,
            least: parts::LEAST,
        },
    }
}
