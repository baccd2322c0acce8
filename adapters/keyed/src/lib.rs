//! Adapter for records of `key = value` lines, one a direction.

mod adapter;
mod columns;
mod line;
mod look;
mod read;
mod records;
mod section;
mod shape;
mod value;

pub use adapter::KeyedAdapter;
