#![allow(clippy::unwrap_used)]

use super::now::{Now, Standing};
use super::*;
use crate::correct::RangeLoss;
use crate::error::Group;
use crate::figure::{FigureState, Part};
use crate::model::{Layout, Mark, Polarisation, Reading, Value};
use crate::unit::angle;

/// xorshift64* (Vigna 2016): numbers that look random, the same on every run.
struct Random(u64);

impl Random {
    fn next(&mut self) -> f64 {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        (self.0.wrapping_mul(0x2545_F491_4F6C_DD1D) >> 11) as f64 / (1_u64 << 53) as f64
    }

    fn shuffle<T>(&mut self, of: &mut [T]) {
        for at in (1..of.len()).rev() {
            of.swap(at, (self.next() * (at + 1) as f64) as usize);
        }
    }
}

fn reading(polarisation: Polarisation, at: (f64, f64), value: f64) -> Reading {
    Reading {
        frequency: 0,
        theta_deg: at.0,
        phi_deg: at.1,
        polarisation,
        value: Value::Power(value),
        mark: Mark::Exact,
        line: 0,
    }
}

fn marked(polarisation: Polarisation, at: (f64, f64), value: f64, mark: Mark) -> Reading {
    Reading {
        mark,
        ..reading(polarisation, at, value)
    }
}

fn begin(plan: Plan) -> Running {
    with(plan, ReduceOptions::default())
}

fn with(plan: Plan, options: ReduceOptions) -> Running {
    Running::begin(plan, options, &Limits::small()).unwrap()
}

fn plan(quantity: Quantity, step_deg: f64) -> Plan {
    Plan::try_new(quantity, step_deg, step_deg).unwrap()
}

/// Clenshaw–Curtis, whose weights are closed fractions.
fn closed() -> ReduceOptions {
    ReduceOptions {
        rule: RuleChoice::Fixed(Rule::ClenshawCurtis),
        ..ReduceOptions::default()
    }
}

fn now(running: &Running) -> Now {
    let lost = running
        .options
        .eis_max_dbm
        .map(|x| 1.0 / level::w_from_dbm(x));
    let plan = &running.plan;
    running.heard[0].now(plan.grid(), plan.layout(), &running.factors[0], lost)
}

/// Every sum that any figure is made of, and the peak; true for those with a negative weight.
fn standings(running: &Running) -> Vec<(Standing, bool)> {
    let now = now(running);
    let table = &running.making.weights;
    let mut all = vec![(now.peak().standing, false)];
    let mut each: Vec<&[f64]> = Rule::ALL.into_iter().map(|r| table.whole(r)).collect();
    for window in figure::windows() {
        each.extend(table.window(window, Edges::Half));
        each.extend(table.window(window, Edges::Exact));
    }
    for part in [Part::Total, Part::Theta, Part::Phi] {
        for weights in &each {
            let negative = weights.iter().any(|w| *w < 0.0);
            all.push((now.sum(part, weights).unwrap(), negative));
        }
    }
    all
}

fn figure(running: &Running, name: &str) -> Figure {
    let mut all = running.figures(0).unwrap().into_iter();
    all.find(|f| f.name == name).unwrap()
}

fn near(found: Option<f64>, wanted_w: f64) {
    let wanted = level::dbm_from_w(wanted_w);
    assert!(
        found.is_some_and(|f| (f - wanted).abs() < 1e-9),
        "{found:?} for {wanted}"
    );
}

use Polarisation::{Phi, Theta, Total};

