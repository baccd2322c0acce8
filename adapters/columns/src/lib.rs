//! Adapter for fixed-width and blank-separated columns of numbers, as Fortran programs write them.

mod adapter;

pub use adapter::ColumnsAdapter;
