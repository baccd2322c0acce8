//! C API: `libspheresum.so`, `libspheresum.a` and `include/spheresum.h`.
//!
//! The header is generated from these files, so doc comments on public items are written for the C reader. `README.md` beside
//! this crate has the conventions. This is the only crate with unsafe code.
// What a pointer must be stands in the parameter's own line of each comment, and in the head of the header.
#![allow(clippy::missing_safety_doc)]

mod array;
mod error;
mod panic;
mod status;
mod trp;
mod version;

pub use error::*;
pub use status::*;
pub use trp::*;
pub use version::*;
