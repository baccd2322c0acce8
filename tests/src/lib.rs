//! What the tests of the whole workspace share.

pub mod demo;
pub mod long_table;
pub mod samples;
