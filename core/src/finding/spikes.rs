//! Single readings that stand out of a smooth pattern: a dropped call, a step of power, a disturbance.
//!
//! Each sample is held against what its neighbours on the ring and on the cut say of it. Four neighbours at equal steps give the
//! cubic through them: (4(p₋₁ + p₊₁) − (p₋₂ + p₊₂))/6 (closed form). A pattern has departures of its own, where it bends, but
//! then its diagonal neighbours, in whose estimates the sample has no part, have them too. A sample stands out where its departure is
//! many times theirs.

use super::Finding;
use super::view::{View, at_frequency, views};
use crate::model::{Sphere, State};
use crate::unit::{level, sum};

/// A sample stands out by at least this, in either direction, dB.
const LEAST_DB: f64 = 2.0;
/// Departure of a sample over those of its diagonal neighbours, of which the largest is left out. Without a fault the nulls of an x dipole
/// on 30° reach between 5 and 6, sums of dipoles on 15° between 3 and 4 (tried on 400 of them).
const TIMES: f64 = 8.0;
/// Departures below this share of the largest sample are rounding.
const ROUNDING: f64 = 1e-6;
/// Fewer diagonal neighbours than this say nothing.
const FEWEST: usize = 6;
/// Fewer columns than this have no neighbours apart.
const FEWEST_COLUMNS: usize = 8;
/// A reading of nothing is so much below its neighbours for the list, a ratio.
const SMALLEST: f64 = 1e-9;
/// So many directions are named.
const NAMED: usize = 4;

/// A sample that stands out: its size in dB, its view and its direction.
struct Spike {
    size_db: f64,
    view: usize,
    index: usize,
}

/// Warns of single samples that stand out, the worst first.
pub(super) fn standing_out(sphere: &Sphere) -> Option<Finding> {
    let views = views(sphere);
    let mut all: Vec<Spike> = Vec::new();
    // Sums of each frequency as they are, and what the spikes add to them.
    let mut sums = vec![(0.0, 0.0); sphere.frequencies().len()];
    for (v, view) in views.iter().enumerate() {
        let share = |index: usize| view.grid.cell_share(index / view.grid.phi_count());
        for (index, estimate) in of_view(view) {
            let value = view.values[index];
            sums[view.frequency].1 += (value - estimate) * share(index);
            all.push(Spike {
                size_db: level::db_from_ratio((value / estimate).max(SMALLEST)),
                view: v,
                index,
            });
        }
    }
    if all.is_empty() {
        return None;
    }
    for view in &views {
        for (ring, row) in view.values.chunks_exact(view.grid.phi_count()).enumerate() {
            sums[view.frequency].0 += sum::in_order(row) * view.grid.cell_share(ring);
        }
    }
    let effect_db = sums
        .into_iter()
        .filter(|(whole, excess)| *whole > 0.0 && whole > excess)
        .map(|(whole, excess)| level::db_from_ratio(whole / (whole - excess)))
        .fold(0.0_f64, |a, b| if b.abs() > a.abs() { b } else { a });
    let sensitivity = sphere.quantity().is_sensitivity();
    let effect_db = if sensitivity { -effect_db } else { effect_db };
    // A stable sort: equals stay in the order of the sphere.
    all.sort_by(|a, b| b.size_db.abs().total_cmp(&a.size_db.abs()));
    let named: Vec<String> = all
        .iter()
        .take(NAMED)
        .filter_map(|spike| {
            let view = views.get(spike.view)?;
            let size_db = if sensitivity {
                -spike.size_db
            } else {
                spike.size_db
            };
            let direction = view.direction(spike.index);
            let at = at_frequency(sphere, view.frequency);
            Some(format!(
                "{} {direction} {size_db:+.1} dB{at}",
                view.polarisation
            ))
        })
        .collect();
    let more = match all.len().saturating_sub(NAMED) {
        0 => String::new(),
        n => format!(", and {n} more"),
    };
    let what = match all.len() {
        1 => "a single sample stands".to_string(),
        n => format!("{n} single samples stand"),
    };
    Some(
        Finding::warning(
            "spikes",
            format!(
                "{what} out of the pattern around: {}{more}; with what the neighbours say instead, the whole changes by {:+.2} dB",
                named.join("; "),
                -effect_db
            ),
        )
        .effect_db(effect_db)
        .advice("measure these directions again; only a beam or a null narrower than the grid looks the same"),
    )
}

