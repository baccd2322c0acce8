//! A grid that is too coarse for the pattern: every second ring, or every second column, gives another whole.
//!
//! A pattern that half of the points integrate as well as all of them has no structure that the grid could miss. Each half is
//! integrated by a rule that is exact for smooth patterns, so that no rule's own bias is told as coarseness: even rings by
//! Clenshaw–Curtis (Fejér's second rule where a pole was not read), odd rings by Fejér's first.

use super::Finding;
use super::view::{View, at_frequency, views};
use crate::model::Sphere;
use crate::rule::clenshaw_curtis;
use crate::unit::{angle, level, sum};

/// Halves that differ by more than this: a finding, dB. The off-axis beam of κ = 10, which is sampled well at 15°, reaches 0.1 dB.
const TOLERANCE_DB: f64 = 0.5;
/// Fewer θ intervals in a half than this leave Fejér's second rule exact for nothing.
const FEWEST_WITHOUT_POLES: usize = 5;
/// Fewer columns in a half than this see no pattern at all.
const FEWEST_COLUMNS: usize = 4;

/// Warns of halves of the grid that differ.
pub(super) fn too_coarse(sphere: &Sphere) -> Option<Finding> {
    let mut worst: Option<(f64, usize, &str, f64)> = None;
    let views = views(sphere);
    for (f, views) in views
        .chunk_by(|a, b| a.frequency == b.frequency)
        .enumerate()
    {
        for (difference_db, axis, step_deg) in of_frequency(views) {
            if difference_db.abs() > TOLERANCE_DB
                && worst.is_none_or(|w| difference_db.abs() > w.0.abs())
            {
                worst = Some((difference_db, f, axis, step_deg));
            }
        }
    }
    let (difference_db, f, axis, step_deg) = worst?;
    let at = at_frequency(sphere, f);
    Some(
        Finding::warning(
            "grid-coarse",
            format!(
                "every second {axis} alone gives a whole that differs by {:.2} dB from what the others give{at}: the pattern changes quickly for a step of {}°",
                difference_db.abs(),
                super::view::Short(step_deg)
            ),
        )
        .effect_db(difference_db.abs() / 2.0)
        .advice("sweep with half the step; a smooth pattern is integrated much better by all points than by half of them, so that this is the most to expect; single wrong readings, and noise without --floor, look the same"),
    )
}

