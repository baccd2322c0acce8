//! Adapter for cuts: blocks with one angle fixed and the other running.
//!
//! The format is specified in `README.md` beside this crate. From the outside to the inside:
//!
//! ```text
//! adapter → look, read
//! read    → own (options) → structure (titles, headings, rows) → columns (of all cuts together) → fixed (the angle of each cut)
//!         → core::intake::text (plan) → body (rows into readings)
//! ```

mod adapter;
mod body;
mod columns;
mod fixed;
mod heading;
mod look;
mod own;
mod read;
mod repeats;
mod stated;
mod structure;

pub use adapter::CutsAdapter;
