//! The running reduction: it ends as the reduction of the same readings does, to the last bit, and its bounds hold on the way.

#![allow(clippy::unwrap_used, clippy::panic)]

use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;
use spheresum_core::correct::{Detector, Floor, FloorSource, RangeLoss, Signal};
use spheresum_core::figure::Figure;
use spheresum_core::reduce::{ReduceOptions, reduce_readings};
use spheresum_core::rule::{Rule, RuleChoice};
use spheresum_core::running::{Plan, Running};
use spheresum_core::unit::angle::{cos_deg, sin_deg};
use spheresum_core::{
    Frequency, Group, Layout, Limits, Mark, Polarisation, Quantity, Reading, Readings, Value,
};

/// Differences of levels that are due to rounding alone, dB.
const ROUNDING_DB: f64 = 1e-9;

/// A run: plan, options, and each reading with the index of its frequency in the plan and its time.
struct Run {
    name: &'static str,
    plan: Plan,
    options: ReduceOptions,
    rows: Vec<(Reading, f64)>,
}

fn megahertz(count: u32) -> Vec<Frequency> {
    // Not in ascending order, as a sweep may be.
    let all = (0..count).rev().map(|f| 868e6 + 1e6 * f64::from(f));
    all.map(|hz| Frequency::from_hz(hz).unwrap()).collect()
}

/// Theta and phi of x and z dipoles in phase quadrature, W: EIRP = 1.5 (|Eθ|² + |Eφ|²), 1 W + 1 W of TRP (closed form).
fn dipoles(polarisation: Polarisation, theta_deg: f64, phi_deg: f64) -> f64 {
    let square = |x: f64| x * x;
    let theta = square(sin_deg(theta_deg)) + square(cos_deg(theta_deg) * cos_deg(phi_deg));
    let phi = square(sin_deg(phi_deg));
    1.5 * match polarisation {
        Polarisation::Theta => theta,
        Polarisation::Phi => phi,
        Polarisation::Total => theta + phi,
    }
}

/// Readings of every index of a plan's grid, pole rings in full, with what `value` gives for them.
fn rows(
    plan: &Plan,
    value: impl Fn(Polarisation, f64, f64) -> Option<(f64, Mark)>,
) -> Vec<(Reading, f64)> {
    let grid = plan.grid();
    let mut rows = Vec::new();
    for frequency in 0..plan.frequencies().len() {
        for ring in 0..grid.rings() {
            for column in 0..grid.phi_count() {
                for polarisation in plan.layout().polarisations() {
                    let (theta_deg, phi_deg) = (grid.theta_deg(ring), grid.phi_deg(column));
                    let Some((power, mark)) = value(*polarisation, theta_deg, phi_deg) else {
                        continue;
                    };
                    let line = u32::try_from(rows.len() + 2).unwrap();
                    let reading = Reading {
                        frequency,
                        theta_deg,
                        phi_deg,
                        polarisation: *polarisation,
                        value: Value::Power(power * (1.0 + 0.1 * frequency as f64)),
                        mark,
                        line,
                    };
                    rows.push((reading, 2.0 * f64::from(line)));
                }
            }
        }
    }
    rows
}

/// Some rows again, a little off in value and direction.
fn with_repeats(mut rows: Vec<(Reading, f64)>, seed: u64) -> Vec<(Reading, f64)> {
    let mut random = ChaCha8Rng::seed_from_u64(seed);
    for _ in 0..rows.len() / 5 {
        let (mut one, time) = rows[random.random_range(0..rows.len())];
        if let Value::Power(power) = one.value {
            one.value = Value::Power(power * random.random_range(0.9..1.1));
        }
        one.theta_deg += random.random_range(-0.01..0.01);
        one.line = u32::try_from(rows.len() + 2).unwrap();
        rows.push((one, time + 1e4));
    }
    rows
}

fn plan(quantity: Quantity, theta_step_deg: f64, phi_step_deg: f64) -> Plan {
    Plan::try_new(quantity, theta_step_deg, phi_step_deg).unwrap()
}