/// Even against odd halves in dB, with what is halved and its step, along the axes that can be halved; of the views of one frequency.
fn of_frequency(views: &[View<'_>]) -> Vec<(f64, &'static str, f64)> {
    let Some(grid) = views.first().map(|view| view.grid) else {
        return Vec::new();
    };
    let (n, m) = (grid.intervals(), grid.phi_count());
    let mut total = vec![0.0; (n + 1) * m];
    let mut poles_read = true;
    for view in views {
        for (at, (value, state)) in view.values.iter().zip(view.states).enumerate() {
            if state.is_read() {
                total[at] += value;
            } else if grid.is_pole(at / m) {
                poles_read = false;
            } else {
                return Vec::new();
            }
        }
    }
    let ring_means = |from: usize, step: usize| -> Vec<f64> {
        total
            .chunks_exact(m)
            .map(|ring| {
                let some: Vec<f64> = ring.iter().skip(from).step_by(step).copied().collect();
                sum::mean(&some).unwrap_or(0.0)
            })
            .collect()
    };
    let mut found = Vec::new();
    let mut tell = |even: f64, odd: f64, axis, step_deg| {
        if even > 0.0 && odd > 0.0 {
            found.push((level::db_from_ratio(even / odd), axis, step_deg));
        }
    };
    let whole = |n: usize| {
        if poles_read {
            clenshaw_curtis::weights(n)
        } else {
            fejer_second(n)
        }
    };
    if m % 2 == 0 && m / 2 >= FEWEST_COLUMNS && (poles_read || n >= FEWEST_WITHOUT_POLES) {
        let weights = whole(n);
        let of = |from| weighted(&weights, &ring_means(from, 2));
        tell(of(0), of(1), "column", grid.phi_step_deg());
    }
    if n % 2 == 0 && n >= 6 && (poles_read || n / 2 >= FEWEST_WITHOUT_POLES) {
        let means = ring_means(0, 1);
        let every_second =
            |from: usize| -> Vec<f64> { means.iter().skip(from).step_by(2).copied().collect() };
        tell(
            weighted(&whole(n / 2), &every_second(0)),
            weighted(&fejer_first(n / 2), &every_second(1)),
            "ring",
            grid.theta_step_deg(),
        );
    }
    found
}

fn weighted(weights: &[f64], means: &[f64]) -> f64 {
    let products: Vec<f64> = weights.iter().zip(means).map(|(w, p)| w * p).collect();
    sum::in_order(&products) / 2.0
}

/// Fejér's first rule, rings in the middle of n equal intervals: w_k = (2/n)[1 − 2 Σ_{j=1}^{⌊n/2⌋} cos(2jθ_k)/(4j²−1)],
/// θ_k = (k+½)π/n; exact for polynomials in cos θ of degree < n. Source: Fejér 1933 (from memory).
fn fejer_first(n: usize) -> Vec<f64> {
    (0..n)
        .map(|k| {
            let theta_deg = (k as f64 + 0.5) * 180.0 / n as f64;
            let terms: Vec<f64> = (1..=n / 2)
                .map(|j| {
                    let j = j as f64;
                    angle::cos_deg(2.0 * j * theta_deg) / (4.0 * j * j - 1.0)
                })
                .collect();
            2.0 / n as f64 * (1.0 - 2.0 * sum::in_order(&terms))
        })
        .collect()
}

/// Fejér's second rule, the inner rings of n intervals, 0 at the poles: w_k = (4 sin θ_k/n) Σ_{j=1}^{⌊n/2⌋} sin((2j−1)θ_k)/(2j−1),
/// θ_k = kπ/n; exact for polynomials in cos θ of degree < n − 1. Source: Fejér 1933 (from memory).
fn fejer_second(n: usize) -> Vec<f64> {
    (0..=n)
        .map(|k| {
            let theta_deg = 180.0 * k as f64 / n as f64;
            let terms: Vec<f64> = (1..=n / 2)
                .map(|j| {
                    let odd = 2.0 * j as f64 - 1.0;
                    angle::sin_deg(odd * theta_deg) / odd
                })
                .collect();
            4.0 * angle::sin_deg(theta_deg) / n as f64 * sum::in_order(&terms)
        })
        .collect()
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::finding::samples::{beam, clean_patterns, of_pattern};
    use crate::model::State;
    use crate::table::pattern::Pattern;

    #[test]
    fn weights_integrate_what_they_promise() {
        // ½∫ cosᵏθ d(cos θ) = 1/(k+1) for even k (closed form).
        for n in 3..=16_usize {
            let first: Vec<(f64, f64)> = fejer_first(n)
                .into_iter()
                .enumerate()
                .map(|(k, w)| (w, (k as f64 + 0.5) * 180.0 / n as f64))
                .collect();
            let second: Vec<(f64, f64)> = fejer_second(n)
                .into_iter()
                .enumerate()
                .map(|(k, w)| (w, k as f64 * 180.0 / n as f64))
                .collect();
            for (rule, degree) in [(first, n - 1), (second, n - 2)] {
                for k in (0..=degree).step_by(2) {
                    let mean: f64 = rule
                        .iter()
                        .map(|(w, t)| w / 2.0 * (0..k).fold(1.0, |x, _| x * angle::cos_deg(*t)))
                        .sum();
                    assert!(
                        (mean - 1.0 / (k as f64 + 1.0)).abs() < 1e-14,
                        "{n} {k}: {mean}"
                    );
                }
            }
        }
    }

    #[test]
    fn clean_spheres_are_silent() {
        for (name, pattern, shape) in clean_patterns() {
            let sphere = of_pattern(pattern, shape);
            assert_eq!(
                of_frequency(&views(&sphere)).len(),
                2,
                "{name}: nothing was tried"
            );
            let found = too_coarse(&sphere);
            assert!(found.is_none(), "{name} {found:?}");
        }
    }

    #[test]
    fn a_beam_narrower_than_the_grid_is_told() {
        for (kappa, (n, m)) in [(10.0, (6, 12)), (60.0, (12, 24)), (400.0, (36, 72))] {
            let sphere = of_pattern(beam(kappa), (n, m));
            let told = too_coarse(&sphere).unwrap().effect_db.unwrap();
            assert!(told > TOLERANCE_DB / 2.0);
            // What the whole grid gives against the closed form: not more than what was told.
            let mut rings = vec![0.0; n + 1];
            for view in views(&sphere) {
                for (at, value) in view.values.iter().enumerate() {
                    rings[at / m] += value / m as f64;
                }
            }
            let whole = weighted(&clenshaw_curtis::weights(n), &rings);
            let error_db = level::db_from_ratio(whole / (0.1 * beam(kappa).mean()));
            assert!(
                error_db.abs() <= told,
                "{kappa}: {error_db} dB, told {told}"
            );
        }
    }

    #[test]
    fn where_a_pole_was_not_read_the_halves_are_judged_without_it() {
        for (pattern, told) in [(Pattern::XDipole, false), (beam(60.0), true)] {
            let mut parts = of_pattern(pattern, (12, 24)).into_parts();
            for at in (0..24).chain(12 * 24..13 * 24) {
                for p in 0..2 {
                    parts.states[(0, p, at)] = State::Missing;
                }
            }
            let sphere = parts.build().unwrap();
            assert_eq!(of_frequency(&views(&sphere)).len(), 2);
            assert_eq!(too_coarse(&sphere).is_some(), told);
        }
    }
}
