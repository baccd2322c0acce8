//! Adapter for records of `key = value` lines, one a direction.

mod adapter;

pub use adapter::KeyedAdapter;
