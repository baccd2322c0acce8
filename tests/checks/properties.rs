//! Properties that hold for every sphere: proptest draws them.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use proptest::prelude::*;
use proptest::test_runner::{Config, RngSeed};
use spheresum_core::reduce::{ReduceOptions, Reduction, reduce_readings};
use spheresum_core::rule::{EdgesChoice, Rule, RuleChoice};
use spheresum_core::unit::angle::{cos_deg, sin_deg};
use spheresum_core::unit::level;
use spheresum_core::{
    FieldScale, Group, Limits, Mark, Polarisation, Quantity, Reading, Readings, Value,
};

/// One row of a file: direction and the powers of both polarisations, W.
#[derive(Clone, Copy, Debug)]
struct Row {
    theta_deg: f64,
    phi_deg: f64,
    power_w: [f64; 2],
}

/// A polynomial Σ c xᵃ yᵇ zᶜ on the unit sphere, made positive by its constant.
#[derive(Clone, Debug)]
struct Polynomial {
    terms: Vec<([u32; 3], f64)>,
}

impl Polynomial {
    fn at(&self, theta_deg: f64, phi_deg: f64) -> f64 {
        let v = [
            sin_deg(theta_deg) * cos_deg(phi_deg),
            sin_deg(theta_deg) * sin_deg(phi_deg),
            cos_deg(theta_deg),
        ];
        self.terms
            .iter()
            .map(|(powers, c)| {
                let monomial: f64 = v
                    .iter()
                    .zip(powers)
                    .map(|(x, p)| (0..*p).fold(1.0, |product, _| product * x))
                    .product();
                c * monomial
            })
            .sum()
    }

    /// Mean over the sphere: (a−1)!!(b−1)!!(c−1)!!/(a+b+c+1)!! for even powers, else 0 (Folland 2001, closed form).
    fn mean(&self) -> f64 {
        let double_factorial = |n: i64| (1..=n).rev().step_by(2).map(|k| k as f64).product::<f64>();
        self.terms
            .iter()
            .filter(|(powers, _)| powers.iter().all(|p| p % 2 == 0))
            .map(|(powers, c)| {
                let top: f64 = powers
                    .iter()
                    .map(|p| double_factorial(i64::from(*p) - 1))
                    .product();
                c * top / double_factorial(i64::from(powers.iter().sum::<u32>()) + 1)
            })
            .sum()
    }
}

/// Polynomials of total degree ≤ `degree`, positive everywhere.
fn polynomial(degree: u32) -> impl Strategy<Value = Polynomial> {
    let term = (prop::array::uniform3(0..=degree), -1.0..1.0_f64);
    prop::collection::vec(term, 1..8).prop_map(move |mut terms| {
        for (powers, _) in &mut terms {
            // Bring the total degree down to the limit.
            while powers.iter().sum::<u32>() > degree {
                let largest = (0..3).max_by_key(|i| powers[*i]).unwrap();
                powers[largest] -= 1;
            }
        }
        let size: f64 = terms.iter().map(|t| t.1.abs()).sum();
        terms.push(([0, 0, 0], size + 0.25));
        Polynomial { terms }
    })
}

fn rows(n: u32, m: u32, mut power: impl FnMut(f64, f64) -> [f64; 2]) -> Vec<Row> {
    let mut rows = Vec::new();
    for i in 0..=n {
        for j in 0..m {
            let theta_deg = 180.0 * f64::from(i) / f64::from(n);
            let phi_deg = 360.0 * f64::from(j) / f64::from(m);
            rows.push(Row {
                theta_deg,
                phi_deg,
                power_w: power(theta_deg, phi_deg),
            });
        }
    }
    rows
}

fn readings(rows: &[Row]) -> Readings {
    let limits = Limits::default();
    let mut readings = Readings::new("drawn", Quantity::Eirp, &limits);
    let frequency = readings.frequency_index(None, &limits).unwrap();
    for row in rows {
        for (polarisation, power) in [Polarisation::Theta, Polarisation::Phi]
            .into_iter()
            .zip(row.power_w)
        {
            readings
                .push(Reading {
                    frequency,
                    theta_deg: row.theta_deg,
                    phi_deg: row.phi_deg,
                    polarisation,
                    value: Value::Power(power),
                    mark: Mark::Exact,
                    line: 0,
                })
                .unwrap();
        }
    }
    readings
}

