//! What the layout has to do with an error in a file.

use crate::layout::{Layout, Pick};
use crate::said::line_of;
use spheresum_core::{Error, Group, Place};

/// Adds to an error's hint which line of the layout describes the field, and what else of the layout may be wrong.
pub(crate) fn add(error: Error, layout: &Layout, file: &str) -> Error {
    let place = error.place().cloned().unwrap_or_default();
    // The layout's own errors say their line.
    if place.source.as_deref() != Some(file) {
        return error;
    }
    let mut hint = error.advice().unwrap_or_default().to_string();
    let said = place.field.as_deref().and_then(|f| describes(layout, f));
    if let Some(said) = said {
        hint.push_str(&format!(
            "; the layout says what it is in {}",
            line_of(said)
        ));
    }
    if error.group() == Group::Input && error.message().ends_with("is not a number") {
        hint.push_str("; a word that stands for no value, or for a bound, belongs into [tokens] of the layout");
    }
    if error.group() == Group::Usage {
        for said in [
            layout.constants.frequency.as_ref().map(|s| &s.place),
            layout.constants.polarisation.as_ref().map(|s| &s.place),
        ]
        .into_iter()
        .flatten()
        {
            hint.push_str(&format!("; the layout gives it in {}", line_of(said)));
        }
    }
    error.hint(hint.trim_start_matches("; ").to_string())
}

/// Where the layout describes a field.
fn describes<'l>(layout: &'l Layout, field: &str) -> Option<&'l Place> {
    let column = layout.columns.iter().find(|c| match &c.pick {
        Pick::Heading(text) => text.to_lowercase() == field.to_lowercase(),
        Pick::Number(n) => field == format!("column {n}"),
        Pick::Range(a, b) => field == format!("characters {a} to {b}"),
    });
    let slot = layout.text.slots.iter().find(|s| s.text == field);
    let matrix = layout.matrix.as_ref().and_then(|m| match field {
        "row axis" => Some(&m.row_axis.place),
        "column axis" => Some(&m.column_axis.place),
        "values" => Some(&m.values.place),
        _ => None,
    });
    column
        .map(|c| &c.place)
        .or(slot.map(|s| &s.place))
        .or(matrix)
}
