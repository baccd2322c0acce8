//! Corrections of a sphere: the range loss, and from field to power.

pub mod field;
mod pole;
pub mod range;

pub use range::RangeLoss;
