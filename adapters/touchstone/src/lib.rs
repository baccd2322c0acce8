//! Adapter for Touchstone files: network parameters of one to four ports against frequency, versions 1 and 2.
//!
//! The format is specified in `README.md` beside this crate. From the outside to the inside:
//!
//! ```text
//! adapter → look, read
//! read    → named (options) → header (option line, keywords) → shape (how many ports) → plan → network, noise
//! network → number, plan (cells, formats, normalisation)
//! all     → word → grammar (nom, one line)
//! ```

mod adapter;
mod frequency;
mod grammar;
mod header;
mod keyword;
mod look;
mod named;
mod network;
mod noise;
mod number;
mod option_line;
mod plan;
mod read;
mod shape;
mod word;

pub use adapter::TouchstoneAdapter;
