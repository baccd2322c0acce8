//! `[matrix]`: the axes of a matrix, and its values.

use crate::layout::{Kind, Matrix};
use crate::parse::role;
use crate::parse::section::Section;
use crate::said::Said;
use spheresum_core::intake::text::Meaning;
use spheresum_core::{Error, Result};

/// Reads `[matrix]`, where the kind is one.
///
/// # Errors
/// Input.
pub(crate) fn matrix(root: &Section<'_>, kind: &Said<Kind>) -> Result<Option<Matrix>> {
    let section = root.section("matrix")?;
    let section = match (section, kind.value) {
        (None, Kind::Matrix) => {
            return Err(Error::input("nothing says what the axes of the matrix are")
                .hint("add a table [matrix] with row_axis, column_axis and values")
                .at(kind.place.clone()));
        }
        (Some(section), other) if other != Kind::Matrix => {
            return Err(Error::input(format!(
                "[matrix] belongs to kind = \"matrix\", and this is {}",
                other.word()
            ))
            .hint("take it away, or choose kind = \"matrix\"")
            .at(section.place()));
        }
        (None, _) => return Ok(None),
        (Some(section), _) => section,
    };
    section.only(&["row_axis", "column_axis", "values", "corner"])?;
    let axis = |key: &str, example: &str| {
        let said = section
            .text(key)?
            .ok_or_else(|| section.lacks(key, example))?;
        Ok(Said::new(role::of_axis(&said)?, said.place))
    };
    let said = section
        .text("values")?
        .ok_or_else(|| section.lacks("values", "\"eirp_dbm\" (or what they are)"))?;
    let values = role::role(&said)?;
    if !matches!(values.meaning, Meaning::Value(_)) {
        return Err(Error::input(format!("{} are no values", values.text))
            .hint("say what the values are, such as eirp_theta_dbm, or eirp_dbm where a title says the polarisation")
            .at(said.place));
    }
    Ok(Some(Matrix {
        row_axis: axis("row_axis", "\"theta_deg\"")?,
        column_axis: axis("column_axis", "\"phi_deg\"")?,
        values: Said::new(values, said.place),
        corner: section.flag("corner")?.is_none_or(|said| said.value),
    }))
}
