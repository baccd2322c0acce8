//! Adapter for delimited text tables: CSV and its kin, with separators, decimal signs, units and names as they come.
//!
//! The format is specified in `README.md` beside this crate. From the outside to the inside:
//!
//! ```text
//! adapter → look, read
//! read    → own (options) → sight, table (heading line) → core::intake::text (plan) → body (rows)
//! body    → fast (most rows) or careful (all others, and every error)
//! ```

mod adapter;
mod below;
mod between;
mod body;
mod careful;
mod fast;
mod frequencies;
mod leading;
mod look;
mod notes;
mod own;
mod pairs;
mod parts;
mod preamble;
mod read;
mod record;
mod recurring;
mod rows;
mod sight;
mod table;

pub use adapter::DelimitedAdapter;