fn runs() -> Vec<Run> {
    let exact = |p, t, f| Some((dipoles(p, t, f) * 1e-3, Mark::Exact));
    let open = ReduceOptions::default;
    let mut all = Vec::new();
    let mut run = |name, plan: Plan, options, rows| {
        all.push(Run {
            name,
            plan,
            options,
            rows,
        });
    };
    let p = plan(Quantity::Eirp, 15.0, 15.0).named("sphere");
    run("plain", p.clone(), open(), rows(&p, exact));
    let p = plan(Quantity::Eirp, 22.5, 15.0)
        .from_phi(7.5)
        .unwrap()
        .at(&megahertz(3))
        .unwrap();
    run(
        "repeats",
        p.clone(),
        open(),
        with_repeats(rows(&p, exact), 1),
    );
    let p = plan(Quantity::Eirp, 20.0, 20.0);
    let mut options = open();
    options.conducted_power_dbm = Some(40.0);
    let marks = |p, t, f| {
        let value = dipoles(p, t, f) * 1e-3;
        Some(match value {
            v if v < 1e-4 => (1e-4, Mark::AtMost),
            v if v > 2.9e-3 => (2.9e-3, Mark::AtLeast),
            v => (v, Mark::Exact),
        })
    };
    run(
        "marks",
        p.clone(),
        options,
        with_repeats(rows(&p, marks), 2),
    );
    // No lower cap: gaps are filled at the end.
    let p = plan(Quantity::Eirp, 15.0, 30.0);
    let cut = |p, t, f| (t < 150.0).then(|| exact(p, t, f)).flatten();
    run("no cap", p.clone(), open(), rows(&p, cut));
    let p = plan(Quantity::Eis, 30.0, 30.0);
    let mut options = open();
    options.eis_max_dbm = Some(-60.0);
    options.max_missing_percent = 50.0;
    let eis = |p, t, f| {
        let inverse = dipoles(p, t, f);
        Some(match inverse {
            v if v < 0.05 => (f64::INFINITY, Mark::AtLeast),
            v if v < 0.2 => (1e-11 / 0.2, Mark::AtLeast),
            v => (1e-11 / v, Mark::Exact),
        })
    };
    run(
        "sensitivities",
        p.clone(),
        options,
        with_repeats(rows(&p, eis), 3),
    );
    let p = plan(Quantity::ReceivedPower, 30.0, 30.0)
        .at(&megahertz(2))
        .unwrap();
    let mut options = open();
    options.range = Some(RangeLoss::constant(40.0, 43.5).unwrap());
    options.rule = RuleChoice::Fixed(Rule::ClenshawCurtis);
    let received = |p, t, f| {
        let loss = if p == Polarisation::Theta { 1e-4 } else { 4e-5 };
        Some((dipoles(p, t, f) * loss, Mark::Exact))
    };
    run(
        "range",
        p.clone(),
        options.clone(),
        with_repeats(rows(&p, received), 4),
    );
    let source = FloorSource::Levels {
        theta_dbm: -40.0,
        phi_dbm: -41.0,
        averages: Some(1000.0),
    };
    let floor = Floor::new(source, Detector::Rms, Signal::Cw);
    options.floor = Some(floor.with_averages(Some(100.0)));
    run("floor", p.clone(), options, rows(&p, received));
    let p = plan(Quantity::Gain, 10.0, 30.0).of(Layout::TotalOnly);
    run("total gain", p.clone(), open(), rows(&p, exact));
    all
}

/// The reduction of the rows in the order in which they are listed, as an adapter would hand them over.
fn batch(run: &Run) -> String {
    let limits = Limits::default();
    let mut readings = Readings::new(run.plan.source(), run.plan.quantity(), &limits);
    for (reading, time_s) in &run.rows {
        let frequency = run.plan.frequencies()[reading.frequency];
        let frequency = readings.frequency_index(frequency, &limits).unwrap();
        readings
            .push(Reading {
                frequency,
                ..*reading
            })
            .unwrap();
        readings.set_last_time_s(*time_s).unwrap();
    }
    // Every number is written so that it reads back to the same bits.
    format!(
        "{:?}",
        reduce_readings(&[readings], &run.options, &limits).unwrap()
    )
}

fn begin(run: &Run) -> Running {
    Running::begin(run.plan.clone(), run.options.clone(), &Limits::default()).unwrap()
}

fn shuffled<T: Clone>(of: &[T], seed: u64) -> Vec<T> {
    let mut random = ChaCha8Rng::seed_from_u64(seed);
    let mut of = of.to_vec();
    for at in (1..of.len()).rev() {
        of.swap(at, random.random_range(0..=at));
    }
    of
}

