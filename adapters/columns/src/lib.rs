//! Adapter for fixed-width and blank-separated columns of numbers, as Fortran programs write them.

mod adapter;
mod body;
mod format;
mod headings;
mod layout;
mod look;
mod names;
mod number;
mod own;
mod read;
mod row;
mod table;
mod together;
mod top;

pub use adapter::ColumnsAdapter;
