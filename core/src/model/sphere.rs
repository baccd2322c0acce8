//! Sphere: one quantity on a grid of directions.

use crate::error::{Error, Result};
use crate::model::grid::Grid;
use crate::model::quantity::Quantity;
use crate::model::sample::{Polarisation, State};
use crate::unit::Frequency;
use ndarray::Array3;
use num_complex::Complex64;

/// Which polarisations a sphere holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(rename_all = "kebab-case"))]
pub enum Layout {
    /// Theta, then phi.
    ThetaPhi,
    /// Their sum alone.
    TotalOnly,
}

impl Layout {
    /// The polarisations in the order of the arrays.
    #[must_use]
    pub const fn polarisations(self) -> &'static [Polarisation] {
        match self {
            Self::ThetaPhi => &[Polarisation::Theta, Polarisation::Phi],
            Self::TotalOnly => &[Polarisation::Total],
        }
    }
}

/// Samples as an array of frequency × polarisation × direction.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(rename_all = "kebab-case"))]
pub enum Data {
    /// What integrates: EIRP or received power in W, gain as a ratio, 1/EIS or 1/level in 1/W.
    Power(Array3<f64>),
    /// Complex field.
    Field(Array3<Complex64>),
}

impl Data {
    /// Shape: frequencies, polarisations, directions.
    #[must_use]
    pub fn dim(&self) -> (usize, usize, usize) {
        match self {
            Self::Power(a) => a.dim(),
            Self::Field(a) => a.dim(),
        }
    }
}

/// Bounds of a sample that is not simply measured, in terms of what integrates.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct Bound {
    /// Frequency, polarisation and direction index.
    pub at: (usize, usize, usize),
    /// Not less than this.
    pub lower: f64,
    /// Not more than this; `None`: no upper bound is known.
    pub upper: Option<f64>,
}

/// One quantity on a grid, one or more frequencies, with a state for each sample.
///
/// Sensitivities are held as their reciprocals, because the reciprocal is what is averaged, filled and integrated: all
/// quantities can then be treated alike. [`Sphere::quantity`] says which they are. On a pole every index of the ring
/// holds half of the pole's total in each polarisation.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(try_from = "Parts", into = "Parts"))]
pub struct Sphere {
    quantity: Quantity,
    grid: Grid,
    layout: Layout,
    frequencies: Vec<Option<Frequency>>,
    data: Data,
    states: Array3<State>,
    bounds: Vec<Bound>,
}

impl Sphere {
    /// Checks and builds a sphere.
    ///
    /// # Errors
    /// Usage: shapes that do not agree, values that are not finite, complex data for a power-like
    /// quantity or the other way round, bounds out of order or out of range.
    pub fn try_new(
        quantity: Quantity,
        grid: Grid,
        layout: Layout,
        frequencies: Vec<Option<Frequency>>,
        data: Data,
        states: Array3<State>,
        mut bounds: Vec<Bound>,
    ) -> Result<Self> {
        let shape = (frequencies.len(), layout.polarisations().len(), grid.len());
        if data.dim() != shape || states.dim() != shape {
            return Err(Error::usage(format!(
                "samples {:?} and states {:?} must both be {shape:?} (frequencies × polarisations × directions)",
                data.dim(),
                states.dim()
            )));
        }
        if shape.0 == 0 || shape.2 == 0 {
            return Err(Error::usage(
                "a sphere has at least one frequency and one direction",
            ));
        }
        let sound = match &data {
            Data::Power(a) => !quantity.is_complex() && a.iter().all(|v| v.is_finite()),
            Data::Field(a) => {
                quantity.is_complex()
                    && layout == Layout::ThetaPhi
                    && a.iter().all(|v| v.re.is_finite() && v.im.is_finite())
            }
        };
        if !sound {
            return Err(Error::usage(
                "samples must be finite, and complex exactly where the quantity is a field in two polarisations",
            ));
        }
        bounds.sort_by_key(|b| b.at);
        let in_order = bounds.windows(2).all(|w| w[0].at < w[1].at);
        let in_range = bounds.iter().all(|b| {
            b.at.0 < shape.0
                && b.at.1 < shape.1
                && b.at.2 < shape.2
                && b.lower.is_finite()
                && b.upper.is_none_or(|u| u.is_finite() && u >= b.lower)
        });
        if !in_order || !in_range {
            return Err(Error::usage(
                "bounds name each sample at most once, with lower ≤ upper",
            ));
        }
        Ok(Self {
            quantity,
            grid,
            layout,
            frequencies,
            data,
            states,
            bounds,
        })
    }

    /// What the samples are.
    #[must_use]
    pub fn quantity(&self) -> Quantity {
        self.quantity
    }

    /// The directions.
    #[must_use]
    pub fn grid(&self) -> &Grid {
        &self.grid
    }

    /// The polarisations held.
    #[must_use]
    pub fn layout(&self) -> Layout {
        self.layout
    }

    /// The frequencies in ascending order, an unknown one first.
    #[must_use]
    pub fn frequencies(&self) -> &[Option<Frequency>] {
        &self.frequencies
    }

    /// The samples.
    #[must_use]
    pub fn data(&self) -> &Data {
        &self.data
    }

    /// The samples of a power-like sphere as (frequency, polarisation, direction); `None` for a complex one.
    #[must_use]
    pub fn power(&self) -> Option<&Array3<f64>> {
        match &self.data {
            Data::Power(a) => Some(a),
            Data::Field(_) => None,
        }
    }

    /// State of each sample.
    #[must_use]
    pub fn states(&self) -> &Array3<State> {
        &self.states
    }

    /// Bounds of marked and filled samples, in ascending order of their indices.
    #[must_use]
    pub fn bounds(&self) -> &[Bound] {
        &self.bounds
    }

    /// Takes the sphere apart, to build the next one.
    #[must_use]
    pub fn into_parts(self) -> Parts {
        Parts {
            quantity: self.quantity,
            grid: self.grid,
            layout: self.layout,
            frequencies: self.frequencies,
            data: self.data,
            states: self.states,
            bounds: self.bounds,
        }
    }
}

/// The parts of a [`Sphere`]; [`Parts::build`] checks them and puts them together again.
#[derive(Clone, Debug)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct Parts {
    /// What the samples are.
    pub quantity: Quantity,
    /// The directions.
    pub grid: Grid,
    /// The polarisations held.
    pub layout: Layout,
    /// The frequencies.
    pub frequencies: Vec<Option<Frequency>>,
    /// The samples.
    pub data: Data,
    /// State of each sample.
    pub states: Array3<State>,
    /// Bounds of marked and filled samples.
    pub bounds: Vec<Bound>,
}

impl Parts {
    /// Checks and builds the sphere.
    ///
    /// # Errors
    /// As [`Sphere::try_new`].
    pub fn build(self) -> Result<Sphere> {
        Sphere::try_new(
            self.quantity,
            self.grid,
            self.layout,
            self.frequencies,
            self.data,
            self.states,
            self.bounds,
        )
    }
}

impl TryFrom<Parts> for Sphere {
    type Error = Error;

    fn try_from(parts: Parts) -> Result<Self> {
        parts.build()
    }
}

impl From<Sphere> for Parts {
    fn from(sphere: Sphere) -> Self {
        sphere.into_parts()
    }
}