#[test]
fn it_ends_as_the_reduction_of_the_same_readings() {
    for run in runs() {
        let wanted = batch(&run);
        for seed in 0..4 {
            let rows = match seed {
                0 => run.rows.clone(),
                seed => shuffled(&run.rows, seed),
            };
            let mut running = begin(&run);
            for (count, (reading, time_s)) in rows.iter().enumerate() {
                running.add_at(*reading, *time_s).unwrap();
                // Asking changes nothing.
                if count % 97 == 0 {
                    let figures = running.figures(reading.frequency).unwrap();
                    assert!(!figures.is_empty(), "{}", run.name);
                    let _ = running.finish();
                }
            }
            let found = format!("{:?}", running.finish().unwrap());
            assert!(found == wanted, "{}, seed {seed}", run.name);
            assert_eq!(running.is_complete(), run.name != "no cap");
            assert_eq!(running.into_readings().len(), run.rows.len());
        }
    }
}

/// Once every sample was read, nothing is left to assume: value and bounds are those of the reduction.
#[test]
fn figures_of_a_whole_sphere_are_those_of_the_reduction() {
    for run in runs() {
        if matches!(run.name, "no cap" | "floor") {
            continue;
        }
        let mut running = begin(&run);
        for (reading, _) in shuffled(&run.rows, 9) {
            running.add(reading).unwrap();
        }
        let reduction = running.finish().unwrap();
        let mut compared = 0;
        for (index, frequency) in run.plan.frequencies().iter().enumerate() {
            let mut channels = reduction.channels.iter();
            let channel = channels.find(|c| c.frequency_hz == *frequency).unwrap();
            for one in running.figures(index).unwrap() {
                let end = channel.figure(&one.name).unwrap();
                let key = |f: &Figure| (f.value, f.state, f.unit, f.rule, f.edges);
                let text = format!("{} {}: {one:?}, {end:?}", run.name, one.name);
                assert_eq!(key(&one), key(end), "{text}");
                assert_eq!((one.lower, one.upper), (end.lower, end.upper), "{text}");
                let at = |f: &Figure| (f.theta_deg, f.phi_deg);
                assert_eq!(at(&one), at(end), "{text}");
                compared += usize::from(one.value.is_some());
            }
        }
        assert!(compared >= 2, "{}: {compared}", run.name);
    }
}

fn level(figures: &[Figure], name: &str, of: fn(&Figure) -> Option<f64>) -> Option<f64> {
    figures.iter().find(|f| f.name == name).and_then(of)
}