#[test]
fn one_sample_of_each() {
    // 30° grid, N = 6, M = 12, Clenshaw–Curtis: w = 164/315 on the horizon, 16/35 beside it (closed fractions, see the rule's test).
    let mut running = with(plan(Quantity::Eirp, 30.0), closed());
    assert_eq!(figure(&running, "trp").state, FigureState::Refused);
    running.add(reading(Theta, (90.0, 0.0), 3e-3)).unwrap();
    let trp = figure(&running, "trp");
    assert_eq!((trp.value, trp.upper), (None, None));
    assert!(trp.reason.is_some_and(|r| r.contains("phi")));
    near(trp.lower, 3e-3 * 164.0 / 315.0 / 24.0);
    running.add(reading(Phi, (60.0, 330.0), 1e-3)).unwrap();
    let trp = figure(&running, "trp");
    // Each polarisation is what was read of it, everywhere; the weights add up to 2.
    near(trp.value, 4e-3);
    near(
        trp.lower,
        (3e-3 * 164.0 / 315.0 + 1e-3 * 16.0 / 35.0) / 24.0,
    );
    // What was not read at 3 mW: two polarisations of 3 mW, less 2 mW in one sample of phi.
    near(trp.upper, 6e-3 - 2e-3 * 16.0 / 35.0 / 24.0);
    assert!(trp.bounds_assume.is_some_and(|a| a.contains("largest")));
    near(figure(&running, "trp_phi").value, 1e-3);
    let peak = figure(&running, "peak_eirp");
    assert_eq!(peak.theta_deg, Some(90.0));
    near(peak.value, 3e-3);
    near(peak.lower, 3e-3);
    near(peak.upper, 6e-3);
    running.add(reading(Phi, (90.0, 0.0), 2e-3)).unwrap();
    let peak = figure(&running, "peak_eirp");
    near(peak.value, 5e-3);
    assert_eq!((peak.theta_deg, peak.phi_deg), (Some(90.0), Some(0.0)));
}

#[test]
fn sensitivities_change_places() {
    let mut running = with(plan(Quantity::Eis, 30.0), closed());
    running.add(reading(Theta, (90.0, 0.0), 1e-12)).unwrap();
    let tis = figure(&running, "tis");
    // The better side rests on the largest reading; the worse on what was read.
    assert_eq!((tis.value, tis.lower), (None, None));
    near(tis.upper, 1e-12 * 315.0 / 164.0 * 24.0);
    running.add(reading(Phi, (90.0, 0.0), 1e-12)).unwrap();
    let tis = figure(&running, "tis");
    near(tis.value, 0.5e-12);
    near(tis.lower, 0.5e-12);
    near(tis.upper, 0.5e-12 * 315.0 / 164.0 * 24.0);
    near(figure(&running, "best_eis").value, 0.5e-12);
    // A link that was lost at X: 1/EIS is 0 … 1/X, and counts as 0.
    running
        .add(marked(Phi, (90.0, 30.0), 4e-12, Mark::AtLeast))
        .unwrap();
    let tis = figure(&running, "tis");
    near(tis.value, 1.0 / 1.5e12);
    let less = 0.75e12 * 164.0 / 315.0 / 24.0;
    near(tis.lower, 1.0 / (2e12 - less));
    assert!(tis.bounds_assume.is_some_and(|a| a.contains("marked")));
}

#[test]
fn a_link_lost_at_an_unknown_level() {
    let at = |eis_max_dbm| {
        let options = ReduceOptions {
            eis_max_dbm,
            ..closed()
        };
        let mut running = with(plan(Quantity::Eis, 30.0), options);
        running.add(reading(Theta, (90.0, 0.0), 1e-12)).unwrap();
        running
            .add(marked(Phi, (90.0, 0.0), f64::INFINITY, Mark::AtLeast))
            .unwrap();
        figure(&running, "tis")
    };
    let open = at(None);
    assert_eq!(open.lower, None);
    assert!(open.value.is_some() && open.upper.is_some());
    // −80 dBm is 10 pW: 1/EIS of the lost one is not above 0.1/pW.
    let known = at(Some(-80.0));
    near(known.lower, 1.0 / (2e12 - 0.9e12 * 164.0 / 315.0 / 24.0));
}

