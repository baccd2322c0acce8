//! Directions and grids of directions.

use crate::error::{Error, Result};
use crate::unit::angle;

/// A direction on the sphere, degrees.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct Direction {
    /// θ from +z, 0…180.
    pub theta_deg: f64,
    /// φ, 0…360.
    pub phi_deg: f64,
}

/// θ axis × φ axis, both uniform: θᵢ = 180° i/N for i = 0…N, φⱼ = φ₀ + 360° j/M for j = 0…M−1.
///
/// Directions are numbered ring by ring from θ = 0: index = i·M + j. A pole is one direction; all M indices of its ring
/// stand for it.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(
    feature = "serde",
    serde(try_from = "(usize, usize, f64)", into = "(usize, usize, f64)")
)]
pub struct EqualAngleGrid {
    intervals: usize,
    phi_count: usize,
    phi_start_deg: f64,
}

impl EqualAngleGrid {
    /// N intervals of θ, M angles of φ from `phi_start_deg`.
    ///
    /// # Errors
    /// Usage: N < 2, M < 1, or a start outside 0…360°/M.
    pub fn try_new(intervals: usize, phi_count: usize, phi_start_deg: f64) -> Result<Self> {
        let step = 360.0 / phi_count as f64;
        if intervals < 2 || phi_count < 1 || !(0.0..step.max(1e-300)).contains(&phi_start_deg) {
            return Err(Error::usage(
                "an equal-angle grid has at least two θ intervals, one φ, and a φ start below one φ step",
            ));
        }
        intervals
            .checked_add(1)
            .and_then(|rings| rings.checked_mul(phi_count))
            .ok_or_else(|| Error::limit("the grid has too many directions"))?;
        Ok(Self {
            intervals,
            phi_count,
            phi_start_deg,
        })
    }

    /// N: number of θ intervals between the poles.
    #[must_use]
    pub fn intervals(&self) -> usize {
        self.intervals
    }

    /// Rings including both poles, N+1.
    #[must_use]
    pub fn rings(&self) -> usize {
        self.intervals + 1
    }

    /// M: number of φ angles in a ring.
    #[must_use]
    pub fn phi_count(&self) -> usize {
        self.phi_count
    }

    /// First φ, degrees.
    #[must_use]
    pub fn phi_start_deg(&self) -> f64 {
        self.phi_start_deg
    }

    /// θ step, degrees.
    #[must_use]
    pub fn theta_step_deg(&self) -> f64 {
        180.0 / self.intervals as f64
    }

    /// φ step, degrees.
    #[must_use]
    pub fn phi_step_deg(&self) -> f64 {
        360.0 / self.phi_count as f64
    }

    /// θ of a ring, degrees.
    #[must_use]
    pub fn theta_deg(&self, ring: usize) -> f64 {
        180.0 * ring as f64 / self.intervals as f64
    }

    /// φ of a column, degrees.
    #[must_use]
    pub fn phi_deg(&self, column: usize) -> f64 {
        self.phi_start_deg + 360.0 * column as f64 / self.phi_count as f64
    }

    /// True for the first and the last ring.
    #[must_use]
    pub fn is_pole(&self, ring: usize) -> bool {
        ring == 0 || ring == self.intervals
    }

    /// Solid angle of one cell of a ring as a share of 4π; the poles' caps are one cell each, given in full for every
    /// index of their ring divided by M.
    #[must_use]
    pub fn cell_share(&self, ring: usize) -> f64 {
        let half = self.theta_step_deg() / 2.0;
        let theta = self.theta_deg(ring);
        let ring_share = 0.5
            * (angle::cos_deg((theta - half).max(0.0)) - angle::cos_deg((theta + half).min(180.0)));
        ring_share / self.phi_count as f64
    }

    /// Indices that stand for different directions: every index of the inner rings, the first of each pole.
    pub fn distinct(&self) -> impl Iterator<Item = usize> + '_ {
        let m = self.phi_count;
        let last = self.intervals * m;
        (0..last + m)
            .filter(move |index| *index == 0 || *index == last || (*index >= m && *index < last))
    }
}

