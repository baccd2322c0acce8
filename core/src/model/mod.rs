//! The model: directions, quantities, grids, samples, readings, curves and spheres.

pub mod batch;
pub mod curve;
pub mod grid;
pub mod quantity;
pub mod readings;
pub mod sample;
pub mod sphere;
mod times;

/// The complex number of fields, so that an adapter needs no other crate for it.
pub use num_complex::Complex64;

pub use batch::Batch;
pub use curve::{Curve, Parameter, PortMatrix, PortPair, PortUnit};
pub use grid::{Direction, EqualAngleGrid, Grid, ListedGrid};
pub use quantity::{FieldScale, Quantity};
pub use readings::{Reading, Readings, Value};
pub use sample::{Mark, Polarisation, State};
pub use sphere::{Bound, Data, Layout, Sphere};
