//! Energy in the highest spherical-harmonic degrees that a grid can tell: what is beyond them is folded into what was read.
//!
//! The total power is developed by the grid's own quadrature, c_lm = Σ w P Y_lm with Clenshaw–Curtis weights in θ and equal ones in φ, which is
//! exact to degree N/2 for a pattern that has no more (closed form). A smooth pattern fades with the degree; one that does not has more detail than the
//! grid. The whole may still be right, of which only the lowest degree is a part: peaks and what lies between the points are not.

use super::Finding;
use super::view::{at_frequency, views};
use crate::harmonic::legendre::{MAX_DEGREE, normalised, position};
use crate::model::Sphere;
use crate::rule::clenshaw_curtis;
use crate::unit::{angle, sum};

/// Share of the energy in the highest third of the degrees that is told. The off-axis beam of κ = 10, whose whole is right to 1e-5 dB at 15°, has 6 %.
const SHARE: f64 = 0.15;
/// With fewer degrees the highest third is one that small antennas have.
const FEWEST: usize = 4;

/// A note on the frequency whose pattern fades least.
pub(super) fn high_degrees(sphere: &Sphere) -> Option<Finding> {
    let (share, f, degree) = views(sphere)
        .chunk_by(|a, b| a.frequency == b.frequency)
        .enumerate()
        .filter_map(|(f, views)| {
            let grid = views.first()?.grid;
            let mut total = vec![0.0; grid.rings() * grid.phi_count()];
            for view in views {
                for (sum, (value, state)) in
                    total.iter_mut().zip(view.values.iter().zip(view.states))
                {
                    *sum += state.is_read().then_some(*value)?;
                }
            }
            let (n, m) = (grid.intervals(), grid.phi_count());
            let (share, degree) = share(&total, n, m)?;
            Some((share, f, degree))
        })
        .reduce(|a, b| if b.0 > a.0 { b } else { a })?;
    (share > SHARE).then(|| {
        Finding::note(
            "harmonics-high",
            format!(
                "{:.0} % of the pattern's energy lie in the highest third of the {degree} harmonic degrees that the grid can tell{}: it has more detail than the grid",
                100.0 * share,
                at_frequency(sphere, f)
            ),
        )
        .advice("the whole is integrated better than that; for peak, windows and directions between the points sweep with half the step")
    })
}

/// Share of the energy in the highest third of the degrees, and the highest degree; `None` where there are too few.
fn share(total: &[f64], n: usize, m: usize) -> Option<(f64, usize)> {
    let degree = (n / 2).min(m.checked_sub(1)? / 2).min(MAX_DEGREE);
    if degree < FEWEST {
        return None;
    }
    let weights = clenshaw_curtis::weights(n);
    // Coefficients of cos mφ and sin mφ at each (l, m).
    let count = position(degree, degree) + 1;
    let (mut even, mut odd) = (vec![0.0; count], vec![0.0; count]);
    for (ring, (row, w)) in total.chunks_exact(m).zip(&weights).enumerate() {
        let legendre = normalised(180.0 * ring as f64 / n as f64, degree);
        for order in 0..=degree {
            let turned = |of: fn(f64) -> f64| {
                let terms: Vec<f64> = row
                    .iter()
                    .enumerate()
                    .map(|(j, p)| p * of(360.0 * ((order * j) % m) as f64 / m as f64))
                    .collect();
                w * sum::in_order(&terms) / m as f64
            };
            let (cosine, sine) = (turned(angle::cos_deg), turned(angle::sin_deg));
            for l in order..=degree {
                let at = position(l, order);
                even[at] += cosine * legendre[at];
                odd[at] += sine * legendre[at];
            }
        }
    }
    let energy: Vec<f64> = (0..=degree)
        .map(|l| {
            let each: Vec<f64> = (0..=l)
                .map(|order| {
                    let at = position(l, order);
                    // Both signs of the order.
                    let times = if order == 0 { 1.0 } else { 2.0 };
                    times * (even[at] * even[at] + odd[at] * odd[at])
                })
                .collect();
            sum::in_order(&each)
        })
        .collect();
    let whole = sum::in_order(&energy);
    let high = sum::in_order(&energy[degree + 1 - degree / 3..]);
    (whole > 0.0).then_some((high / whole, degree))
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::finding::samples::{beam, clean_patterns, of_pattern};
    use crate::harmonic::real_harmonics;

    #[test]
    fn one_harmonic_is_in_its_degree() {
        // Y_00 and a tenth of Y_6,3 at 10°: the energy of the second is 1 % of the first (orthonormal), in the highest third of nine or not.
        let (n, m) = (18, 36);
        for (l, high) in [(6, 0.0), (7, 0.01 / 1.01)] {
            let total: Vec<f64> = (0..=n)
                .flat_map(|i| (0..m).map(move |j| (i, j)))
                .map(|(i, j)| {
                    let y = real_harmonics(10.0 * i as f64, 10.0 * j as f64, l);
                    y[0] + 0.1 * y[crate::harmonic::index(l, 3)]
                })
                .collect();
            let (share, degree) = share(&total, n, m).unwrap();
            assert_eq!(degree, 9);
            assert!((share - high).abs() < 1e-12, "{l}: {share}");
        }
    }

    #[test]
    fn clean_spheres_are_silent_and_narrow_beams_are_told() {
        for (name, pattern, shape) in clean_patterns() {
            assert!(
                high_degrees(&of_pattern(pattern, shape)).is_none(),
                "{name}"
            );
        }
        for (kappa, shape) in [(60.0, (12, 24)), (400.0, (36, 72))] {
            let found = high_degrees(&of_pattern(beam(kappa), shape)).unwrap();
            assert_eq!(found.code, "harmonics-high");
        }
        // The same beams on grids that tell them.
        assert!(high_degrees(&of_pattern(beam(60.0), (36, 72))).is_none());
    }
}
