//! Filling along the cuts: between the nearest readings in φ (periodic) and in θ, never across a pole.

use crate::fill::plane::{Cell, Plane};
use crate::unit::angle::sin_deg;

/// Estimates for those of the cells that has readings on both sides in φ or in θ: (direction, value).
///
/// Each cut gives a linear interpolation in power, or a cubic one through two readings on each side where the gap is at most
/// three samples wide; the two cuts are averaged with the inverse of their gaps' arc lengths. Estimates may be below zero, as readings are after a subtraction of noise.
pub(crate) fn fill(plane: &Plane, cells: &[Cell]) -> Vec<(usize, f64)> {
    let grid = &plane.grid;
    let mut filled = Vec::new();
    for (ring, column) in cells.iter().copied() {
        if grid.is_pole(ring) {
            continue;
        }
        let along_phi = cut(column, grid.phi_count(), true, |j| {
            plane
                .is_read(ring, j)
                .then(|| plane.values[plane.at(ring, j)])
        })
        .map(|(value, width)| {
            (
                value,
                width * grid.phi_step_deg() * sin_deg(grid.theta_deg(ring)),
            )
        });
        // Poles stay out: their polarisations depend on φ. Index 0 is ring 1.
        let along_theta = cut(ring - 1, grid.intervals() - 1, false, |i| {
            plane
                .is_read(i + 1, column)
                .then(|| plane.values[plane.at(i + 1, column)])
        })
        .map(|(value, width)| (value, width * grid.theta_step_deg()));
        let value = match (along_phi, along_theta) {
            (Some((a, wide_a)), Some((b, wide_b))) => (a * wide_b + b * wide_a) / (wide_a + wide_b),
            (Some((a, _)), None) | (None, Some((a, _))) => a,
            (None, None) => continue,
        };
        filled.push((plane.at(ring, column), value));
    }
    filled
}

/// Interpolates at `at` on an axis of `count` positions; gives the value and the distance between the nearest readings.
fn cut(
    at: usize,
    count: usize,
    periodic: bool,
    reading: impl Fn(usize) -> Option<f64>,
) -> Option<(f64, f64)> {
    let find = |sign: isize, skip: usize| {
        let mut left = skip;
        for distance in 1..count {
            let position = at as isize + sign * distance as isize;
            let position = if periodic {
                position.rem_euclid(count as isize)
            } else if (0..count as isize).contains(&position) {
                position
            } else {
                return None;
            };
            if let Some(value) = reading(position as usize) {
                if left == 0 {
                    return Some((sign as f64 * distance as f64, value));
                }
                left -= 1;
            }
        }
        None
    };
    let (before, after) = (find(-1, 0)?, find(1, 0)?);
    let width = after.0 - before.0;
    if periodic && width > count as f64 {
        return None;
    }
    let linear = (before.1 * after.0 - after.1 * before.0) / width;
    if width <= 4.0
        && let (Some(further_before), Some(further_after)) = (find(-1, 1), find(1, 1))
        && further_after.0 - further_before.0 < count as f64
    {
        let points = [further_before, before, after, further_after];
        return Some((lagrange_at_zero(&points), width));
    }
    Some((linear, width))
}

/// Value at 0 of the polynomial through the points (x, y).
fn lagrange_at_zero(points: &[(f64, f64)]) -> f64 {
    let mut value = 0.0;
    for (i, (xi, yi)) in points.iter().enumerate() {
        let mut weight = 1.0;
        for (k, (xk, _)) in points.iter().enumerate() {
            if k != i {
                weight *= xk / (xk - xi);
            }
        }
        value += weight * yi;
    }
    value
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cubics_come_back_exactly() {
        // Closed form: any cubic is reproduced by four points.
        let cubic = |x: f64| 3.0 + 0.5 * x - 0.2 * x * x + 0.01 * x * x * x;
        let read = |i: usize| (![5, 6].contains(&i)).then(|| cubic(i as f64));
        for at in [5, 6] {
            let got = cut(at, 12, false, read).map(|c| c.0);
            assert!(got.is_some_and(|g| (g - cubic(at as f64)).abs() < 1e-12));
        }
        // At the end of an axis that does not close there is nothing on the other side.
        assert_eq!(cut(0, 12, false, |i| (i > 0).then_some(1.0)), None);
        let round = cut(0, 12, true, |i| (i > 0).then_some(1.0)).map(|c| c.0);
        assert!(round.is_some_and(|v| (v - 1.0).abs() < 1e-15));
        assert_eq!(cut(3, 12, true, |_| None), None);
    }
}
