//! Corrections of a sphere: the noise floor, the range loss, and from field to power; what a log detector shows.

pub mod detector;
pub mod field;
pub mod floor;
mod floor_levels;
pub mod floor_parts;
mod lowest;
pub mod noise;
pub mod noise_only;
mod pole;
pub mod range;
#[cfg(test)]
pub(crate) mod testing;

pub use floor::{Floor, FloorSource};
pub use floor_parts::FloorParts;
pub use noise::{Detector, Noise, Signal};
pub use noise_only::NoiseOnly;
pub use range::RangeLoss;
