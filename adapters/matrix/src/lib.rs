//! Adapter for blocks of values over θ and φ, one a polarisation and frequency.

mod adapter;

pub use adapter::MatrixAdapter;
