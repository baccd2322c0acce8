//! Adapter for delimited text tables: CSV and its kin, with separators, decimal signs, units and names as they come.
//!
//! The format is specified in `README.md` beside this crate. From the outside to the inside:
//!
//! ```text
//! adapter → look, read
//! read    → choices (options) → table (heading) → resolve (plan of the columns) → decimal → body (rows)
//! table   → preamble, split, meaning → names, unit
//! body    → fast (most rows) or careful (all others, and every error) → cell → number
//! ```

mod adapter;
mod body;
mod careful;
mod cell;
mod choices;
mod decimal;
mod explain;
mod fast;
mod field;
mod frequencies;
mod guess;
mod lines;
mod look;
mod meaning;
mod names;
mod number;
mod outputs;
mod plan;
mod preamble;
mod ragged;
mod read;
mod resolve;
mod show;
mod split;
mod table;
mod tokens;
mod unit;
mod values;

pub use adapter::DelimitedAdapter;
