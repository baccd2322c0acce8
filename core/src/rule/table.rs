//! Ring weights of one grid, computed once for all frequencies.

use crate::rule::{Edges, Rule, Window};

/// Weights of the whole sphere and of a list of windows, for N θ intervals.
#[derive(Clone, Debug)]
pub struct WeightTable {
    intervals: usize,
    whole: Vec<(Rule, Vec<f64>)>,
    windows: Vec<(Window, Edges, Vec<f64>)>,
}

impl WeightTable {
    /// Computes the weights of all rules, and of both forms of the windows; half-weighted where the edges lie on rings.
    #[must_use]
    pub fn new(intervals: usize, windows: &[Window]) -> Self {
        let mut table = Self {
            intervals,
            whole: Rule::ALL
                .into_iter()
                .map(|rule| (rule, rule.weights(intervals)))
                .collect(),
            windows: Vec::new(),
        };
        for window in windows {
            if table.windows.iter().any(|w| w.0 == *window) {
                continue;
            }
            if window.edges_on_rings(intervals) {
                let half = window.half_weights(intervals);
                table.windows.push((*window, Edges::Half, half));
            }
            let exact = window.exact_weights(intervals);
            table.windows.push((*window, Edges::Exact, exact));
        }
        table
    }

    /// N.
    #[must_use]
    pub fn intervals(&self) -> usize {
        self.intervals
    }

    /// Weights of the whole sphere.
    #[must_use]
    pub fn whole(&self, rule: Rule) -> &[f64] {
        self.whole
            .iter()
            .find(|w| w.0 == rule)
            .map_or(&[], |w| &w.1)
    }

    /// Weights of a window in a form; `None` where its edges are on no rings, or it is not in the table.
    #[must_use]
    pub fn window(&self, window: Window, edges: Edges) -> Option<&[f64]> {
        self.windows
            .iter()
            .find(|w| w.0 == window && w.1 == edges)
            .map(|w| w.2.as_slice())
    }
}
