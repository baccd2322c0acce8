//! Where two runs differ most.

use crate::model::{Direction, Sphere, State};
use crate::unit::level;

/// Largest and smallest difference of the total power over the directions, dB, test − reference.
///
/// Directions that are filled, missing or marked in either run are left out, and so are those without power.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
#[non_exhaustive]
pub struct Directions {
    /// Largest difference, dB.
    pub largest_db: f64,
    /// Its direction.
    pub largest_at: Direction,
    /// Smallest difference, dB.
    pub smallest_db: f64,
    /// Its direction.
    pub smallest_at: Direction,
    /// Number of directions compared.
    pub compared: usize,
    /// Number of directions left out.
    pub left_out: usize,
}

/// Compares the directions of one frequency each of two spheres on one equal-angle grid; `None` where the grids differ
/// or no direction can be compared.
#[must_use]
pub fn directions(reference: &Sphere, i: usize, test: &Sphere, j: usize) -> Option<Directions> {
    if reference.grid() != test.grid() || reference.layout() != test.layout() {
        return None;
    }
    let grid = reference.grid().equal_angle()?;
    let total = |sphere: &Sphere, frequency: usize, direction: usize| {
        let mut sum = 0.0;
        for p in 0..sphere.layout().polarisations().len() {
            let at = (frequency, p, direction);
            if sphere.states().get(at) != Some(&State::Measured) {
                return None;
            }
            sum += *sphere.power()?.get(at)?;
        }
        (sum > 0.0).then_some(sum)
    };
    let sign = if reference.quantity().is_sensitivity() {
        -1.0
    } else {
        1.0
    };
    let mut found: Option<Directions> = None;
    let mut left_out = 0;
    for direction in grid.distinct() {
        let (Some(a), Some(b)) = (total(reference, i, direction), total(test, j, direction)) else {
            left_out += 1;
            continue;
        };
        let difference = sign * level::db_from_ratio(b / a);
        let at = reference.grid().direction(direction)?;
        let d = found.get_or_insert(Directions {
            largest_db: difference,
            largest_at: at,
            smallest_db: difference,
            smallest_at: at,
            compared: 0,
            left_out: 0,
        });
        d.compared += 1;
        if difference > d.largest_db {
            (d.largest_db, d.largest_at) = (difference, at);
        }
        if difference < d.smallest_db {
            (d.smallest_db, d.smallest_at) = (difference, at);
        }
    }
    found.map(|d| Directions { left_out, ..d })
}
