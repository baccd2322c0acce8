//! Corrections of a sphere: the range loss, and from field to power; what a log detector shows.

pub mod detector;
pub mod field;
mod pole;
pub mod range;

pub use range::RangeLoss;
