//! What noise does to a channel of five rings, by hand.
//!
//! Clenshaw and Curtis' half-weights of four intervals are 1, 8, 12, 8 and 1 thirtieths (closed form). Of n averages an rms reading P of a wave
//! in noise N has the variance N·(2P − N)/n, and N²/n at least.

#![allow(clippy::unwrap_used)]

use super::*;
use crate::correct::noise::Level;
use crate::correct::testing::same;
use crate::fill::Missing;
use crate::reduce::noise::testing::{Signals, scene, setting};
use crate::rule::Rule;

/// The variances of four averages are (2S + 1)/4 of theta and S + 1 of phi.
const SIGNALS: Signals = [[10.0, 4.0, 2.0, 3.0, 6.0], [10.0, 1.0, 5.0, 7.0, 6.0]];

/// (20 + 8·5 + 12·7 + 8·10 + 12)/30.
const VALUE: f64 = 236.0 / 30.0;
/// (16.25 + 32·4.25 + 72·7.25 + 32·9.75 + 10.25)/900: a pole is one direction, the mean of two columns has half of their variance.
const VARIANCE: f64 = 996.5 / 900.0;
/// The same of theta, 5.25 + 32·2.25 + 72·1.25 + 32·1.75 + 3.25.
const OF_THETA: f64 = 226.5 / 900.0;
/// 0.1² + 0.2², of half-weights that come to 1.
const FLOOR: f64 = 0.05;
/// 138·(1/4 + 1)/900.
const LEAST: f64 = 172.5 / 900.0;

fn reported(
    signals: Signals,
    averages: f64,
    options: NoiseOptions,
    change: impl Fn(&mut Noise),
) -> Option<NoiseReport> {
    let (sphere, mut noise) = scene(signals, averages);
    change(&mut noise);
    let setting = setting(Rule::ClenshawCurtis, 4, Some(noise));
    let channel = Channel::new(&sphere, 1, &setting, &Missing::default()).unwrap();
    report(&channel, &options)
}

fn db_of(ratio: f64) -> f64 {
    10.0 * libm::log10(ratio)
}

#[test]
fn a_channel_by_hand() {
    let options = NoiseOptions {
        sweep_min: Some(20.0),
        ..NoiseOptions::default()
    };
    let found = reported(SIGNALS, 4.0, options, |_| {}).unwrap();
    same(found.value_w, VALUE);
    same(found.noise_standard_w, libm::sqrt(VARIANCE));
    same(found.floor_standard_w.unwrap(), libm::sqrt(FLOOR));
    // 3 W of both floors more, in dBm.
    same(found.shown_dbm.unwrap(), db_of(VALUE + 3.0) + 30.0);
    same(found.bias_db.unwrap(), db_of((VALUE + 3.0) / VALUE));
    let db_per_unit = 10.0 / std::f64::consts::LN_10;
    same(
        found.bias_left_db.unwrap(),
        db_per_unit * libm::sqrt(FLOOR) / VALUE,
    );
    let low = VALUE - 1.959_963_984_540_054 * libm::sqrt(VARIANCE + FLOOR);
    same(found.half_width_db.unwrap(), db_of(VALUE / low));
    // Phi's 1 W lies below its floor of 2 W: 8/30 of 236/30.
    same(found.below_floor_percent.unwrap(), 800.0 / 236.0);
    let visible = 3.29 * libm::sqrt(LEAST + FLOOR);
    same(found.lowest_visible_dbm.unwrap(), db_of(visible) + 30.0);
    let target = VALUE * 0.25 / db_per_unit;
    let wanted = VARIANCE / (target * target - FLOOR);
    let Some(Slower::Factor(factor)) = found.slower else {
        unreachable!("the floor is known well");
    };
    same(factor, wanted);
    same(found.slower_min.unwrap(), 20.0 * wanted);
    assert_eq!(found.target_db, 0.25);
    assert_eq!(found.below_noise_db, None);
    // (Σ|w|√v)²/(16·Σw²v) of 16 samples.
    let of_theta = [
        (1.0, 5.25),
        (8.0, 2.25),
        (12.0, 1.25),
        (8.0, 1.75),
        (1.0, 3.25),
    ];
    let of_phi = [(1.0, 11.0), (8.0, 2.0), (12.0, 6.0), (8.0, 8.0), (1.0, 7.0)];
    let roots = of_theta.iter().chain(&of_phi);
    let first: f64 = roots.map(|(w, v): &(f64, f64)| w * libm::sqrt(*v)).sum();
    same(found.dwell_ratio.unwrap(), first * first / (16.0 * 996.5));

    assert_eq!((found.detector, found.signal), (Detector::Rms, Signal::Cw));
    assert_eq!(
        (found.averages, found.averages_from),
        (4.0, AveragesFrom::Said)
    );
    assert!(!found.is_estimated);
    let [theta, phi] = found.floor.as_slice() else {
        unreachable!("two polarisations");
    };
    assert_eq!(theta.polarisation, Polarisation::Theta);
    assert_eq!(phi.polarisation, Polarisation::Phi);
    same(theta.floor_dbm, 30.0);
    same(phi.floor_dbm, db_of(2.0) + 30.0);
    same(phi.standard_uncertainty_db.unwrap(), 0.1 * db_per_unit);
    let share = 100.0 * OF_THETA / VARIANCE;
    same(theta.variance_share_percent.unwrap(), share);
    same(phi.variance_share_percent.unwrap(), 100.0 - share);
    let rings: Vec<f64> = found.dominant.iter().map(|d| d.theta_deg).collect();
    assert_eq!(rings, [90.0, 135.0, 45.0]);
    for (ring, part) in found.dominant.iter().zip([522.0, 312.0, 136.0]) {
        same(ring.variance_share_percent, 100.0 * part / 996.5);
    }
}

