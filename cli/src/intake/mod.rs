//! From files to readings: bytes under limits, hashes, adapters, runs.

mod bytes;
mod floor;
mod layouts;
mod range;
mod reader;
mod run;

pub use floor::GivenFloor;
pub use layouts::Layouts;
pub use range::Range;
pub use reader::{Loaded, Reader};
pub use run::RunPlan;
