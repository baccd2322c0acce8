//! Adapter for JSON: our sphere documents, and tables as arrays or objects.

mod adapter;

pub use adapter::JsonAdapter;