#[test]
fn marks_of_powers() {
    let mut running = with(plan(Quantity::Eirp, 30.0), closed());
    let share = 164.0 / 315.0 / 24.0;
    running
        .add(marked(Theta, (90.0, 0.0), 2e-3, Mark::AtMost))
        .unwrap();
    running.add(reading(Phi, (90.0, 0.0), 1e-3)).unwrap();
    let trp = figure(&running, "trp");
    near(trp.value, 2e-3);
    near(trp.lower, 1e-3 * share);
    near(trp.upper, 4e-3 - 1e-3 * share);
    // An overload: nothing bounds it, nor what was not read.
    running
        .add(marked(Phi, (90.0, 30.0), 5e-3, Mark::AtLeast))
        .unwrap();
    let trp = figure(&running, "trp");
    assert_eq!(trp.upper, None);
    near(trp.lower, 6e-3 * share);
}

#[test]
fn poles_are_one_direction() {
    let mut running = with(plan(Quantity::Eirp, 30.0), closed());
    // w = 1/35. A pole needs both polarisations, or a whole ring of one.
    running.add(reading(Theta, (0.0, 70.0), 3e-3)).unwrap();
    assert_eq!(figure(&running, "trp").lower, None);
    running.add(reading(Phi, (0.0, 160.0), 3e-3)).unwrap();
    assert_eq!(figure(&running, "trp").lower, None);
    running.add(reading(Phi, (0.05, 70.0), 1e-3)).unwrap();
    let trp = figure(&running, "trp");
    near(trp.lower, 4e-3 / 70.0);
    near(trp.value, 4e-3);
    near(trp.upper, 6e-3 - 2e-3 / 70.0);
    let peak = figure(&running, "peak_eirp");
    assert_eq!((peak.theta_deg, peak.phi_deg), (Some(0.0), Some(0.0)));
    let read: Vec<usize> = running.progress().iter().map(|p| p.read).collect();
    assert_eq!(read, [1, 1]);
    // cos² and sin² over a ring give half of the total each, whichever was read.
    let mut running = with(plan(Quantity::Eirp, 30.0), closed());
    for j in 0..12 {
        let phi_deg = 30.0 * f64::from(j);
        let part = angle::cos_deg(phi_deg) * angle::cos_deg(phi_deg);
        let one = reading(Theta, (180.0, phi_deg), 4e-3 * part);
        running.add(one).unwrap();
    }
    near(figure(&running, "trp").lower, 2e-3 / 70.0);
}

#[test]
fn the_range_loss_comes_first() {
    let options = ReduceOptions {
        range: Some(RangeLoss::constant(40.0, 50.0).unwrap()),
        ..closed()
    };
    let mut running = with(plan(Quantity::ReceivedPower, 30.0), options.clone());
    running.add(reading(Theta, (90.0, 0.0), 3e-7)).unwrap();
    running.add(reading(Phi, (90.0, 0.0), 1e-8)).unwrap();
    let trp = figure(&running, "trp");
    near(trp.value, 4e-3);
    near(trp.upper, 6e-3 - 2e-3 * 164.0 / 315.0 / 24.0);
    // EIS = level / loss.
    let mut running = with(plan(Quantity::InstrumentLevel, 30.0), options.clone());
    running.add(reading(Theta, (90.0, 0.0), 1e-8)).unwrap();
    running.add(reading(Phi, (90.0, 0.0), 1e-7)).unwrap();
    near(figure(&running, "tis").value, 0.5e-12);
    let refused = |plan, options| {
        Running::begin(plan, options, &Limits::small())
            .unwrap_err()
            .group()
    };
    let received = || plan(Quantity::ReceivedPower, 30.0);
    assert_eq!(refused(received(), closed()), Group::Domain);
    let total = received().of(Layout::TotalOnly);
    assert_eq!(refused(total, options.clone()), Group::Domain);
    assert_eq!(refused(plan(Quantity::Eirp, 30.0), options), Group::Usage);
}

#[test]
fn totals_alone() {
    let mut running = with(plan(Quantity::Eirp, 30.0).of(Layout::TotalOnly), closed());
    running.add(reading(Total, (90.0, 0.0), 1e-3)).unwrap();
    near(figure(&running, "trp").value, 1e-3);
    near(figure(&running, "trp").upper, 1e-3);
    near(figure(&running, "peak_eirp").value, 1e-3);
    assert_eq!(figure(&running, "trp_theta").value, None);
    assert!(running.add(reading(Theta, (90.0, 0.0), 1e-3)).is_err());
}

