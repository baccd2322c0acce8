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
