//! The reference tables against copies of the rules that are wrong on purpose: each must be told.
//!
//! The copy is written here from the formulas (F1, F2, F3, F3b, F4 of the trade's documents) and computes whole-sphere and window figures of
//! the patterns of the tables. As it stands it passes every row, so that a wrong copy fails by its fault and by nothing else.

#![allow(clippy::unwrap_used, clippy::panic)]

use spheresum_core::Quantity;
use spheresum_core::figure::{FigureState, window_of};
use spheresum_core::rule::{Edges, EdgesChoice, Rule, RuleChoice, Window};
use spheresum_core::table::{
    self, Amount, Answer, Case, Input, Outcome, SampledPattern, Symbol, builtin,
};
use spheresum_core::validation::Record;
use std::collections::BTreeMap;
use std::f64::consts::PI;

/// What is wrong with a copy.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Fault {
    /// The sine rule: all rings weigh alike.
    NoSine,
    /// The sine rule: sine of the middle between two rings.
    SineOfNextHalf,
    /// The sine rule: areas of cells instead of the sum that the documents write.
    CellAreas,
    /// Clenshaw–Curtis: the last term of an even N counts twice.
    LastTermTwice,
    /// Clenshaw–Curtis: the poles weigh as any ring.
    PolesAsRings,
    /// Half-weighted edges: edge rings count whole.
    EdgesWhole,
    /// Half-weighted edges: edge rings do not count.
    EdgesDropped,
    /// Exact windows: the first term of the series is not halved.
    FirstTermWhole,
    /// Exact windows: the window is half a step off.
    HalfStepOff,
    /// Windows: divided by their own solid angle.
    OwnSolidAngle,
    /// Sensitivities are averaged as powers are.
    SensitivityAsPower,
    /// Decibels are averaged.
    MeanOfDecibels,
    /// φ = 360° counts as another column.
    SeamTwice,
    /// One polarisation is left out.
    OnePolarisation,
}

const FAULTS: [Fault; 14] = [
    Fault::NoSine,
    Fault::SineOfNextHalf,
    Fault::CellAreas,
    Fault::LastTermTwice,
    Fault::PolesAsRings,
    Fault::EdgesWhole,
    Fault::EdgesDropped,
    Fault::FirstTermWhole,
    Fault::HalfStepOff,
    Fault::OwnSolidAngle,
    Fault::SensitivityAsPower,
    Fault::MeanOfDecibels,
    Fault::SeamTwice,
    Fault::OnePolarisation,
];

/// A copy of the rules, right or with one fault.
#[derive(Clone, Copy)]
struct Copy(Option<Fault>);

impl Copy {
    fn has(self, fault: Fault) -> bool {
        self.0 == Some(fault)
    }

    /// Weights of N+1 rings, with sum near 2.
    fn weights(self, rule: Rule, n: usize) -> Vec<f64> {
        match rule {
            Rule::Sine => self.sine(n),
            _ => self.clenshaw_curtis(n),
        }
    }

    fn sine(self, n: usize) -> Vec<f64> {
        let step = PI / n as f64;
        (0..=n)
            .map(|i| {
                let theta = i as f64 * step;
                match self.0 {
                    Some(Fault::NoSine) => 2.0 / (n + 1) as f64,
                    Some(Fault::SineOfNextHalf) => step * (theta + step / 2.0).sin().max(0.0),
                    Some(Fault::CellAreas) if i == 0 || i == n => 1.0 - (step / 2.0).cos(),
                    Some(Fault::CellAreas) => 2.0 * (step / 2.0).sin() * theta.sin(),
                    // sin π is 0, which no floating-point π gives.
                    _ if i == n => 0.0,
                    _ => step * theta.sin(),
                }
            })
            .collect()
    }

    fn clenshaw_curtis(self, n: usize) -> Vec<f64> {
        (0..=n)
            .map(|i| {
                let theta = PI * i as f64 / n as f64;
                let pole = (i == 0 || i == n) && !self.has(Fault::PolesAsRings);
                let series: f64 = (1..=n / 2)
                    .map(|k| {
                        let last = 2 * k == n && !self.has(Fault::LastTermTwice);
                        let b = if last { 1.0 } else { 2.0 };
                        let k = k as f64;
                        b * (2.0 * k * theta).cos() / (4.0 * k * k - 1.0)
                    })
                    .sum();
                let c = if pole { 1.0 } else { 2.0 };
                c / n as f64 * (1.0 - series)
            })
            .collect()
    }

