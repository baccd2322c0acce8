//! What noise does to a run: verdict, and what to do next.

mod explain;
mod options;
mod report;
mod spread;
mod tell;

pub(super) use explain::{explain_coarse, explain_poles};
pub use options::NoiseOptions;
pub use report::{Dominant, FloorLevel, NoiseReport};
pub(super) use report::{report, worst};
pub(super) use tell::findings;

#[cfg(test)]
mod testing;
