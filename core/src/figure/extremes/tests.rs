//! Peaks and minima of totals that are whole numbers.

#![allow(clippy::unwrap_used)]

use super::*;
use crate::figure::samples::{M, Parts};
use crate::model::Layout;

/// N = 4, three columns: totals of 15 and 16 at the poles and 10 + direction, 13 … 21, between them.
fn parts() -> Parts {
    Parts::new(4, Layout::ThetaPhi, |p, ring, j| match (p, ring) {
        (1, _) => 10.0,
        (_, 0) => 5.0,
        (_, 4) => 6.0,
        _ => (ring * M + j) as f64,
    })
}

fn find(parts: &Parts) -> Option<Extremes> {
    Extremes::find(&parts.sphere(), &parts.grid(), 1)
}

fn extreme(value: f64, direction: usize) -> Extreme {
    Extreme { value, direction }
}

/// What `parts()` has where all is measured.
fn measured() -> Extremes {
    Extremes {
        largest: extreme(21.0, 11),
        smallest: extreme(13.0, 3),
        largest_lower: 21.0,
        largest_upper: Some(21.0),
        smallest_lower: 13.0,
        smallest_upper: Some(13.0),
        unread: 0,
        rises_to_pole: false,
    }
}

#[test]
fn measured_spheres_have_their_largest_and_smallest() {
    assert_eq!(find(&parts()), Some(measured()));
    // Totals alone, the largest and the smallest at the poles; the first of equals.
    let of = |poles: [f64; 2]| {
        let parts = Parts::new(4, Layout::TotalOnly, |_, ring, j| match ring {
            0 => poles[0],
            4 => poles[1],
            _ => [5.0, 3.0, 5.0][j],
        });
        let found = find(&parts).unwrap();
        (found.largest, found.smallest)
    };
    assert_eq!(of([1.0, 9.0]), (extreme(9.0, 12), extreme(1.0, 0)));
    assert_eq!(of([9.0, 1.0]), (extreme(9.0, 0), extreme(1.0, 12)));
    assert_eq!(of([4.0, 4.0]), (extreme(5.0, 3), extreme(3.0, 4)));
    assert_eq!(of([5.0, 3.0]), (extreme(5.0, 0), extreme(3.0, 4)));
}

#[test]
fn marks_widen_the_side_they_are_on() {
    // Theta of direction 3 stands at 3 in 0 … 6: its total in 10 … 16; but direction 4 is 14.
    let mut low = parts();
    low.mark(0, 3, State::AtMost, 0.0, Some(6.0));
    let mut want = measured();
    (want.smallest_lower, want.smallest_upper) = (10.0, Some(14.0));
    assert_eq!(find(&low), Some(want));
    // Theta of direction 11 in 0 … 22: the total in 10 … 32; direction 10 is 20.
    let mut high = parts();
    high.mark(0, 11, State::AtMost, 0.0, Some(22.0));
    let mut want = measured();
    (want.largest_lower, want.largest_upper) = (20.0, Some(32.0));
    want.smallest_lower = 10.0;
    assert_eq!(find(&high), Some(want));
    // Phi of direction 11 may be anything above, of direction 3 too: the smallest is still no more than 14.
    let mut open = parts();
    open.mark(1, 3, State::AtLeast, 10.0, None);
    open.mark(1, 11, State::AtLeast, 10.0, None);
    let mut want = measured();
    (want.largest_upper, want.smallest_upper) = (None, Some(14.0));
    assert_eq!(find(&open), Some(want));
    // Equals: the first is named here too.
    let mut equal = Parts::new(4, Layout::TotalOnly, |_, _, _| 2.0);
    equal.mark(0, 5, State::AtMost, 0.0, Some(2.0));
    let found = find(&equal).unwrap();
    assert_eq!(
        (found.largest, found.smallest),
        (extreme(2.0, 0), extreme(2.0, 0))
    );
    assert_eq!((found.largest_lower, found.smallest_lower), (2.0, 0.0));
}

#[test]
fn what_was_not_read_is_no_extreme_but_bounds_it() {
    let filled = |d: usize, upper: f64| {
        let mut parts = parts();
        parts.mark(1, d, State::Filled, 0.0, Some(upper));
        find(&parts).unwrap()
    };
    let mut want = measured();
    (want.unread, want.smallest_lower) = (1, 0.0);
    // Direction 7: theta 7 and phi of at most 30.
    want.largest_upper = Some(37.0);
    assert_eq!(filled(7, 30.0), want);
    // Direction 11 left out: direction 10 is the largest, and 11 + 8 is no more.
    (want.largest, want.largest_lower, want.largest_upper) = (extreme(20.0, 10), 20.0, Some(20.0));
    assert_eq!(filled(11, 8.0), want);
    // Nothing bounds what is missing.
    let mut missing = parts();
    missing.states[(1, 1, 7)] = State::Missing;
    let mut want = measured();
    (want.unread, want.smallest_lower, want.largest_upper) = (1, 0.0, None);
    assert_eq!(find(&missing), Some(want));
    let mut nothing = parts();
    nothing.states.fill(State::Missing);
    assert_eq!(find(&nothing), None);
}

#[test]
fn a_pattern_may_rise_to_a_pole_that_was_not_read() {
    let without = |ring: usize, change: &dyn Fn(&mut Parts)| {
        let mut parts = parts();
        for d in ring * M..(ring + 1) * M {
            for p in 0..2 {
                parts.states[(1, p, d)] = State::Missing;
                parts.values[(1, p, d)] = 0.0;
            }
        }
        change(&mut parts);
        find(&parts).unwrap()
    };
    // Rings 1, 2 and 3 reach 15, 18 and 21: they rise to the south.
    let south = without(4, &|_| {});
    assert!(south.rises_to_pole);
    assert_eq!((south.largest_upper, south.unread), (None, 1));
    let north = without(0, &|_| {});
    assert!(!north.rises_to_pole);
    assert_eq!((north.largest_upper, north.unread), (Some(21.0), 1));
    // As much as the next ring is no rise, a little more is one.
    assert!(!without(0, &|p| p.values[(1, 0, 5)] = 8.0).rises_to_pole);
    assert!(without(0, &|p| p.values[(1, 0, 5)] = 8.001).rises_to_pole);
    // Nobody knows where the ring beside was not read.
    let unknown = |p: &mut Parts| (3..6).for_each(|d| p.mark(0, d, State::Filled, 0.0, Some(1.0)));
    assert!(without(0, &unknown).rises_to_pole);
}