fn reduced(rows: &[Row], rule: Option<Rule>) -> Reduction {
    let mut options = ReduceOptions::default();
    options.rule = rule.map_or(RuleChoice::Auto, RuleChoice::Fixed);
    reduce_readings(&[readings(rows)], &options, &Limits::default()).unwrap()
}

fn value(reduction: &Reduction, name: &str) -> f64 {
    reduction.channels[0].figure(name).unwrap().value.unwrap()
}

/// A sphere of random powers with the shape of its grid; totals at a pole are one value, as in nature.
fn random_rows() -> impl Strategy<Value = (u32, u32, Vec<Row>)> {
    (2..9_u32, 3..9_u32)
        .prop_flat_map(|(n, m)| {
            let cells = ((n + 1) * m) as usize;
            (
                Just(n),
                Just(m),
                prop::collection::vec((1e-6..1.0_f64, 1e-6..1.0_f64), cells),
            )
        })
        .prop_map(|(n, m, powers)| {
            let mut of = powers.into_iter();
            let rows = rows(n, m, |theta, phi| {
                let (a, b) = of.next().unwrap_or((0.5, 0.5));
                if theta == 0.0 || theta == 180.0 {
                    // A linearly polarised vector seen at every φ.
                    let c = cos_deg(phi - 20.0);
                    return [0.7 * c * c, 0.7 * (1.0 - c * c)];
                }
                [a, b]
            });
            (n, m, rows)
        })
}

fn config(cases: u32) -> Config {
    Config {
        cases,
        failure_persistence: None,
        rng_seed: RngSeed::Fixed(868_300),
        ..Config::default()
    }
}

