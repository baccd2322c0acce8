//! C API: `libspheresum.so`, `libspheresum.a` and `include/spheresum.h`.
//!
//! The header is generated from these files, so doc comments on public items are written for the C reader. `README.md` beside
//! this crate has the conventions. Nothing but this crate, and the fuzz target that calls it, has unsafe code.
// What a pointer must be stands in the parameter's own line of each comment, and in the head of the header.
#![allow(clippy::missing_safety_doc)]

mod adapter;
mod array;
mod comparison;
mod difference;
mod error;
mod figure;
mod file;
mod finding;
mod formats;
mod handle;
mod noise;
mod options;
mod panic;
mod readings;
mod reduction;
mod rule;
mod run;
mod running;
mod status;
mod string;
mod table;
mod table_files;
mod trp;
mod version;
mod watch;
mod words;

pub use adapter::*;
pub use comparison::*;
pub use difference::*;
pub use error::*;
pub use figure::*;
pub use file::*;
pub use finding::*;
pub use formats::*;
pub use noise::*;
pub use options::*;
pub use readings::*;
pub use reduction::*;
pub use rule::*;
pub use run::*;
pub use running::*;
pub use status::*;
pub use string::*;
pub use table::*;
pub use trp::*;
pub use version::*;
pub use watch::*;
pub use words::*;
