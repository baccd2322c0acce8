//! Nominal axes: the uniform axes nearest to the directions as read.

use crate::assemble::slots::{column, ring};
use crate::model::{EqualAngleGrid, Readings};

/// Most θ intervals that are tried: a step of 0.05°.
pub(crate) const MAX_INTERVALS: usize = 3600;
/// Fewer φ angles than this make no sphere.
pub(crate) const MIN_PHI_COUNT: usize = 3;
/// Fewer rings than this, poles included, make no sphere.
const MIN_RINGS: usize = 3;

/// An equal-angle grid that all directions lie on.
pub(crate) struct Found {
    pub grid: EqualAngleGrid,
    pub deviation_deg: f64,
}

/// Finds the coarsest equal-angle grid that every direction lies on, or says why there is none.
pub(crate) fn find(runs: &[Readings], snap_deg: f64) -> Result<Found, String> {
    let thetas = distinct(super::folded(runs).map(|f| f.theta_deg));
    let (intervals, theta_deviation) = theta_axis(&thetas, snap_deg).ok_or_else(|| {
        format!("θ does not run in equal steps that divide 180° (within {snap_deg}°)")
    })?;
    let snap = effective_snap(180.0 / intervals as f64, snap_deg);
    let at_pole = |theta_deg: f64| theta_deg <= snap || theta_deg >= 180.0 - snap;
    let phis = distinct(
        super::folded(runs)
            .filter(|f| !at_pole(f.theta_deg))
            .map(|f| f.phi_deg),
    );
    let (phi_count, start, phi_deviation) = phi_axis(&phis, snap_deg).ok_or_else(|| {
        format!("φ does not run in equal steps that divide 360° (within {snap_deg}°)")
    })?;
    if phi_count < MIN_PHI_COUNT {
        return Err(format!(
            "only {phi_count} different φ: a cut or two, not a sphere"
        ));
    }
    let grid = EqualAngleGrid::try_new(intervals, phi_count, start).map_err(|e| e.to_string())?;
    let rings = count_rings(&thetas, &grid);
    if rings < MIN_RINGS {
        return Err(format!(
            "only {rings} different θ: a cut or two, not a sphere"
        ));
    }
    // More than twice as many directions as readings cannot be half full.
    let product = (intervals - 1) * phi_count + 2;
    let readings: usize = runs.iter().map(Readings::len).sum();
    let present = if product / 2 > readings {
        0
    } else {
        count_present(runs, &grid)
    };
    if 2 * present < product {
        return Err(format!(
            "too few of the {product} directions of a {}° × {}° grid are there",
            grid.theta_step_deg(),
            grid.phi_step_deg()
        ));
    }
    Ok(Found {
        grid,
        deviation_deg: theta_deviation.max(phi_deviation),
    })
}

/// Number of different rings among the values of θ, poles included.
fn count_rings(thetas: &[f64], grid: &EqualAngleGrid) -> usize {
    let mut rings: Vec<usize> = thetas.iter().map(|t| ring(grid, *t)).collect();
    rings.dedup();
    rings.len()
}

/// Number of different directions of the grid that were read, poles once.
fn count_present(runs: &[Readings], grid: &EqualAngleGrid) -> usize {
    let mut seen = vec![false; grid.rings() * grid.phi_count()];
    let mut count = 0;
    for f in super::folded(runs) {
        let ring = ring(grid, f.theta_deg);
        let column = if grid.is_pole(ring) {
            0
        } else {
            column(grid, f.phi_deg)
        };
        if let Some(cell) = seen.get_mut(ring * grid.phi_count() + column)
            && !*cell
        {
            *cell = true;
            count += 1;
        }
    }
    count
}

/// Distinct values in ascending order. Files repeat few values many times: a small table keeps most repeats out.
fn distinct(values: impl Iterator<Item = f64>) -> Vec<f64> {
    const SLOTS: usize = 4096;
    let mut seen = vec![f64::NAN; SLOTS];
    let mut all = Vec::new();
    for value in values {
        let hash = (value.to_bits().wrapping_mul(0x9E37_79B9_7F4A_7C15) >> 52) as usize;
        if seen[hash] != value {
            seen[hash] = value;
            all.push(value);
        }
    }
    all.sort_unstable_by(f64::total_cmp);
    all.dedup();
    all
}

/// A step below four times the snap distance needs a smaller one, or neighbours could not be told apart.
pub(crate) fn effective_snap(step_deg: f64, snap_deg: f64) -> f64 {
    snap_deg.min(step_deg / 4.0)
}

/// Smallest N ≥ 2 with every θ within the snap distance of a multiple of 180°/N, and the largest deviation.
fn theta_axis(thetas: &[f64], snap_deg: f64) -> Option<(usize, f64)> {
    (2..=MAX_INTERVALS).find_map(|n| {
        let step = 180.0 / n as f64;
        let snap = effective_snap(step, snap_deg);
        largest_deviation(thetas, step, 0.0, snap).map(|d| (n, d))
    })
}

/// Smallest M with every φ within the snap distance of start + a multiple of 360°/M; the start, and the largest deviation.
fn phi_axis(phis: &[f64], snap_deg: f64) -> Option<(usize, f64, f64)> {
    let first = *phis.first()?;
    (1..=2 * MAX_INTERVALS).find_map(|m| {
        let step = 360.0 / m as f64;
        let snap = effective_snap(step, snap_deg);
        if let Some(d) = largest_deviation(phis, step, 0.0, snap) {
            return Some((m, 0.0, d));
        }
        // Centre of the residuals about that of the first φ, in the order of the sorted axis.
        let (mut low, mut high) = (0.0_f64, 0.0_f64);
        for phi in phis {
            let r = residual(*phi - first, step);
            low = low.min(r);
            high = high.max(r);
        }
        if high - low > 2.0 * snap {
            return None;
        }
        let start = (first + (low + high) / 2.0).rem_euclid(step);
        // A start is a round number in a positioner's table.
        let start = (start * 1e3).round() / 1e3;
        let start = if start >= step { 0.0 } else { start };
        largest_deviation(phis, step, start, snap).map(|d| (m, start, d))
    })
}

/// Largest distance of the values from start + multiples of the step; `None` as soon as one exceeds the snap distance.
fn largest_deviation(values: &[f64], step: f64, start: f64, snap: f64) -> Option<f64> {
    let mut largest = 0.0_f64;
    for value in values {
        let d = residual(value - start, step).abs();
        if d > snap {
            return None;
        }
        largest = largest.max(d);
    }
    Some(largest)
}

/// Signed distance to the nearest multiple of the step.
fn residual(value: f64, step: f64) -> f64 {
    value - (value / step).round() * step
}

#[cfg(test)]
mod tests;