proptest! {
    #![proptest_config(config(96))]

    #[test]
    fn row_order_does_not_reach_the_last_bit((_, _, rows) in random_rows(), seed in any::<u64>()) {
        let mut shuffled = rows.clone();
        // Repeats too: their average must not depend on the order.
        shuffled.extend(rows.iter().step_by(3).map(|r| Row { power_w: r.power_w.map(|p| p * 1.3), ..*r }));
        let straight = shuffled.clone();
        let mut state = seed | 1;
        for i in (1..shuffled.len()).rev() {
            state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            shuffled.swap(i, (state >> 33) as usize % (i + 1));
        }
        prop_assert_eq!(reduced(&straight, None).channels, reduced(&shuffled, None).channels);
    }

    #[test]
    fn turning_by_a_phi_step_keeps_the_totals((_, m, rows) in random_rows(), by in 1..8_u32) {
        let turn = 360.0 * f64::from(by % m) / f64::from(m);
        let turned: Vec<Row> = rows.iter().map(|r| Row { phi_deg: (r.phi_deg + turn) % 360.0, ..*r }).collect();
        let (a, b) = (reduced(&rows, None), reduced(&turned, None));
        for name in ["trp", "trp_theta", "trp_phi", "nhprp_45", "uhrp", "peak_eirp", "min_eirp"] {
            prop_assert!((value(&a, name) - value(&b, name)).abs() < 1e-10, "{}", name);
        }
    }

    #[test]
    fn exchanging_polarisations_exchanges_their_parts((_, _, rows) in random_rows()) {
        let exchanged: Vec<Row> = rows.iter().map(|r| Row { power_w: [r.power_w[1], r.power_w[0]], ..*r }).collect();
        let (a, b) = (reduced(&rows, None), reduced(&exchanged, None));
        prop_assert!((value(&a, "trp") - value(&b, "trp")).abs() < 1e-10);
        prop_assert!((value(&a, "trp_theta") - value(&b, "trp_phi")).abs() < 1e-10);
        prop_assert!((value(&a, "polarisation_ratio") + value(&b, "polarisation_ratio")).abs() < 1e-10);
    }

    #[test]
    fn the_seam_at_360_changes_nothing((_, _, rows) in random_rows()) {
        let mut seamed = rows.clone();
        seamed.extend(rows.iter().filter(|r| r.phi_deg == 0.0).map(|r| Row { phi_deg: 360.0, ..*r }));
        prop_assert_eq!(reduced(&rows, None).channels, reduced(&seamed, None).channels);
    }

    #[test]
    fn figures_follow_the_power((_, _, rows) in random_rows(), gain_db in -60.0..60.0_f64) {
        let factor = level::ratio_from_db(gain_db);
        let scaled: Vec<Row> = rows.iter().map(|r| Row { power_w: r.power_w.map(|p| p * factor), ..*r }).collect();
        let (a, b) = (reduced(&rows, None), reduced(&scaled, None));
        for name in ["trp", "nhprp_30", "uhrp", "lhrp", "peak_eirp"] {
            prop_assert!((value(&b, name) - value(&a, name) - gain_db).abs() < 1e-10, "{}", name);
        }
        for name in ["directivity", "polarisation_ratio", "nhprp_45_ratio"] {
            prop_assert!((value(&b, name) - value(&a, name)).abs() < 1e-10, "{}", name);
        }
    }

    #[test]
    fn hemispheres_add_up_within_a_family((n, _, rows) in random_rows(), sine in any::<bool>()) {
        let rule = if sine { Rule::Sine } else { Rule::ClenshawCurtis };
        let reduction = reduced(&rows, Some(rule));
        let channel = &reduction.channels[0];
        let upper = channel.figure("uhrp").unwrap();
        let linear = |name: &str| level::w_from_dbm(value(&reduction, name));
        // Odd N has no ring at the horizon: the exact form stands in, with Clenshaw–Curtis as its whole.
        let family = reduced(&rows, upper.rule);
        prop_assert_eq!(upper.rule, Some(if sine && n % 2 == 0 { Rule::Sine } else { Rule::ClenshawCurtis }));
        let whole = level::w_from_dbm(value(&family, "trp"));
        prop_assert!((linear("uhrp") + linear("lhrp") - whole).abs() < 1e-12 * whole);
    }

    #[test]
    fn clenshaw_curtis_is_exact_where_it_says(
        (n, degree, pattern) in (2..13_u32).prop_flat_map(|n| {
            let highest = n + u32::from(n % 2 == 0);
            (Just(n), Just(highest), polynomial(highest))
        }),
        extra in 1..5_u32,
    ) {
        // M one above the degree is enough; the power goes in equal halves to both polarisations.
        let m = (degree + extra).max(3);
        let rows = rows(n, m, |t, p| [pattern.at(t, p) / 2.0; 2]);
        let trp = level::w_from_dbm(value(&reduced(&rows, Some(Rule::ClenshawCurtis)), "trp"));
        prop_assert!((trp / pattern.mean() - 1.0).abs() < 1e-12, "{} against {}", trp, pattern.mean());
    }

    #[test]
    fn bounds_hold_the_value_and_the_gap((n, m, rows) in random_rows(), gone in prop::collection::vec(any::<prop::sample::Index>(), 1..4)) {
        let mut left = rows.clone();
        for index in gone {
            left.remove(index.index(left.len()));
        }
        let mut options = ReduceOptions::default();
        options.max_missing_percent = 100.0;
        options.edges = EdgesChoice::Auto;
        let Ok(reduction) = reduce_readings(&[readings(&left)], &options, &Limits::default()) else {
            // Too little was left for a grid.
            return Ok(());
        };
        let whole = reduced(&rows, Some(reduction.rule));
        prop_assume!(reduction.sphere.grid() == whole.sphere.grid());
        for figure in &reduction.channels[0].figures {
            if let Some(v) = figure.value {
                prop_assert!(figure.lower.is_none_or(|l| l <= v), "{:?}", figure);
                prop_assert!(figure.upper.is_none_or(|u| u >= v), "{:?}", figure);
            }
        }
        // The lower bound is certain for powers that are weighted positively: the truth is not below it.
        let trp = reduction.channels[0].figure("trp").unwrap();
        let poles_fitted = reduction.findings.iter().any(|f| f.code == "poles-fitted");
        if let (Some(lower), false) = (trp.lower, poles_fitted) {
            prop_assert!(lower <= value(&whole, "trp") + 1e-9, "{} {} {:?}", n, m, trp);
        }
    }
}

