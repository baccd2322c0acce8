//! Units: the only place where conversions live.
//!
//! Inside, powers are watts, gains and losses are linear ratios, angles are degrees and frequencies are whole
//! microhertz. Decibels exist at the edges only.

pub mod angle;
pub mod frequency;
pub mod level;
pub mod sum;

pub use frequency::Frequency;