    /// Ring weights of a window; `None` where half-weighted edges do not lie on rings.
    fn window(self, window: Window, edges: Edges, n: usize) -> Option<Vec<f64>> {
        let step = 180.0 / n as f64;
        let (from, to) = (window.from_deg, window.to_deg);
        let solid_angle = if self.has(Fault::OwnSolidAngle) {
            (from.to_radians().cos() - to.to_radians().cos()) / 2.0
        } else {
            1.0
        };
        let weights: Vec<f64> = match edges {
            Edges::Half => {
                let whole = |edge: f64| ((edge / step).round() * step - edge).abs() < 1e-9;
                if !whole(from) || !whole(to) {
                    return None;
                }
                let sine = self.sine(n);
                (0..=n)
                    .map(|i| {
                        let theta = i as f64 * step;
                        let edge = (theta - from).abs() < 1e-9 || (theta - to).abs() < 1e-9;
                        let part = match self.0 {
                            Some(Fault::EdgesWhole) if edge => 1.0,
                            Some(Fault::EdgesDropped) if edge => 0.0,
                            _ if edge => 0.5,
                            _ if theta > from && theta < to => 1.0,
                            _ => 0.0,
                        };
                        part * sine[i]
                    })
                    .collect()
            }
            Edges::Exact => self.exact(window, n),
        };
        Some(weights.iter().map(|w| w / solid_angle).collect())
    }

    /// The integral over the window of the even cosine series through the ring means, collected by ring.
    fn exact(self, window: Window, n: usize) -> Vec<f64> {
        let off = match self.has(Fault::HalfStepOff) {
            true => PI / n as f64 / 2.0,
            false => 0.0,
        };
        let (a, b) = (
            window.from_deg.to_radians() + off,
            window.to_deg.to_radians() + off,
        );
        // ∫ cos kθ sin θ dθ = ½ ∫ [sin((k+1)θ) − sin((k−1)θ)] dθ.
        let sines = |k: f64| match k {
            0.0 => 0.0,
            k => ((k * a).cos() - (k * b).cos()) / k,
        };
        let integral = |k: usize| (sines(k as f64 + 1.0) - sines(k as f64 - 1.0)) / 2.0;
        let halved = |k: usize| match k {
            0 if self.has(Fault::FirstTermWhole) => 1.0,
            k if k == 0 || k == n => 0.5,
            _ => 1.0,
        };
        (0..=n)
            .map(|i| {
                let end = if i == 0 || i == n { 0.5 } else { 1.0 };
                let terms = (0..=n)
                    .map(|k| halved(k) * integral(k) * (PI * (k * i) as f64 / n as f64).cos());
                2.0 / n as f64 * end * terms.sum::<f64>()
            })
            .collect()
    }

    /// Ring means of what integrates: power, or 1/EIS.
    fn means(self, sampled: &SampledPattern) -> Vec<f64> {
        let sensitivity = sampled.quantity() == Quantity::Eis;
        let mut rings: Vec<Vec<f64>> = vec![Vec::new(); sampled.grid.rings()];
        for (theta, phi, [along_theta, along_phi]) in sampled.samples() {
            if phi > 359.999 && !self.has(Fault::SeamTwice) {
                continue;
            }
            let ring = (theta / sampled.grid.theta_step_deg()).round() as usize;
            let total = match (sensitivity, self.0) {
                (_, Some(Fault::OnePolarisation)) if sensitivity => 1.0 / along_theta,
                (_, Some(Fault::OnePolarisation)) => along_theta,
                (true, Some(Fault::SensitivityAsPower)) => along_theta + along_phi,
                (true, _) => 1.0 / along_theta + 1.0 / along_phi,
                (false, _) => along_theta + along_phi,
            };
            rings[ring].push(total);
        }
        // A seam that is counted twice is divided by the columns that there should be.
        let columns = sampled.grid.phi_count() as f64;
        rings
            .iter()
            .map(|r| r.iter().sum::<f64>() / columns)
            .collect()
    }

