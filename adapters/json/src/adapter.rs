//! The adapter.

use crate::json::Json;
use crate::own::Own;
use crate::shape::{Sight, sight};
use crate::{free, look, model};
use spheresum_core::intake::{
    Adapter, Description, Head, Intake, Look, ReadOptions, Source, Yield,
};
use spheresum_core::{Limits, Result};

/// Reads JSON: readings documents of this project, and tables as lists of objects or objects of lists.
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
                "JSON: readings documents, and tables as lists of objects or objects of lists",
                Yield::Either,
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

    fn look(&self, head: &Head<'_>) -> Look {
        look::look(head)
    }

    fn read(&self, source: &Source, limits: &Limits, options: &ReadOptions) -> Result<Intake> {
        let own = Own::of(options)?;
        let json = Json::new(source, limits);
        match sight(&json, own.table.as_deref())? {
            Sight::Document(word, piece, members) => {
                model::read(&json, (&word, piece), &members, options)
            }
            Sight::Table(found) => free::read(&json, &found, &own, options),
            Sight::Several(all) => Err(free::several(&json, &all)),
            Sight::Values(members) => Err(free::no_table(&json, &members)),
            Sight::NoObjects(list) => Err(free::no_objects(&json, list)),
        }
    }
}
