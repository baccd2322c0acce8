//! Readings that cover a part of the sphere: rings that end before a pole, columns that do not go round.

use super::Finding;
use super::view::{Short, View, at_frequency, views};
use crate::model::Sphere;
use crate::unit::level;

/// Fewer columns than this in a row are a gap among others, no end of the range.
const FEWEST_COLUMNS: usize = 2;
/// A part whose absence is this small is not told, share of 4π.
const SMALLEST: f64 = 0.002;

/// What of a polarisation was read.
struct Covered {
    /// θ of the first and the last ring of which anything was read.
    theta_deg: (f64, f64),
    /// First and last φ, where a run of columns is absent from all of these rings.
    phi_deg: Option<(f64, f64)>,
    /// Solid angle outside, as a share of 4π.
    outside: f64,
}

/// Warns of readings that end before the sphere does, and says where; the polarisation and frequency that leaves most out.
pub(super) fn of_the_sphere(sphere: &Sphere) -> Option<Finding> {
    let mut worst: Option<(Covered, &str, usize)> = None;
    for view in views(sphere) {
        if let Some(covered) = of_view(&view)
            && covered.outside > SMALLEST
            && worst.as_ref().is_none_or(|w| covered.outside > w.0.outside)
        {
            worst = Some((covered, view.polarisation.as_str(), view.frequency));
        }
    }
    let (covered, polarisation, f) = worst?;
    let (from, to) = covered.theta_deg;
    let around = covered.phi_deg.map_or(String::new(), |(a, b)| {
        format!(" and φ {} to {}°", Short(a), Short(b))
    });
    let as_the_rest = level::db_from_ratio(1.0 / (1.0 - covered.outside));
    Some(
        Finding::warning(
            "part-of-sphere",
            format!(
                "the readings of {polarisation} cover θ {} to {}°{around} only{}: {:.1} % of the sphere lies outside, which is {as_the_rest:.2} dB if it holds as much as the rest",
                Short(from),
                Short(to),
                at_frequency(sphere, f),
                100.0 * covered.outside
            ),
        )
        .advice("measure the rest; if it cannot be reached, the bounds of each figure say what it may hold, and figures of windows inside need none of it"),
    )
}

/// `None` where nothing was read, or everything up to the poles.
fn of_view(view: &View<'_>) -> Option<Covered> {
    let (n, m) = (view.grid.intervals(), view.grid.phi_count());
    let read = |ring: usize, column: usize| view.states[view.at(ring, column)].is_read();
    let rings: Vec<usize> = (1..n)
        .filter(|ring| (0..m).any(|column| read(*ring, column)))
        .collect();
    let (first, last) = (*rings.first()?, *rings.last()?);
    // A pole alone beside rings that were not read covers nothing.
    let top = if first == 1 { 0 } else { first };
    let bottom = if last + 1 == n { n } else { last };
    let absent: Vec<bool> = (0..m)
        .map(|column| !(first..=last).any(|ring| read(ring, column)))
        .collect();
    let run = longest_run(&absent).filter(|run| run.1 >= FEWEST_COLUMNS);
    let mut outside = 0.0;
    for ring in 0..=n {
        let share = view.grid.cell_share(ring) * m as f64;
        outside += if ring < top || ring > bottom {
            share
        } else if view.grid.is_pole(ring) {
            0.0
        } else {
            share * run.map_or(0.0, |run| run.1 as f64 / m as f64)
        };
    }
    (outside > 0.0).then(|| Covered {
        theta_deg: (view.grid.theta_deg(top), view.grid.theta_deg(bottom)),
        phi_deg: run.map(|(start, count)| {
            let from = view.grid.phi_deg((start + count) % m);
            let to = view.grid.phi_deg((start + m - 1) % m);
            (from, to)
        }),
        outside,
    })
}

/// Start and length of the longest run of `true` around a circle; `None` where there is none, or nothing else.
fn longest_run(absent: &[bool]) -> Option<(usize, usize)> {
    let m = absent.len();
    if absent.iter().all(|a| *a) {
        return None;
    }
    (0..m)
        .filter(|start| absent[*start] && !absent[(start + m - 1) % m])
        .map(|start| {
            let count = (0..m).take_while(|k| absent[(start + k) % m]).count();
            (start, count)
        })
        // The first of equals.
        .reduce(|a, b| if b.1 > a.1 { b } else { a })
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::finding::samples::{clean, sphere_of};
    use crate::model::{Quantity, State};

    /// An isotropic sphere at 15° without the directions (ring, column) that are out.
    fn without(out: impl Fn(usize, usize) -> bool) -> Sphere {
        let mut parts = sphere_of(Quantity::Eirp, (12, 24), |_, _| [0.5, 0.5]).into_parts();
        for ((_, _, d), state) in parts.states.indexed_iter_mut() {
            if out(d / 24, d % 24) {
                *state = State::Missing;
            }
        }
        parts.build().unwrap()
    }

    #[test]
    fn whole_spheres_are_silent() {
        for (name, sphere) in clean() {
            assert!(of_the_sphere(&sphere).is_none(), "{name}");
        }
        // Neither poles that were not read, nor scattered holes, nor one cut are an end of the range.
        assert!(of_the_sphere(&without(|ring, _| ring == 0 || ring == 12)).is_none());
        assert!(of_the_sphere(&without(|ring, column| ring == 5 && column > 3)).is_none());
        assert!(of_the_sphere(&without(|_, column| column == 7)).is_none());
    }

    #[test]
    fn a_cap_that_is_missing_is_named() {
        // Beyond 150°: cells from 157.5° on, (1 − cos 22.5°)/2 = 3.81 % (closed form).
        let found = of_the_sphere(&without(|ring, _| ring > 10)).unwrap();
        assert!(
            found.message.contains("θ 0 to 150° only"),
            "{}",
            found.message
        );
        assert!(found.message.contains("3.8 %"), "{}", found.message);
        // The lower pole alone does not make it whole.
        let found = of_the_sphere(&without(|ring, _| ring == 11 || ring == 10)).unwrap();
        assert!(
            found.message.contains("θ 0 to 135° only"),
            "{}",
            found.message
        );
    }

    #[test]
    fn half_a_turn_is_named() {
        let found = of_the_sphere(&without(|ring, column| column > 12 && ring % 12 != 0)).unwrap();
        assert!(
            found.message.contains("φ 0 to 180° only"),
            "{}",
            found.message
        );
        // 11 of 24 columns between the poles' caps: cos 7.5° · 11/24 = 45.4 % (closed form).
        assert!(found.message.contains("45.4 %"), "{}", found.message);
        // The range that was read may lie across φ = 0.
        let found = of_the_sphere(&without(|_, column| (6..=18).contains(&column))).unwrap();
        assert!(
            found.message.contains("φ 285 to 75° only"),
            "{}",
            found.message
        );
    }
}
