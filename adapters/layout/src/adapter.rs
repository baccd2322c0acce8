//! The adapter that a layout makes.

use crate::layout::Layout;
use crate::{read, recognise};
use spheresum_core::intake::text::{Meaning, What};
use spheresum_core::intake::{
    Adapter, Description, Head, Intake, Look, ReadOptions, Source, Yield,
};
use spheresum_core::{Limits, Quantity, Result};

/// Reads the files that a layout describes.
#[derive(Clone, Debug)]
pub struct LayoutAdapter {
    description: Description,
    layout: Layout,
}

impl LayoutAdapter {
    /// The adapter of a layout; its id is the layout's.
    #[must_use]
    pub fn new(layout: Layout) -> Self {
        let what = layout.what();
        let yields = match what {
            Some(What::Loss) => Yield::Curve,
            Some(_) => Yield::Readings,
            None => Yield::Either,
        };
        let all = ["eirp", "eis", "gain", "received", "level", "field"];
        // By the word of the quantity: ERP becomes EIRP.
        let one = what.and_then(What::quantity).map(Quantity::as_str);
        let quantities: Vec<&str> = match (one, yields) {
            (_, Yield::Curve) => Vec::new(),
            (Some(word), _) => vec![word],
            (None, _) => all.to_vec(),
        };
        Self {
            description: Description::new(layout.id(), layout.name(), yields)
                .with_quantities(&quantities)
                .with_specification(layout.file()),
            layout,
        }
    }

    /// The layout.
    #[must_use]
    pub fn layout(&self) -> &Layout {
        &self.layout
    }
}

impl Layout {
    /// The quantity, where the layout says it.
    fn what(&self) -> Option<What> {
        let columns = self.columns.iter().map(|c| c.role.meaning);
        let matrix = self.matrix.iter().map(|m| m.values.value.meaning);
        columns
            .chain(matrix)
            .find_map(|meaning| match meaning {
                Meaning::Value(name) => Some(name.what),
                _ => None,
            })
            .or(self.constants.quantity.as_ref().map(|said| said.value))
    }
}

impl Adapter for LayoutAdapter {
    fn describe(&self) -> &Description {
        &self.description
    }

    fn look(&self, head: &Head<'_>) -> Look {
        recognise::look(&self.layout.recognise, head)
    }

    fn read(&self, source: &Source, limits: &Limits, options: &ReadOptions) -> Result<Intake> {
        read::read(&self.layout, source, limits, options)
    }
}