#[test]
fn figures_over_a_given_power() {
    let options = ReduceOptions {
        conducted_power_dbm: Some(10.0),
        accepted_power_dbm: Some(10.0),
        ..closed()
    };
    let mut running = with(plan(Quantity::Eirp, 30.0), options);
    running.add(reading(Theta, (90.0, 0.0), 1e-3)).unwrap();
    running.add(reading(Phi, (90.0, 0.0), 1e-3)).unwrap();
    // 2 mW of 10 mW.
    for name in ["total_efficiency", "radiation_efficiency"] {
        let value = figure(&running, name).value.unwrap();
        assert!((value - 20.0).abs() < 1e-9);
    }
    for name in ["average_gain", "peak_gain"] {
        let value = figure(&running, name).value.unwrap();
        assert!((value - level::db_from_ratio(0.2)).abs() < 1e-9);
    }
    let mut running = begin(plan(Quantity::Gain, 30.0));
    running.add(reading(Theta, (90.0, 0.0), 1.0)).unwrap();
    running.add(reading(Phi, (90.0, 0.0), 1.0)).unwrap();
    let peak = figure(&running, "peak_gain").value.unwrap();
    assert!((peak - level::db_from_ratio(2.0)).abs() < 1e-9);
}

#[test]
fn a_refused_reading_changes_nothing() {
    let f = crate::unit::Frequency::from_hz(1e9);
    let mut running = begin(plan(Quantity::Eis, 15.0).at(&[f.unwrap()]).unwrap());
    let good = reading(Theta, (90.0, 30.0), 1e-12);
    for trial in 0..2 {
        let before = format!("{running:?}");
        for wrong in [
            Reading {
                frequency: 1,
                ..good
            },
            reading(Total, (90.0, 30.0), 1e-12),
            reading(Theta, (90.2, 30.0), 1e-12),
            reading(Theta, (90.0, 37.5), 1e-12),
            reading(Theta, (90.0, f64::NAN), 1e-12),
            reading(Theta, (400.0, 30.0), 1e-12),
            reading(Theta, (90.0, 30.0), 0.0),
            reading(Theta, (90.0, 30.0), -1.0),
            reading(Theta, (90.0, 30.0), f64::INFINITY),
            reading(Theta, (90.0, 30.0), 5e-324),
            Reading {
                value: Value::Field(num_complex::Complex64::new(1.0, 0.0)),
                ..good
            },
        ] {
            let error = running.add(wrong).unwrap_err();
            assert!(error.place().is_some(), "{error}");
            assert_eq!(format!("{running:?}"), before, "{wrong:?}");
        }
        assert!(running.add_at(good, f64::NAN).is_err());
        assert_eq!(format!("{running:?}"), before);
        let off = running
            .add(reading(Theta, (90.2, 30.0), 1e-12))
            .unwrap_err();
        assert!(off.advice().is_some() && off.message().contains("15° × 15°"));
        if trial == 0 {
            // Within the snap distance, over the seam, and folded: all good.
            for (theta_deg, phi_deg) in [
                (90.0, 30.0),
                (90.1, 29.95),
                (90.0, 359.95),
                (-90.0, 210.0),
                (179.95, 1.0),
            ] {
                let one = reading(Theta, (theta_deg, phi_deg), 1e-12);
                running.add_at(one, 1.0).unwrap();
            }
            assert_eq!(running.progress()[0].read, 3);
            assert_eq!(running.progress()[0].readings, 5);
        }
    }
    assert!(running.figures(1).is_err());
}

