//! A report and channels that the tests of this folder share, and a channel whose noise is known by hand.

#![allow(clippy::unwrap_used)]

use super::report::NoiseReport;
use crate::correct::noise::{AveragesFrom, Level};
use crate::correct::testing::{mhz, noise, sphere};
use crate::correct::{Detector, Noise, Signal};
use crate::figure::{Given, Setting};
use crate::model::{Layout, Quantity, Sphere};
use crate::reduce::{ChannelResult, Verdict};
use crate::rule::{EdgesChoice, Rule, WeightTable};
use crate::uncertainty::dwell::Slower;
use ndarray::Array3;

/// A corrected channel of which everything is known, and nothing is left to say but what its verdict rests on.
pub(super) fn plain() -> NoiseReport {
    NoiseReport {
        verdict: Verdict::Corrected,
        detector: Detector::Rms,
        signal: Signal::Cw,
        averages: 16.0,
        averages_from: AveragesFrom::Said,
        is_estimated: false,
        floor: Vec::new(),
        value_w: 1e-9,
        shown_dbm: Some(-58.77),
        bias_db: Some(1.234),
        bias_left_db: None,
        noise_standard_w: 1e-11,
        floor_standard_w: Some(1e-12),
        below_noise_db: None,
        half_width_db: Some(0.5),
        below_floor_percent: Some(0.0),
        lowest_visible_dbm: Some(-71.23),
        target_db: 0.25,
        slower: Some(Slower::Factor(2.345)),
        slower_min: None,
        dwell_ratio: None,
        dominant: Vec::new(),
    }
}

/// A channel with its report.
pub(super) fn channel(at_mhz: Option<&str>, noise: Option<NoiseReport>) -> ChannelResult {
    ChannelResult {
        frequency_hz: at_mhz.and_then(mhz),
        figures: Vec::new(),
        noise,
    }
}

/// Signal of theta and phi at each ring of the second frequency, W.
pub(super) type Signals = [[f64; 5]; 2];

/// Five rings of two columns with floors of 1 W and 2 W (± 0.1 W and 0.2 W), whose second frequency has these signals; the first has floors
/// of 50 W and signals of 1 kW.
pub(super) fn scene(signals: Signals, averages: f64) -> (Sphere, Noise) {
    let power = |(f, p, d): (usize, usize, usize)| match f {
        0 => 1000.0,
        _ => signals[p][d / 2],
    };
    let frequencies = [mhz("860"), mhz("870")];
    let sphere = sphere(
        Quantity::Eirp,
        Layout::ThetaPhi,
        (4, 2),
        &frequencies,
        power,
    );
    let floor = [[50.0, 50.0], [1.0, 2.0]];
    let raw = Array3::from_shape_fn((2, 2, 10), |at| power(at) + floor[at.0][at.1]);
    let levels = floor.map(|f| f.map(|n| Level::new(n, Some(0.1 * n))).to_vec());
    let noise = noise(levels.to_vec(), averages, Detector::Rms, Signal::Cw, raw);
    (sphere, noise)
}

/// The setting of a reduction of so many intervals.
pub(super) fn setting(rule: Rule, intervals: usize, noise: Option<Noise>) -> Setting {
    Setting {
        weights: WeightTable::new(intervals, &[]),
        rule,
        edges: EdgesChoice::Auto,
        given: Given::default(),
        max_missing: 0.1,
        noise,
    }
}
