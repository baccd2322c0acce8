//! The poles, once the polarisations have one scale.

use crate::assemble::{Interval, half_of_total};
use crate::model::sphere::Parts;
use crate::model::{Bound, Data, Grid, Layout, State};

/// The total at a pole is one value, and each polarisation holds half of it: a sum that the losses have to come before.
pub(super) fn join_poles(parts: &mut Parts) {
    let (Grid::EqualAngle(grid), Data::Power(values)) = (&parts.grid, &mut parts.data) else {
        return;
    };
    if parts.layout != Layout::ThetaPhi {
        return;
    }
    let m = grid.phi_count();
    for f in 0..parts.frequencies.len() {
        for ring in [0, grid.intervals()] {
            let of = |p: usize| {
                let at = (f, p, ring * m);
                let (point, state) = (values[at], parts.states[at]);
                let bound = (state != State::Measured)
                    .then(|| parts.bounds.iter().find(|b| b.at == at))
                    .flatten();
                state.is_read().then_some(Interval {
                    point,
                    lower: bound.map_or(point, |b| b.lower),
                    upper: bound.map_or(Some(point), |b| b.upper),
                    state,
                })
            };
            let (Some(theta), Some(phi)) = (of(0), of(1)) else {
                continue;
            };
            let half = half_of_total(theta, phi);
            let here = ring * m..(ring + 1) * m;
            if half.state != State::Measured {
                let elsewhere = |b: &Bound| b.at.0 != f || !here.contains(&b.at.2);
                parts.bounds.retain(elsewhere);
            }
            for at in here.flat_map(|d| [(f, 0, d), (f, 1, d)]) {
                values[at] = half.point;
                parts.states[at] = half.state;
                if half.state != State::Measured {
                    parts.bounds.push(Bound {
                        at,
                        lower: half.lower,
                        upper: half.upper,
                    });
                }
            }
        }
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::correct::testing::{same, sphere};
    use crate::model::Quantity;

    /// Two frequencies, three rings of two columns: 1 + direction + 10·polarisation + 100·frequency.
    fn parts(layout: Layout) -> Parts {
        let power = |(f, p, d)| (1 + d + 10 * p + 100 * f) as f64;
        sphere(Quantity::Eirp, layout, (2, 2), &[None, None], power).into_parts()
    }

    fn values(parts: &Parts) -> &ndarray::Array3<f64> {
        let Data::Power(values) = &parts.data else {
            unreachable!("powers");
        };
        values
    }

    #[test]
    fn each_polarisation_holds_half_of_the_first_direction() {
        let mut parts = parts(Layout::ThetaPhi);
        join_poles(&mut parts);
        for ((f, p, d), value) in values(&parts).indexed_iter() {
            // (1 + 11)/2 at the north pole, (5 + 15)/2 at the south pole, 100 more at the second frequency.
            let wanted = match d {
                0 | 1 => 6 + 100 * f,
                4 | 5 => 10 + 100 * f,
                _ => 1 + d + 10 * p + 100 * f,
            };
            same(*value, wanted as f64);
        }
        assert!(parts.states.iter().all(|s| *s == State::Measured));
        assert!(parts.bounds.is_empty());
    }

    #[test]
    fn marks_come_along() {
        let mut parts = parts(Layout::ThetaPhi);
        let bound = |at, lower, upper| Bound { at, lower, upper };
        // Theta at the south pole of the second frequency is at most 8, others far from it are marked as well.
        for d in [4, 5] {
            parts.states[(1, 0, d)] = State::AtMost;
            parts.bounds.push(bound((1, 0, d), 3.0, Some(8.0)));
        }
        for at in [(1, 0, 2), (0, 1, 3)] {
            parts.states[at] = State::AtMost;
            parts.bounds.push(bound(at, 1.0, Some(2.0)));
        }
        // Nothing is known of phi at the north pole of the first.
        for d in [0, 1] {
            parts.states[(0, 1, d)] = State::Missing;
        }
        join_poles(&mut parts);
        same(values(&parts)[(0, 0, 0)], 1.0);
        same(values(&parts)[(0, 1, 1)], 12.0);
        parts.bounds.sort_by_key(|b| b.at);
        // (3 + 115)/2 and (8 + 115)/2 in each polarisation at each column; the others stay.
        let half = |p, d| bound((1, p, d), 59.0, Some(61.5));
        let wanted = [
            bound((0, 1, 3), 1.0, Some(2.0)),
            bound((1, 0, 2), 1.0, Some(2.0)),
            half(0, 4),
            half(0, 5),
            half(1, 4),
            half(1, 5),
        ];
        assert_eq!(parts.bounds, wanted);
        for (at, state) in parts.states.indexed_iter() {
            let marked = wanted.iter().any(|b| b.at == at);
            assert_eq!(*state == State::AtMost, marked, "{at:?}");
            let of_pole = (1, 4..6);
            if at.0 == of_pole.0 && of_pole.1.contains(&at.2) {
                same(values(&parts)[at], 110.0);
            }
        }
    }

    #[test]
    fn a_total_alone_has_nothing_to_join() {
        let mut total = parts(Layout::TotalOnly);
        let before = values(&total).clone();
        join_poles(&mut total);
        assert_eq!(values(&total), &before);
    }
}
