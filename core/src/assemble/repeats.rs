//! Readings of a direction that was read before.

use crate::assemble::interval::Interval;
use crate::finding::{Finding, Severity, seam};
use crate::model::{Grid, Quantity, State};
use crate::unit::{level, sum};
use std::collections::BTreeMap;

/// Repeats beyond this are a warning, dB.
const WARNING_DB: f64 = 0.5;

/// The repeats met so far; the first reading of each slot stays in the arrays.
#[derive(Default)]
pub(crate) struct Repeats {
    /// Slot, reading, and whether it stands at φ = 360°.
    later: Vec<(usize, Interval, bool)>,
    /// Slots whose first reading stands at φ = 360°.
    first_at_seam: Vec<usize>,
    /// Readings that stand at φ = 360°.
    at_seam: usize,
    slots: Vec<usize>,
    /// Slots that were read three times or more, in ascending order.
    often: Vec<usize>,
    /// Means at φ = 360° and at φ = 0° of slots read at both.
    over_seam: Vec<(f64, f64)>,
    worst_ratio: f64,
}

/// True at φ = 360°, as it was written.
fn is_at_seam(phi_deg: f64) -> bool {
    (phi_deg - 360.0).abs() < 0.5
}

impl Repeats {
    /// Looks at the first reading of a slot; `phi_deg` is φ as it was written.
    pub fn first(&mut self, slot: usize, phi_deg: f64) {
        if is_at_seam(phi_deg) {
            self.at_seam += 1;
            self.first_at_seam.push(slot);
        }
    }

    /// Keeps a repeat of a slot; `phi_deg` is φ as it was written.
    pub fn push(&mut self, slot: usize, phi_deg: f64, interval: Interval) {
        let at_seam = is_at_seam(phi_deg);
        self.at_seam += usize::from(at_seam);
        self.later.push((slot, interval, at_seam));
    }

    /// Slots that were read three times or more, in ascending order; known once they are merged.
    pub fn often(&self) -> &[usize] {
        &self.often
    }

    /// Whether the seam closes; known once the repeats are merged.
    pub fn seam(&self, quantity: Quantity) -> Option<Finding> {
        seam(&self.over_seam, quantity.is_sensitivity())
    }

    /// Largest over smallest of the readings of a slot; 0 where nothing was read twice.
    pub fn worst_ratio(&self) -> f64 {
        self.worst_ratio
    }

    /// Averages all readings of each repeated slot into the arrays.
    pub fn merge(
        &mut self,
        values: &mut [f64],
        states: &mut [State],
        marked: &mut BTreeMap<usize, Interval>,
    ) {
        if self.later.is_empty() {
            return;
        }
        self.later.sort_by_key(|r| r.0);
        self.first_at_seam.sort_unstable();
        let mut slots = Vec::new();
        let mut from = 0;
        while let Some((slot, _, _)) = self.later.get(from).copied() {
            let to = from
                + self.later[from..]
                    .iter()
                    .take_while(|r| r.0 == slot)
                    .count();
            let first = marked.remove(&slot).unwrap_or(Interval {
                point: values[slot],
                lower: values[slot],
                upper: Some(values[slot]),
                state: states[slot],
            });
            let mut all: Vec<Interval> = self.later[from..to].iter().map(|r| r.1).collect();
            all.push(first);
            let first_at_seam = self.first_at_seam.binary_search(&slot).is_ok();
            let ends = self.later[from..to]
                .iter()
                .map(|r| (r.1, r.2))
                .chain([(first, first_at_seam)]);
            self.over_seam.extend(over_seam(ends));
            if all.len() > 2 {
                self.often.push(slot);
            }
            self.note_spread(&all);
            if let Some(mean) = Interval::mean(&mut all) {
                values[slot] = mean.point;
                states[slot] = mean.state;
                if mean.state != State::Measured {
                    marked.insert(slot, mean);
                }
            }
            slots.push(slot);
            from = to;
        }
        self.slots = slots;
    }

    fn note_spread(&mut self, all: &[Interval]) {
        let measured = all
            .iter()
            .filter(|i| i.state == State::Measured && i.point > 0.0);
        let (mut low, mut high) = (f64::INFINITY, 0.0_f64);
        for one in measured {
            low = low.min(one.point);
            high = high.max(one.point);
        }
        if high > 0.0 {
            self.worst_ratio = self.worst_ratio.max(high / low);
        }
    }

    /// What a person should know of the repeats.
    pub fn finding(
        &self,
        quantity: Quantity,
        grid: &Grid,
        shape: (usize, usize, usize),
    ) -> Option<Finding> {
        if self.slots.is_empty() {
            return None;
        }
        let spread_db = if self.worst_ratio > 0.0 {
            level::db_from_ratio(self.worst_ratio)
        } else {
            0.0
        };
        let mut share = 0.0;
        if let Some(g) = grid.equal_angle() {
            for slot in &self.slots {
                share += g.cell_share(slot % shape.2 / g.phi_count());
            }
        } else {
            share = self.slots.len() as f64 / shape.2 as f64;
        }
        let percent = 100.0 * share / (shape.0 * shape.1) as f64;
        let seam = if self.at_seam > 0 {
            format!(
                " ({} readings stand at φ = 360°, which is φ = 0°)",
                self.at_seam
            )
        } else {
            String::new()
        };
        let severity = if spread_db > WARNING_DB {
            Severity::Warning
        } else {
            Severity::Note
        };
        Some(
            Finding::new(
                severity,
                "repeats",
                format!(
                    "{} samples of {quantity} were read more than once{seam}: {percent:.1} % of the sphere is double; they were averaged and disagree by {spread_db:.2} dB at most",
                    self.slots.len()
                ),
            )
            .effect_db(spread_db)
            .advice("the spread is a free repeatability test: if it is large, look for drift, or for two runs in one file"),
        )
    }
}

/// Means of the measured readings of a slot at φ = 360° and of the others; `None` where either is absent.
fn over_seam(readings: impl Iterator<Item = (Interval, bool)>) -> Option<(f64, f64)> {
    let (mut last, mut first) = (Vec::new(), Vec::new());
    for (interval, at_seam) in readings.filter(|r| r.0.state == State::Measured) {
        if at_seam {
            last.push(interval.point);
        } else {
            first.push(interval.point);
        }
    }
    sum::mean_of_sorted(&mut last).zip(sum::mean_of_sorted(&mut first))
}