/// An axis along which neighbours are looked at.
#[derive(Clone, Copy)]
enum Axis {
    Ring,
    Cut,
}

/// Samples of a view that stand out, with what their neighbours say of them.
fn of_view(view: &View<'_>) -> Vec<(usize, f64)> {
    if view.grid.phi_count() < FEWEST_COLUMNS {
        return Vec::new();
    }
    let rounding = ROUNDING * view.values.iter().copied().fold(0.0, f64::max);
    let mut found: Vec<(usize, f64)> = view
        .inner()
        .filter_map(|index| stands_out(view, index, rounding).map(|estimate| (index, estimate)))
        .collect();
    // A spike spoils what is said of its neighbours: of those that share a stencil, the largest departure stays.
    let departure = |(index, estimate): (usize, f64)| (view.values[index] - estimate).abs();
    found.sort_by(|a, b| departure(*b).total_cmp(&departure(*a)));
    let mut spoilt = vec![false; view.values.len()];
    found.retain(|(index, _)| {
        let keep = !spoilt[*index];
        if keep {
            for other in stencil(view, *index) {
                spoilt[other] = true;
            }
        }
        keep
    });
    found
}

/// Directions of one ring or one cut with another, no more than two steps away.
fn stencil(view: &View<'_>, index: usize) -> Vec<usize> {
    let (n, m) = (view.grid.intervals(), view.grid.phi_count());
    let (ring, column) = (index / m, index % m);
    let along = [1, 2, m - 2, m - 1].map(|step| view.at(ring, (column + step) % m));
    let across = ring.saturating_sub(2)..=(ring + 2).min(n);
    along
        .into_iter()
        .chain(across.map(|other| view.at(other, column)))
        .collect()
}

/// What the neighbours say of a sample that stands out along its ring, and along its cut where that can be judged; `None` of others.
fn stands_out(view: &View<'_>, index: usize, rounding: f64) -> Option<f64> {
    let m = view.grid.phi_count();
    let (ring, column) = (index / m, index % m);
    let value = view.values[index];
    let ratio = level::ratio_from_db(LEAST_DB);
    let (mut up, mut down) = (true, true);
    let (mut said, mut count) = (0.0, 0);
    for axis in [Axis::Ring, Axis::Cut] {
        let Some(estimate) = estimate(view, ring, column, axis) else {
            continue;
        };
        up &= value > ratio * estimate;
        down &= estimate > ratio * value;
        let departure = (value - estimate).abs();
        if !(up || down) || departure <= rounding {
            return None;
        }
        match around(view, ring, column, axis) {
            Some(of_others) if departure > TIMES * of_others => {}
            None if count > 0 => {}
            _ => return None,
        }
        said += estimate;
        count += 1;
    }
    (count > 0 && said > 0.0).then(|| said / f64::from(count))
}

/// The cubic through two neighbours on either side, along the ring or the cut; `None` where one was not measured, or across a pole,
/// over which a polarisation is not continued.
fn estimate(view: &View<'_>, ring: usize, column: usize, axis: Axis) -> Option<f64> {
    let (n, m) = (view.grid.intervals(), view.grid.phi_count());
    let measured = |ring: usize, column: usize| {
        let at = view.at(ring, column % m);
        (view.states[at] == State::Measured).then(|| view.values[at])
    };
    measured(ring, column)?;
    let (near, far) = match axis {
        Axis::Ring => (
            measured(ring, column + 1)? + measured(ring, column + m - 1)?,
            measured(ring, column + 2)? + measured(ring, column + m - 2)?,
        ),
        Axis::Cut if ring > 2 && ring + 2 < n => (
            measured(ring - 1, column)? + measured(ring + 1, column)?,
            measured(ring - 2, column)? + measured(ring + 2, column)?,
        ),
        Axis::Cut => return None,
    };
    Some((4.0 * near - far) / 6.0)
}

