//! Rings, columns and marks.

use super::*;

#[test]
fn rings_and_columns_are_the_nearest() {
    let grid = EqualAngleGrid::try_new(4, 4, 10.0).unwrap();
    for (phi, want) in [
        (0.0, 0),
        (10.0, 0),
        (54.9, 0),
        (55.1, 1),
        (324.9, 3),
        (325.1, 0),
        (359.0, 0),
    ] {
        assert_eq!(column(&grid, phi), want, "{phi}");
    }
    for (theta, want) in [
        (0.0, 0),
        (22.4, 0),
        (22.6, 1),
        (157.4, 3),
        (157.6, 4),
        (180.0, 4),
    ] {
        assert_eq!(ring(&grid, theta), want, "{theta}");
    }
}

#[test]
fn marks_become_points_and_bounds() {
    // The table in the documentation of `of_reading`, with X = 4: X/2 = 2, 1/X = 0.25.
    for (quantity, mark, point, lower, upper, state) in [
        (
            Quantity::Eirp,
            Mark::Exact,
            4.0,
            4.0,
            Some(4.0),
            State::Measured,
        ),
        (
            Quantity::Gain,
            Mark::AtMost,
            2.0,
            0.0,
            Some(4.0),
            State::AtMost,
        ),
        (
            Quantity::Eirp,
            Mark::AtLeast,
            4.0,
            4.0,
            None,
            State::AtLeast,
        ),
        (
            Quantity::Eis,
            Mark::Exact,
            0.25,
            0.25,
            Some(0.25),
            State::Measured,
        ),
        (
            Quantity::Eis,
            Mark::AtLeast,
            0.0,
            0.0,
            Some(0.25),
            State::AtLeast,
        ),
        (
            Quantity::InstrumentLevel,
            Mark::AtMost,
            0.25,
            0.25,
            None,
            State::AtMost,
        ),
    ] {
        let want = Interval {
            point,
            lower,
            upper,
            state,
        };
        assert_eq!(Interval::of_reading(quantity, 4.0, mark), want);
    }
    let lost = Interval::of_reading(Quantity::Eis, f64::INFINITY, Mark::AtLeast);
    assert_eq!((lost.point, lost.lower, lost.upper), (0.0, 0.0, None));
    let of = |x, mark| Interval::of_reading(Quantity::Eirp, x, mark);
    // (6 + 4/2)/2 in (6 + 0)/2 … (6 + 4)/2.
    let mean = Interval::mean(&mut [of(6.0, Mark::Exact), of(4.0, Mark::AtMost)]).unwrap();
    assert_eq!(
        (mean.point, mean.lower, mean.upper, mean.state),
        (4.0, 3.0, Some(5.0), State::AtMost)
    );
    let mean = Interval::mean(&mut [of(6.0, Mark::AtLeast), of(4.0, Mark::AtMost)]).unwrap();
    assert_eq!((mean.upper, mean.state), (None, State::AtLeast));
    assert_eq!(Interval::mean(&mut []), None);
    use State::{AtLeast, AtMost, Filled, Measured, Missing};
    for (a, b, want) in [
        (Measured, Measured, Measured),
        (Measured, AtMost, AtMost),
        (AtMost, AtLeast, AtLeast),
        (Filled, AtLeast, AtLeast),
        (Missing, AtMost, AtMost),
        (Measured, Missing, Missing),
        (Missing, Filled, Filled),
    ] {
        assert_eq!(
            (interval::joined(a, b), interval::joined(b, a)),
            (want, want)
        );
    }
}
