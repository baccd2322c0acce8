//! Adapter for cuts: blocks with one angle fixed and the other running.

mod adapter;

pub use adapter::CutsAdapter;
