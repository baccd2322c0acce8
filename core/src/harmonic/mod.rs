//! Spherical harmonics: functions on the sphere, and least squares on any directions.
//!
//! A pattern that varies no faster than degree L over the sphere is a sum of (L+1)² real harmonics Y_lm. Their values come from stable
//! recurrences ([`legendre`]), and directions that lie anywhere are fitted with an orthonormal basis that grows column by column
//! ([`Orthonormal`]), so that one pass gives the fits of all degrees.

mod least_squares;
pub mod legendre;
mod real;
mod symmetric;

pub use least_squares::Orthonormal;
pub(crate) use least_squares::subtract;
pub use real::{index, real_harmonics};
pub(crate) use symmetric::Symmetric;
