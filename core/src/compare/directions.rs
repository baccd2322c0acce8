//! Where two runs differ most.

use crate::model::{Direction, Sphere, State};
use crate::unit::level;

/// Largest and smallest difference of the total power over the directions, dB, test − reference.
///
/// Directions that are filled, missing or marked in either run are left out, and so are those without power and those within the noise: not
/// more than the floor that was taken off.
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

/// A frequency of a sphere, and the floor of both polarisations together that was taken off, W; 0 where none was.
#[derive(Clone, Copy, Debug)]
pub struct At<'s> {
    /// The sphere.
    pub sphere: &'s Sphere,
    /// Index of the frequency.
    pub frequency: usize,
    /// The floor, W.
    pub floor_w: f64,
}

/// Compares the directions of one frequency each of two spheres on one equal-angle grid; `None` where the grids differ
/// or no direction can be compared.
#[must_use]
pub fn directions(of_reference: At<'_>, of_test: At<'_>) -> Option<Directions> {
    let (reference, test) = (of_reference.sphere, of_test.sphere);
    if reference.grid() != test.grid() || reference.layout() != test.layout() {
        return None;
    }
    let grid = reference.grid().equal_angle()?;
    let total = |at: At<'_>, direction: usize| {
        let (sphere, frequency, floor_w) = (at.sphere, at.frequency, at.floor_w);
        let mut sum = 0.0;
        for p in 0..sphere.layout().polarisations().len() {
            let at = (frequency, p, direction);
            if sphere.states().get(at) != Some(&State::Measured) {
                return None;
            }
            sum += *sphere.power()?.get(at)?;
        }
        (sum > floor_w).then_some(sum)
    };
    let sign = if reference.quantity().is_sensitivity() {
        -1.0
    } else {
        1.0
    };
    let mut found: Option<Directions> = None;
    let mut left_out = 0;
    for direction in grid.distinct() {
        let (Some(a), Some(b)) = (total(of_reference, direction), total(of_test, direction)) else {
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