/// Any number that a file could hold, and some that it could not.
fn wild() -> impl Strategy<Value = f64> {
    prop_oneof![
        Just(0.0),
        Just(90.0),
        Just(180.0),
        Just(-180.0),
        Just(360.0),
        (0..24_u8).prop_map(|i| f64::from(i) * 15.0),
        -400.0..800.0_f64,
        prop::num::f64::ANY,
    ]
}

fn wild_quantity() -> impl Strategy<Value = Quantity> {
    prop::sample::select(vec![
        Quantity::Eirp,
        Quantity::Eis,
        Quantity::Gain,
        Quantity::ReceivedPower,
        Quantity::InstrumentLevel,
        Quantity::Field(FieldScale::Relative),
        Quantity::Field(FieldScale::Volt),
    ])
}

proptest! {
    #![proptest_config(config(400))]

    #[test]
    fn nothing_makes_the_line_panic(
        quantity in wild_quantity(),
        rows in prop::collection::vec((wild(), wild(), wild(), wild(), 0..3_u8, 0..3_u8, 0..3_usize), 0..60),
        snap in prop_oneof![Just(0.1), wild()],
        loss in prop::option::of((0.0..90.0_f64, 0.0..90.0_f64)),
        full in any::<bool>(),
    ) {
        let limits = Limits::small();
        let mut readings = Readings::new("wild", quantity, &limits);
        let frequencies = [None, spheresum_core::Frequency::from_hz(1e9), spheresum_core::Frequency::from_hz(2e9)];
        let mut accepted = 0;
        let grid = (0..=6).flat_map(|i| (0..12).map(move |j| (f64::from(i) * 30.0, f64::from(j) * 30.0)));
        let whole = grid.filter(|_| full).map(|(t, p)| (t, p, 1e-3, 1e-3, 0, 0, 0));
        for (theta_deg, phi_deg, a, b, polarisation, mark, frequency) in rows.into_iter().chain(whole) {
            let frequency = readings.frequency_index(frequencies[frequency], &limits).unwrap();
            let value = if quantity.is_complex() {
                Value::Field(num_complex::Complex64::new(a, b))
            } else {
                Value::Power(a)
            };
            let polarisation = [Polarisation::Theta, Polarisation::Phi, Polarisation::Total][usize::from(polarisation)];
            let mark = [Mark::Exact, Mark::AtMost, Mark::AtLeast][usize::from(mark)];
            accepted += usize::from(readings.push(Reading { frequency, theta_deg, phi_deg, polarisation, value, mark, line: 1 }).is_ok());
        }
        let mut options = ReduceOptions::default();
        options.snap_deg = snap;
        if quantity.needs_range_loss() {
            options.range = loss.and_then(|(t, p)| spheresum_core::correct::RangeLoss::constant(t, p).ok());
        }
        match reduce_readings(&[readings], &options, &limits) {
            Ok(reduction) => {
                prop_assert!(accepted > 0);
                for figure in reduction.channels.iter().flat_map(|c| &c.figures) {
                    for number in [figure.value, figure.lower, figure.upper].into_iter().flatten() {
                        prop_assert!(number.is_finite(), "{:?}", figure);
                    }
                    if let (Some(l), Some(u)) = (figure.lower, figure.upper) {
                        prop_assert!(l <= u, "{:?}", figure);
                    }
                    if let Some(v) = figure.value {
                        prop_assert!(figure.lower.is_none_or(|l| l <= v) && figure.upper.is_none_or(|u| u >= v), "{:?}", figure);
                    }
                }
            }
            Err(error) => prop_assert!(matches!(error.group(), Group::Usage | Group::Domain | Group::Limit), "{}", error),
        }
    }
}