    /// ½ Σ w p, W or 1/W, as a level.
    fn level(self, weights: &[f64], means: &[f64], sensitivity: bool) -> f64 {
        let dbm = |w: f64| 10.0 * (w * 1e3).log10();
        let sum = |of: &dyn Fn(f64) -> f64| -> f64 {
            weights
                .iter()
                .zip(means)
                .map(|(w, p)| w / 2.0 * of(*p))
                .sum()
        };
        match (sensitivity, self.0) {
            (_, Some(Fault::MeanOfDecibels)) => {
                let mean = sum(&|p| dbm(p.max(1e-30)));
                if sensitivity { -mean } else { mean }
            }
            (true, Some(Fault::SensitivityAsPower)) | (false, _) => dbm(sum(&|p| p)),
            (true, _) => dbm(1.0 / sum(&|p| p)),
        }
    }

    /// The answers of the library, with those of this copy in the places that it computes.
    fn run(self, case: &Case, outcome: &Outcome, replaced: &mut usize) -> Outcome {
        let mut outcome = outcome.clone();
        let Outcome::Answers(answers) = &mut outcome else {
            return outcome;
        };
        for answer in answers.iter_mut() {
            if let Some(amount) = self.amount(case, answer) {
                answer.amount = Some(amount);
                *replaced += 1;
            }
        }
        outcome
    }

    fn amount(self, case: &Case, answer: &Answer) -> Option<Amount> {
        if answer.state != FigureState::Value {
            return None;
        }
        match &case.input {
            Input::Weights { rule, intervals } => {
                let weights = self.weights(*rule, *intervals);
                let value = match answer.name.strip_prefix("ring-weight ") {
                    Some(ring) => weights[ring.parse::<usize>().unwrap()],
                    None if answer.name == "mean-of-one" => weights.iter().sum::<f64>() / 2.0,
                    None => return None,
                };
                Some(Amount::new(value, Symbol::One))
            }
            Input::Pattern(sampled) if case.options.floor.is_none() => {
                let n = sampled.grid.intervals();
                let RuleChoice::Fixed(rule) = case.options.rule else {
                    return None;
                };
                let weights = match (answer.name.as_str(), window_of(&answer.name)) {
                    ("trp" | "tis", _) => self.weights(rule, n),
                    (_, Some(window)) => match case.options.edges {
                        EdgesChoice::Fixed(edges) => self.window(window, edges, n)?,
                        EdgesChoice::Auto => return None,
                    },
                    _ => return None,
                };
                let sensitivity = sampled.quantity() == Quantity::Eis;
                let level = self.level(&weights, &self.means(sampled), sensitivity);
                Some(Amount::new(level, Symbol::Dbm))
            }
            _ => None,
        }
    }
}

/// What the library gives for each case of each table, by table and line.
fn right() -> BTreeMap<(&'static str, u64), Outcome> {
    let mut all = BTreeMap::new();
    for (name, text) in builtin() {
        for case in table::parse(name, text).unwrap().cases {
            all.insert((name, case.line), table::run_rust(&case));
        }
    }
    all
}

fn record(copy: Copy, right: &BTreeMap<(&'static str, u64), Outcome>) -> (Record, usize) {
    let mut record = Record::default();
    let mut replaced = 0;
    for (name, text) in builtin() {
        record
            .run_by(name, text, None, |case| {
                copy.run(case, &right[&(name, case.line)], &mut replaced)
            })
            .unwrap();
    }
    (record, replaced)
}

#[test]
fn the_copy_passes_every_row_and_each_wrong_one_is_told() {
    let right = right();
    let (all, replaced) = record(Copy(None), &right);
    let failed: Vec<_> = all.rows.iter().filter(|r| !r.passed).collect();
    assert!(failed.is_empty(), "{failed:#?}");
    assert!(replaced > 300, "only {replaced} answers are the copy's");
    for fault in FAULTS {
        let (record, _) = record(Copy(Some(fault)), &right);
        assert!(!record.passed(), "{fault:?} is not told");
        println!("{fault:?}: {} rows fail", record.failures());
    }
}
