//! Adapter for JSON: readings documents of this project, and tables as lists of objects or objects of lists.
//!
//! `README.md` beside this crate is the specification; [`SCHEMA`] is the JSON Schema of the document, and [`to_json`] writes one.

mod adapter;
mod complete;
mod entries;
mod free;
mod grid;
mod json;
mod keys;
mod kind;
mod list;
mod lists;
mod locate;
mod look;
mod model;
mod names;
mod narrow;
mod nearest;
mod own;
mod pieces;
mod rows;
mod shape;
mod syntax;
mod value;
mod write;

pub use adapter::JsonAdapter;
pub use write::to_json;

/// The JSON Schema (draft 2020-12) of the readings document.
pub const SCHEMA: &str = include_str!("../schema/readings.schema.json");
