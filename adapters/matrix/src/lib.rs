//! Adapter for blocks of values over θ and φ, one a polarisation and frequency.
//!
//! The format is specified in `README.md` beside this crate. From the outside to the inside:
//!
//! ```text
//! adapter → look, read
//! read    → own (options) → structure (titles, labels, rows) → axes → blocks (what each holds) → core::intake::text (plan)
//!         → body (cells into readings), imaginary (the other part of a field)
//! ```

mod adapter;
mod axes;
mod blocks;
mod body;
mod corner;
mod imaginary;
mod kinds;
mod labels;
mod look;
mod own;
mod read;
mod rows;
mod structure;
mod walk;

pub use adapter::MatrixAdapter;