/// Every figure of a sphere stays within its bounds once the largest reading has come, and the bounds close in.
#[test]
fn the_truth_lies_within_the_bounds() {
    let names = [
        "trp",
        "trp_theta",
        "trp_phi",
        "nhprp_45",
        "nhprp_22_5",
        "uhrp",
        "lhrp",
        "peak_eirp",
    ];
    for (theta, phi, seed) in [(15.0, 15.0, 1), (30.0, 30.0, 2), (20.0, 10.0, 3)] {
        let p = plan(Quantity::Eirp, theta, phi);
        let mut random = ChaCha8Rng::seed_from_u64(seed);
        let mut scale: Vec<f64> = Vec::new();
        scale.resize_with(p.grid().rings(), || random.random_range(0.2..1.0));
        // The poles keep the law of cos² and sin²: a ring's factor is that of all its readings.
        let ring = |t: f64| scale[(t / theta).round() as usize];
        let all = rows(&p, |p, t, f| {
            Some((dipoles(p, t, f) * ring(t), Mark::Exact))
        });
        let run = Run {
            name: "random",
            plan: p,
            options: ReduceOptions::default(),
            rows: shuffled(&all, seed),
        };
        let power = |r: &(Reading, f64)| match r.0.value {
            Value::Power(p) => p,
            Value::Field(_) => 0.0,
        };
        let top = run.rows.iter().map(power).fold(0.0, f64::max);
        let mut whole = begin(&run);
        run.rows.iter().for_each(|r| whole.add(r.0).unwrap());
        let truth = whole.figures(0).unwrap();
        let mut running = begin(&run);
        let mut largest = 0.0;
        let mut before: Vec<Figure> = Vec::new();
        let mut begun = [false; 2];
        for row in &run.rows {
            running.add(row.0).unwrap();
            let same = power(row) <= largest;
            largest = power(row).max(largest);
            begun[usize::from(row.0.polarisation == Polarisation::Phi)] = true;
            let here = running.figures(0).unwrap();
            for name in names {
                let of = |figures: &[Figure]| {
                    let get = |f| level(figures, name, f);
                    (get(|f| f.lower), get(|f| f.value), get(|f| f.upper))
                };
                let (lower, value, upper) = of(&here);
                let end = of(&truth).1.unwrap();
                if begun != [true; 2] {
                    assert_eq!((value, upper), (None, None), "{name}");
                    continue;
                }
                let upper = upper.unwrap();
                let lower = lower.unwrap_or(f64::NEG_INFINITY);
                assert!(lower <= upper, "{name}");
                assert!(
                    value.is_none_or(|v| lower <= v && v <= upper),
                    "{name}: {value:?}"
                );
                // An exact window's negative weights make its lower bound rest on the largest reading.
                let (sure, known) = (largest == top, before.len() == here.len());
                if sure {
                    assert!(upper >= end - ROUNDING_DB, "{name}: {upper} {end}");
                    assert!(lower <= end + ROUNDING_DB, "{name}: {lower} {end}");
                }
                let (was_lower, _, was_upper) = of(&before);
                let was_lower = was_lower.unwrap_or(f64::NEG_INFINITY);
                if known && (same || name.starts_with("trp")) {
                    assert!(
                        lower >= was_lower - ROUNDING_DB,
                        "{name}: {lower} {was_lower}"
                    );
                }
                if same && let Some(was) = was_upper {
                    assert!(upper <= was + ROUNDING_DB, "{name}: {upper} {was}");
                }
            }
            before = here;
        }
        let end = running.figures(0).unwrap();
        assert_eq!(end, truth);
    }
}

/// The upper half of a sphere whose halves are alike tells the whole: value from what is measured.
#[test]
fn half_a_sphere_tells_the_whole_where_both_halves_are_alike() {
    // Closed form: the pattern is of degree 2, which Clenshaw–Curtis integrates exactly; TRP 2 mW.
    let mut options = ReduceOptions::default();
    options.rule = RuleChoice::Fixed(Rule::ClenshawCurtis);
    let p = plan(Quantity::Eirp, 10.0, 10.0);
    let all = rows(&p, |p, t, f| Some((dipoles(p, t, f) * 1e-3, Mark::Exact)));
    let mut running = Running::begin(p, options, &Limits::default()).unwrap();
    for (reading, _) in all.iter().filter(|r| r.0.theta_deg <= 90.0) {
        running.add(*reading).unwrap();
    }
    // The horizon was read whole, and weighs more beside half of the others.
    let rule = Rule::ClenshawCurtis.weights(18);
    let upper: f64 = rule[..=9].iter().sum();
    let horizon = rule[9] / upper;
    // Means over φ in mW: theta 1.5 (sin² + ½ cos²), phi ¾. The half without the horizon's surplus is alike the whole.
    let rest = (2.0 - 0.5 * rule[9] * 2.25) / (0.5 * (2.0 - rule[9]));
    let wanted = horizon * 2.25 + (1.0 - horizon) * rest;
    let figures = running.figures(0).unwrap();
    let found = level(&figures, "trp", |f| f.value).unwrap();
    assert!((found - 10.0 * libm::log10(wanted)).abs() < ROUNDING_DB);
    // Half a grid is no sphere to reduce without filling: it is refused or filled by the same rules as a file, and nothing is lost.
    let before = running.readings().len();
    let _ = running.finish();
    assert_eq!(running.readings().len(), before);
}

#[test]
fn too_few_readings_end_in_words() {
    let p = plan(Quantity::Eirp, 15.0, 15.0);
    let mut running = Running::begin(p, ReduceOptions::default(), &Limits::default()).unwrap();
    assert_eq!(running.finish().unwrap_err().group(), Group::Usage);
    let row = rows(running.plan(), |_, _, _| Some((1.0, Mark::Exact)))[0].0;
    running.add(row).unwrap();
    let error = running.finish().unwrap_err();
    assert_eq!(error.group(), Group::Domain);
    assert!(error.advice().is_some());
    assert_eq!(running.progress()[0].read, 1);
}