#[test]
fn verdicts_at_their_thresholds() {
    let at = |clear_db, limit_db, is_estimated| {
        let options = NoiseOptions {
            clear_db,
            limit_db,
            ..NoiseOptions::default()
        };
        let change = |noise: &mut Noise| noise.is_estimated = is_estimated;
        reported(SIGNALS, 4.0, options, change).unwrap()
    };
    let found = at(0.1, 1.0, false);
    let (bias, width) = (found.bias_db.unwrap(), found.half_width_db.unwrap());
    assert_eq!(found.verdict, Verdict::NoiseLimited);
    assert_eq!(at(bias, width, false).verdict, Verdict::Clear);
    assert_eq!(at(bias - 1e-9, width, false).verdict, Verdict::Corrected);
    assert_eq!(at(bias, width - 1e-9, false).verdict, Verdict::NoiseLimited);
    let estimated = at(100.0, 100.0, true);
    assert_eq!(estimated.verdict, Verdict::NoiseLimited);
    assert!(estimated.is_estimated);
}

#[test]
fn readings_below_the_floor() {
    // 0.9 of each floor is not there: −2.7 W where 3 W are taken off, and 0.3 W are shown, 10 dB below the floor. One average leaves
    // √(138·5/900) W of noise, 2.63 W three times; with the floor's own 0.05 W² it is 2.71 W, which explains it.
    let signals = [[-0.9; 5], [-1.8; 5]];
    let without = |noise: &mut Noise| {
        for level in noise.levels.iter_mut().flatten() {
            level.standard_w = None;
        }
    };
    let options = NoiseOptions::default();
    let explained = reported(signals, 1.0, options, |_| {}).unwrap();
    assert_eq!(explained.below_noise_db, None);
    let found = reported(signals, 1.0, options, without).unwrap();
    same(found.below_noise_db.unwrap(), 10.0);
    same(found.value_w, -2.7);
    same(found.noise_standard_w, libm::sqrt(138.0 * 5.0 / 900.0));
    assert_eq!((found.bias_db, found.half_width_db), (None, None));
    assert_eq!((found.bias_left_db, found.floor_standard_w), (None, None));
    assert_eq!((found.below_floor_percent, found.slower), (None, None));
    same(found.shown_dbm.unwrap(), db_of(0.3) + 30.0);
    assert_eq!(found.verdict, Verdict::NoiseLimited);
    // A logarithm shows e^−γ of noise: 2.5068 dB less.
    let log = |noise: &mut Noise| noise.detector = Detector::Log;
    let found = reported(signals, 1e6, options, log).unwrap();
    let gamma_db = 10.0 * 0.577_215_664_901_532_9 / std::f64::consts::LN_10;
    same(found.below_noise_db.unwrap(), 10.0 - gamma_db);
}

#[test]
fn nothing_shown_is_no_level() {
    // Floors are taken off of nothing.
    let found = reported([[-1.0; 5], [-2.0; 5]], 1e6, NoiseOptions::default(), |n| {
        n.raw.fill(0.0);
    })
    .unwrap();
    assert_eq!((found.shown_dbm, found.below_noise_db), (None, None));
    assert_eq!(found.bias_db, None);
    // A floor of nothing, whose signal shows all of itself, hides nothing.
    let nothing = |noise: &mut Noise| {
        noise.levels = vec![vec![Level::new(0.0, Some(0.0)); 2]; 2];
    };
    let found = reported(SIGNALS, 4.0, NoiseOptions::default(), nothing).unwrap();
    assert_eq!(found.lowest_visible_dbm, None);
    assert_eq!(found.dwell_ratio, None);
    let shares: Vec<_> = found
        .floor
        .iter()
        .map(|f| f.variance_share_percent)
        .collect();
    assert_eq!(shares, [None, None]);
    let percent = found.below_floor_percent.unwrap();
    assert_eq!(percent.to_bits(), 0.0_f64.to_bits());
}

#[test]
fn without_a_floor_there_is_nothing_to_say() {
    let (sphere, _) = scene(SIGNALS, 4.0);
    let setting = setting(Rule::ClenshawCurtis, 4, None);
    let channel = Channel::new(&sphere, 1, &setting, &Missing::default()).unwrap();
    assert_eq!(report(&channel, &NoiseOptions::default()), None);
}

#[test]
fn the_worst_verdict_counts() {
    use Verdict::{Clear, Corrected, NoiseLimited, NotAssessed};
    let order = [Clear, Corrected, NotAssessed, NoiseLimited];
    for (i, better) in order.into_iter().enumerate() {
        assert_eq!(usize::from(rank(better)), i);
        for worse in &order[i..] {
            assert_eq!(worst([*worse, better].into_iter()), *worse);
            assert_eq!(worst([better, *worse].into_iter()), *worse);
        }
    }
    assert_eq!(worst(std::iter::empty()), NotAssessed);
}
