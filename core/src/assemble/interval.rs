//! A reading as a point and its bounds, in terms of what integrates.

use crate::model::{Mark, Quantity, State};

/// Point value and bounds: W or ratio for powers and gains, 1/W for sensitivities.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Interval {
    /// What stands for the reading in every sum.
    pub point: f64,
    /// Not less than this.
    pub lower: f64,
    /// Not more than this; `None`: no upper bound.
    pub upper: Option<f64>,
    /// State of the sample, in terms of the quantity.
    pub state: State,
}

impl Interval {
    /// The rules for marks:
    ///
    /// | reading | point | lower | upper |
    /// |---|---|---|---|
    /// | power X | X | X | X |
    /// | power `<X` | X/2 | 0 | X |
    /// | power `>X` (overload) | X | X | – |
    /// | sensitivity X | 1/X | 1/X | 1/X |
    /// | sensitivity `>X` (link lost at X) | 0 | 0 | 1/X, none where X is unknown |
    /// | sensitivity `<X` (better than the lowest level) | 1/X | 1/X | – |
    pub fn of_reading(quantity: Quantity, value: f64, mark: Mark) -> Self {
        let (point, lower, upper, state) = match (quantity.is_sensitivity(), mark) {
            (false, Mark::Exact) => (value, value, Some(value), State::Measured),
            (false, Mark::AtMost) => (value / 2.0, 0.0, Some(value), State::AtMost),
            (false, Mark::AtLeast) => (value, value, None, State::AtLeast),
            (true, Mark::Exact) => (1.0 / value, 1.0 / value, Some(1.0 / value), State::Measured),
            (true, Mark::AtLeast) => (
                0.0,
                0.0,
                value.is_finite().then(|| 1.0 / value),
                State::AtLeast,
            ),
            (true, Mark::AtMost) => (1.0 / value, 1.0 / value, None, State::AtMost),
        };
        Self {
            point,
            lower,
            upper,
            state,
        }
    }

    /// Mean of several, in an order of their own. The state is `Measured` only if all are.
    pub fn mean(of: &mut [Self]) -> Option<Self> {
        of.sort_unstable_by(|a, b| {
            a.point
                .total_cmp(&b.point)
                .then(a.lower.total_cmp(&b.lower))
                .then(a.state.cmp(&b.state))
        });
        let n = of.len() as f64;
        let first = of.first()?;
        let mut sum = Self {
            point: 0.0,
            lower: 0.0,
            upper: Some(0.0),
            state: first.state,
        };
        for one in of.iter() {
            sum.point += one.point;
            sum.lower += one.lower;
            sum.upper = sum.upper.zip(one.upper).map(|(a, b)| a + b);
            sum.state = joined(sum.state, one.state);
        }
        Some(Self {
            point: sum.point / n,
            lower: sum.lower / n,
            upper: sum.upper.map(|u| u / n),
            state: sum.state,
        })
    }
}

/// State of a sample made of two: marks win over measured ones, `AtLeast` over `AtMost`.
pub(crate) fn joined(a: State, b: State) -> State {
    if a == State::AtLeast || b == State::AtLeast {
        State::AtLeast
    } else if a == State::AtMost || b == State::AtMost {
        State::AtMost
    } else {
        a.max(b)
    }
}