#[test]
fn what_would_fail_at_the_end_is_refused() {
    let refused = |options: ReduceOptions| {
        let plan = plan(Quantity::Eirp, 15.0);
        let error = Running::begin(plan, options, &Limits::small()).unwrap_err();
        assert_eq!(error.group(), Group::Usage, "{error}");
    };
    let open = ReduceOptions::default;
    refused(ReduceOptions {
        figures: Some(vec!["tis".to_string()]),
        ..open()
    });
    refused(ReduceOptions {
        snap_deg: f64::NAN,
        ..open()
    });
    refused(ReduceOptions {
        eis_max_dbm: Some(-60.0),
        ..open()
    });
    refused(ReduceOptions {
        edges: EdgesChoice::Fixed(Edges::Half),
        ..closed()
    });
    refused(ReduceOptions {
        max_missing_percent: -1.0,
        ..open()
    });
}

/// Readings of every sample once, a tenth of them marked as at most, in a random order.
fn sphere(random: &mut Random, plan: &Plan, with_marks: bool) -> Vec<Reading> {
    let mut all = Vec::new();
    for index in plan.grid().distinct() {
        let at = Grid::EqualAngle(*plan.grid()).direction(index).unwrap();
        for polarisation in [Theta, Phi] {
            let value = random.next();
            let mark = if with_marks && random.next() < 0.1 {
                Mark::AtMost
            } else {
                Mark::Exact
            };
            all.push(marked(
                polarisation,
                (at.theta_deg, at.phi_deg),
                value,
                mark,
            ));
        }
    }
    random.shuffle(&mut all);
    all
}

/// To the last bit: every operation of a sum is monotone.
#[test]
fn bounds_close_in() {
    for seed in 1..=12_u64 {
        let mut random = Random(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15));
        let step = [30.0, 22.5, 45.0, 20.0][seed as usize % 4];
        let plan = Plan::try_new(Quantity::Eirp, step, step).unwrap();
        let all = sphere(&mut random, &plan, seed % 3 == 0);
        let whole = {
            let mut running = begin(plan.clone());
            all.iter().for_each(|r| running.add(*r).unwrap());
            assert!(running.is_complete());
            standings(&running)
        };
        let value_of = |r: &Reading| match r.value {
            Value::Power(p) => p,
            Value::Field(_) => 0.0,
        };
        let top = all.iter().map(value_of).fold(0.0, f64::max);
        let mut running = begin(plan);
        let mut before: Option<Vec<(Standing, bool)>> = None;
        let mut largest = 0.0_f64;
        for (count, one) in all.iter().enumerate() {
            running.add(*one).unwrap();
            let same = value_of(one) <= largest;
            largest = largest.max(value_of(one));
            let here = standings(&running);
            for (at, ((h, negative), (end, _))) in here.iter().zip(&whole).enumerate() {
                if !negative || largest == top {
                    assert!(h.lower <= end.lower, "seed {seed}, {count}, {at}");
                }
                if let Some((b, _)) = before.as_ref().and_then(|b| b.get(at)) {
                    let keeps = !negative || same;
                    assert!(!keeps || h.lower >= b.lower, "seed {seed}, {count}, {at}");
                    assert!(!same || h.upper <= b.upper, "seed {seed}, {count}, {at}");
                }
                if largest == top {
                    assert!(h.upper >= end.upper, "seed {seed}, {count}, {at}");
                }
            }
            before = Some(here);
        }
    }
}

#[test]
fn the_order_does_not_reach_the_last_bit() {
    let mut random = Random(7);
    let plan = plan(Quantity::Eirp, 30.0);
    let mut all = sphere(&mut random, &plan, true);
    let again: Vec<Reading> = (0..200)
        .map(|_| {
            let one = all[(random.next() * all.len() as f64) as usize];
            Reading {
                value: Value::Power(random.next()),
                ..one
            }
        })
        .collect();
    all.truncate(90);
    all.extend(again);
    let stands = |all: &[Reading]| {
        let mut running = begin(plan.clone());
        all.iter().for_each(|r| running.add(*r).unwrap());
        running.figures(0).unwrap()
    };
    let first = stands(&all);
    for _ in 0..5 {
        random.shuffle(&mut all);
        assert_eq!(stands(&all), first);
    }
}