impl TryFrom<(usize, usize, f64)> for EqualAngleGrid {
    type Error = Error;

    fn try_from((intervals, phi_count, phi_start_deg): (usize, usize, f64)) -> Result<Self> {
        Self::try_new(intervals, phi_count, phi_start_deg)
    }
}

impl From<EqualAngleGrid> for (usize, usize, f64) {
    fn from(grid: EqualAngleGrid) -> Self {
        (grid.intervals, grid.phi_count, grid.phi_start_deg)
    }
}

/// Directions without structure.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct ListedGrid {
    directions: Vec<Direction>,
    reason: String,
}

impl ListedGrid {
    /// Directions as listed; `reason` says why they are no equal-angle grid.
    #[must_use]
    pub fn new(directions: Vec<Direction>, reason: impl Into<String>) -> Self {
        Self {
            directions,
            reason: reason.into(),
        }
    }

    /// The directions.
    #[must_use]
    pub fn directions(&self) -> &[Direction] {
        &self.directions
    }

    /// Why the grid is listed.
    #[must_use]
    pub fn reason(&self) -> &str {
        &self.reason
    }
}

/// Directions of a sphere.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(rename_all = "kebab-case"))]
pub enum Grid {
    /// θ axis × φ axis.
    EqualAngle(EqualAngleGrid),
    /// A list.
    Listed(ListedGrid),
}

impl Grid {
    /// Number of direction indices.
    #[must_use]
    pub fn len(&self) -> usize {
        match self {
            Self::EqualAngle(g) => g.rings() * g.phi_count(),
            Self::Listed(g) => g.directions().len(),
        }
    }

    /// True where there is no direction.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }

    /// Direction of an index. The poles are given with φ = 0. `None` beyond the end.
    #[must_use]
    pub fn direction(&self, index: usize) -> Option<Direction> {
        match self {
            Self::EqualAngle(g) => {
                let (ring, column) = (index / g.phi_count(), index % g.phi_count());
                (ring < g.rings()).then(|| Direction {
                    theta_deg: g.theta_deg(ring),
                    phi_deg: if g.is_pole(ring) {
                        0.0
                    } else {
                        g.phi_deg(column)
                    },
                })
            }
            Self::Listed(g) => g.directions().get(index).copied(),
        }
    }

    /// The equal-angle grid, where it is one.
    #[must_use]
    pub fn equal_angle(&self) -> Option<&EqualAngleGrid> {
        match self {
            Self::EqualAngle(g) => Some(g),
            Self::Listed(_) => None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn unique_directions_of_a_constant_step_grid() {
        // 3GPP TS 38.521-2 M.1, M.2.1 and M.4.5: 15° 266, 30° 62, 7.5° 1106, 3.6° 4902, 3° 7082, 2.5° 10226 points.
        for (n, want) in [
            (12, 266),
            (6, 62),
            (24, 1106),
            (50, 4902),
            (60, 7082),
            (72, 10226),
        ] {
            let grid = EqualAngleGrid::try_new(n, 2 * n, 0.0);
            assert_eq!(grid.map(|g| g.distinct().count()).ok(), Some(want));
        }
    }

    #[test]
    fn cells_cover_the_sphere_once() {
        for (n, m) in [(2, 1), (5, 7), (12, 24), (180, 360)] {
            if let Ok(grid) = EqualAngleGrid::try_new(n, m, 0.0) {
                let share: f64 = (0..grid.rings())
                    .map(|i| grid.cell_share(i) * m as f64)
                    .sum();
                assert!((share - 1.0).abs() < 1e-14);
            }
        }
        assert!(EqualAngleGrid::try_new(1, 4, 0.0).is_err());
        assert!(EqualAngleGrid::try_new(4, 4, 90.0).is_err());
        assert!(EqualAngleGrid::try_new(usize::MAX, 4, 0.0).is_err());
    }
}