/// The second largest departure of the diagonal neighbours, one or two steps away along both axes.
fn around(view: &View<'_>, ring: usize, column: usize, axis: Axis) -> Option<f64> {
    let (n, m) = (view.grid.intervals(), view.grid.phi_count());
    let (mut first, mut second, mut count) = (0.0_f64, 0.0_f64, 0);
    for other in ring.saturating_sub(2).max(1)..=(ring + 2).min(n - 1) {
        if other == ring {
            continue;
        }
        for column in [column + 1, column + 2, column + m - 1, column + m - 2] {
            let column = column % m;
            let Some(estimate) = estimate(view, other, column, axis) else {
                continue;
            };
            let departure = (view.values[view.at(other, column)] - estimate).abs();
            count += 1;
            second = second.max(departure.min(first));
            first = first.max(departure);
        }
    }
    (count >= FEWEST).then_some(second)
}

#[cfg(test)]
#[allow(clippy::unwrap_used, clippy::expect_used)]
mod tests {
    use super::*;
    use crate::finding::samples::{beam, clean, clean_patterns, of_pattern, sphere_of};
    use crate::model::Quantity;

    #[test]
    fn nulls_and_beams_are_silent() {
        for (name, sphere) in clean() {
            assert!(
                standing_out(&sphere).is_none(),
                "{name}: {:?}",
                standing_out(&sphere)
            );
        }
        for kappa in [1.0, 3.0, 20.0, 30.0] {
            assert!(
                standing_out(&of_pattern(beam(kappa), (12, 24))).is_none(),
                "{kappa}"
            );
        }
    }

    #[test]
    fn one_wrong_reading_is_found_in_every_pattern() {
        let mut tried = 0;
        for (name, pattern, (n, m)) in clean_patterns() {
            // Where theta is strongest, poles left out.
            let grid = crate::model::EqualAngleGrid::try_new(n, m, 0.0).unwrap();
            let inner = grid.distinct().filter(|d| !grid.is_pole(d / m));
            let (theta, phi) = inner
                .map(|d| (grid.theta_deg(d / m), grid.phi_deg(d % m)))
                .reduce(|a, b| {
                    let of = |at: (f64, f64)| pattern.power(at.0, at.1)[0];
                    if of(b) > of(a) * (1.0 + 1e-9) { b } else { a }
                })
                .unwrap();
            if pattern.power(theta, phi)[0] == 0.0 {
                continue;
            }
            for (factor, want_db) in [(10.0, 10.0), (0.01, -20.0)] {
                tried += 1;
                let sphere = sphere_of(Quantity::Eirp, (n, m), |t, p| {
                    let [a, b] = pattern.power(t, p);
                    let wrong = t == theta && p == phi;
                    [if wrong { factor * a } else { a }, b]
                });
                let found = standing_out(&sphere).expect(&name);
                let message = &found.message;
                assert!(message.starts_with("a single sample"), "{name}: {message}");
                let place = format!("theta θ {theta}°, φ {phi}° ");
                let told = message.split(&place).nth(1).unwrap();
                let told: f64 = told.split(' ').next().unwrap().parse().unwrap();
                // The cubic misses the peak of a pattern by up to a sixth at these steps.
                assert!((told - want_db).abs() < 1.0, "{name}: {told}");
                assert_eq!(found.effect_db.unwrap() > 0.0, factor > 1.0);
            }
        }
        assert_eq!(tried, 28);
    }

    #[test]
    fn noise_on_every_reading_is_no_spike() {
        // A sequence of fixed seed; ±1.5 dB on each reading of a dipole.
        let mut state = 1_u64;
        let mut random = || {
            state = state
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1);
            (state >> 11) as f64 / (1_u64 << 52) as f64 - 1.0
        };
        let factors: Vec<f64> = (0..13 * 24 * 2)
            .map(|_| level::ratio_from_db(1.5 * random()))
            .collect();
        let sphere = sphere_of(Quantity::Eirp, (12, 24), |t, p| {
            let [a, b] = crate::table::pattern::Pattern::XDipole.power(t, p);
            let at = (t / 15.0) as usize * 24 + (p / 15.0) as usize;
            [a * factors[2 * at], b * factors[2 * at + 1]]
        });
        assert!(
            standing_out(&sphere).is_none(),
            "{:?}",
            standing_out(&sphere)
        );
    }
}
