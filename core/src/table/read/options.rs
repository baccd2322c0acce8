//! Options of a case, by the names that the command gives them.

use super::fields::Fields;
use super::words::in_unit;
use crate::correct::{Detector, Floor, FloorSource, Signal};
use crate::error::{Error, Result};
use crate::reduce::ReduceOptions;
use crate::table::case::Input;
use crate::table::files::typed_options;
use crate::table::line::Piece;
use crate::table::measure::Symbol;
use std::str::FromStr;

/// Options as this library takes them, and as the command does.
pub(super) fn read(
    input: &Input,
    fields: &mut Fields<'_>,
) -> Result<(ReduceOptions, Vec<(String, String)>)> {
    let mut options = ReduceOptions::default();
    let mut command = Vec::new();
    if let Input::Files(_) = input {
        if let Some(piece) = fields.take("options") {
            command = typed_options(piece.text).map_err(|e| located(&e, piece))?;
        }
        return Ok((options, command));
    }
    if !matches!(input, Input::Pattern(_) | Input::Sphere(_)) {
        return Ok((options, command));
    }
    if let Some(piece) = fields.take("rule") {
        options.rule = word(piece)?;
        command.push(("rule".to_string(), options.rule.to_string()));
    }
    if let Some(piece) = fields.take("edges") {
        options.edges = word(piece)?;
        command.push(("edges".to_string(), options.edges.to_string()));
    }
    if let Some(piece) = fields.take("fill") {
        options.fill = word(piece)?;
        command.push(("fill".to_string(), options.fill.to_string()));
    }
    if let Some(piece) = fields.take("max-missing") {
        options.max_missing_percent = in_unit(piece, Symbol::Percent)?;
        command.push((
            "max-missing".to_string(),
            options.max_missing_percent.to_string(),
        ));
    }
    for (key, slot) in [
        ("eis-max-dbm", &mut options.eis_max_dbm),
        ("conducted-power-dbm", &mut options.conducted_power_dbm),
        ("accepted-power-dbm", &mut options.accepted_power_dbm),
    ] {
        if let Some(piece) = fields.take(key) {
            let dbm = in_unit(piece, Symbol::Dbm)?;
            *slot = Some(dbm);
            command.push((key.to_string(), dbm.to_string()));
        }
    }
    if let Some(piece) = fields.take("floor") {
        let dbm = in_unit(piece, Symbol::Dbm)?;
        let source: FloorSource = dbm
            .to_string()
            .parse()
            .map_err(|e: Error| piece.error(e.message()))?;
        let mut floor = Floor::new(source, Detector::Rms, Signal::Cw);
        command.push(("floor".to_string(), dbm.to_string()));
        if let Some(piece) = fields.take("detector") {
            floor.detector = word(piece)?;
        }
        command.push(("detector".to_string(), floor.detector.to_string()));
        if let Some(piece) = fields.take("signal") {
            floor.signal = word(piece)?;
            command.push(("signal".to_string(), floor.signal.to_string()));
        }
        options.floor = Some(floor);
    }
    Ok((options, command))
}

fn word<T: FromStr<Err = Error>>(piece: Piece<'_>) -> Result<T> {
    piece.text.parse().map_err(|e: Error| located(&e, piece))
}

/// An error of a value, in its place in the table.
fn located(error: &Error, piece: Piece<'_>) -> Error {
    let located = piece.error(error.message());
    match error.advice() {
        Some(advice) => located.hint(advice),
        None => located,
    }
}
