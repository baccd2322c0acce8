//! Intake: sources of text, the contract of adapters, and the registry that holds them.

pub mod adapter;
pub mod feed;
mod named_file;
pub mod registry;
pub mod source;
pub mod text;

pub use adapter::{Adapter, Confidence, Description, Head, Intake, Look, ReadOptions, Yield};
pub use feed::{Feed, Pieces};
pub use named_file::NamedFile;
pub use registry::{Candidate, Registry};
pub use source::{Encoding, Source};
