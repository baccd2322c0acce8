//! Findings of the data that noise explains.

use super::report::NoiseReport;
use crate::correct::Noise;
use crate::finding::{Finding, Severity};
use crate::model::Sphere;
use crate::reduce::ChannelResult;
use crate::uncertainty::COVERAGE_FACTOR;
use crate::unit::level;

/// Readings at a pole differ by so many standard deviations of one of them at most, by noise alone. Noise of few averages is skewed: of a gamma
/// variable of shape 8 (four averages of two polarisations) one reading of 5600 lies five above its mean (closed form), of a normal one
/// of three million.
const DEVIATIONS: f64 = 5.0;

/// What readings at a pole disagree by, where noise explains it, is worth knowing and no warning.
pub(in crate::reduce) fn explain_poles(findings: &mut [Finding], sphere: &Sphere, noise: &Noise) {
    let Some(relative) = largest_at_poles(sphere, noise) else {
        return;
    };
    let lifted = level::db_from_ratio(1.0 + relative);
    // From the lowest to the highest reading.
    let apart = if relative < 1.0 {
        level::db_from_ratio((1.0 + relative) / (1.0 - relative))
    } else {
        f64::INFINITY
    };
    // Readings that were copied are alike: noise explains the opposite.
    let codes = ["pole-spread", "pole-law", "pole-imbalance"];
    let of_pole = |f: &&mut Finding| codes.contains(&f.code.as_str());
    for finding in findings.iter_mut().filter(of_pole) {
        let by_noise = if finding.code == "pole-spread" {
            apart
        } else {
            lifted
        };
        if finding
            .effect_db
            .is_none_or(|effect| effect.abs() <= by_noise)
        {
            explained(finding);
        }
    }
}

/// What even and odd points of a grid disagree by, likewise: each have half of the samples, so that their difference is twice as
/// uncertain as the whole, and half of it is told. The larger of two differences is told, for rings and columns: within three deviations noise
/// explains it.
pub(in crate::reduce) fn explain_coarse(findings: &mut [Finding], channels: &[ChannelResult]) {
    let width = |r: &NoiseReport| {
        let width = r.half_width_db.unwrap_or(f64::INFINITY);
        width * 3.0 / COVERAGE_FACTOR
    };
    let reports = channels.iter().filter_map(|c| c.noise.as_ref());
    let Some(widest) = reports.map(width).reduce(f64::max) else {
        return;
    };
    for finding in findings.iter_mut().filter(|f| f.code == "grid-coarse") {
        if finding
            .effect_db
            .is_none_or(|effect| effect.abs() <= widest)
        {
            explained(finding);
        }
    }
}

fn explained(finding: &mut Finding) {
    finding.severity = Severity::Note;
    finding.advice =
        Some("noise explains it; sweep slower to see whether there is more to it".to_string());
}

/// By which share of the mean noise may lift a single reading at a pole; the most over both poles and all frequencies. `None`
/// without poles.
fn largest_at_poles(sphere: &Sphere, noise: &Noise) -> Option<f64> {
    let grid = sphere.grid().equal_angle()?;
    let m = grid.phi_count();
    let mut most: Option<f64> = None;
    for f in 0..sphere.frequencies().len() {
        for direction in [0, grid.intervals() * m] {
            let (mut shown, mut variance) = (0.0, 0.0);
            for p in 0..sphere.layout().polarisations().len() {
                let at = (f, p, direction);
                if !sphere.states().get(at)?.is_read() {
                    continue;
                }
                let (level, raw) = (noise.level(f, p)?, *noise.raw.get(at)?);
                shown += raw;
                variance += noise
                    .variance(level, *sphere.power()?.get(at)?, raw)
                    .max(noise.least_variance(level));
            }
            if shown > 0.0 {
                let relative = DEVIATIONS * libm::sqrt(variance) / shown;
                most = Some(most.map_or(relative, |m: f64| m.max(relative)));
            }
        }
    }
    most
}

#[cfg(test)]
mod tests;
