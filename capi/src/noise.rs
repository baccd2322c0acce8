//! What noise does to a channel.

use crate::finding::known;
use crate::handle::{Tagged, handle, peek};
use crate::reduction::{SPHERESUM_VERDICT_NOT_ASSESSED, verdict};
use crate::words::number_of_polarisation;
use spheresum_core::Polarisation;
use spheresum_core::reduce::NoiseReport;
use spheresum_core::uncertainty::dwell::Slower;

/// Number of a noise report: independent averages in a reading.
pub const SPHERESUM_NOISE_AVERAGES: i32 = 0;
/// Number of a noise report: TRP in W, which may be below zero.
pub const SPHERESUM_NOISE_VALUE_W: i32 = 1;
/// Number of a noise report: TRP with the floor left in, dBm.
pub const SPHERESUM_NOISE_SHOWN_DBM: i32 = 2;
/// Number of a noise report: by how much that is too high, dB.
pub const SPHERESUM_NOISE_BIAS_DB: i32 = 3;
/// Number of a noise report: what the floor's own standard uncertainty leaves of the bias, dB.
pub const SPHERESUM_NOISE_BIAS_LEFT_DB: i32 = 4;
/// Number of a noise report: half-width of the interval of the TRP by noise, dB.
pub const SPHERESUM_NOISE_HALF_WIDTH_DB: i32 = 5;
/// Number of a noise report: share of the TRP that comes from samples below the floor, per cent.
pub const SPHERESUM_NOISE_BELOW_FLOOR_PERCENT: i32 = 6;
/// Number of a noise report: the lowest TRP that this setup can see, dBm.
pub const SPHERESUM_NOISE_LOWEST_VISIBLE_DBM: i32 = 7;
/// Number of a noise report: target of a slower sweep, dB.
pub const SPHERESUM_NOISE_TARGET_DB: i32 = 8;
/// Number of a noise report: how many times as slowly to sweep for that target.
pub const SPHERESUM_NOISE_SLOWER_FACTOR: i32 = 9;
/// Number of a noise report: how many times as many averages the floor needs first, where no slower sweep alone reaches the target.
pub const SPHERESUM_NOISE_FLOOR_AVERAGES_FACTOR: i32 = 10;
/// Number of a noise report: time of the slower sweep, minutes.
pub const SPHERESUM_NOISE_SLOWER_MINUTES: i32 = 11;
/// Number of a noise report: time that dwelling longer only where it matters would take, over that of dwelling everywhere alike.
pub const SPHERESUM_NOISE_DWELL_RATIO: i32 = 12;
/// Number of a noise report: standard uncertainty of the TRP by the noise of the readings, W.
pub const SPHERESUM_NOISE_STANDARD_W: i32 = 13;
/// Number of a noise report: standard uncertainty of the TRP by that of the floor, W.
pub const SPHERESUM_NOISE_FLOOR_STANDARD_W: i32 = 14;
/// Number of a noise report: how far all readings lie below what noise alone would show, dB.
pub const SPHERESUM_NOISE_BELOW_NOISE_DB: i32 = 15;

/// What noise does to a channel. Borrowed from the reduction.
pub struct SpheresumNoise(Tagged<NoiseReport>);
handle!(SpheresumNoise, NoiseReport, "spheresum_noise", b"sph-nois");

impl SpheresumNoise {
    pub(crate) fn of(report: NoiseReport) -> Self {
        Self::make(report)
    }
}

/// Verdict on the channel.
///
/// @param noise in: a report, or NULL
/// @return SPHERESUM_VERDICT_...; _NOT_ASSESSED for NULL
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_noise_verdict(noise: *const SpheresumNoise) -> i32 {
    // SAFETY: NULL or a live object, as the header asks.
    unsafe { peek(noise) }.map_or(SPHERESUM_VERDICT_NOT_ASSESSED, |n| verdict(n.verdict))
}

/// A number of a report.
///
/// @param noise in: a report, or NULL
/// @param which in: SPHERESUM_NOISE_...
/// @param out_number out, optional: the number; not written where it is not known
/// @return 1 where the number is known, else 0
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_noise_number(
    noise: *const SpheresumNoise,
    which: i32,
    out_number: *mut f64,
) -> i32 {
    // SAFETY: NULL or a live object, as the header asks.
    let found = unsafe { peek(noise) }.and_then(|n| number(n, which));
    // SAFETY: NULL, or it can be written, as the header asks.
    unsafe { known(found, out_number) }
}

fn number(report: &NoiseReport, which: i32) -> Option<f64> {
    match which {
        SPHERESUM_NOISE_AVERAGES => Some(report.averages),
        SPHERESUM_NOISE_VALUE_W => Some(report.value_w),
        SPHERESUM_NOISE_SHOWN_DBM => report.shown_dbm,
        SPHERESUM_NOISE_BIAS_DB => report.bias_db,
        SPHERESUM_NOISE_BIAS_LEFT_DB => report.bias_left_db,
        SPHERESUM_NOISE_HALF_WIDTH_DB => report.half_width_db,
        SPHERESUM_NOISE_BELOW_FLOOR_PERCENT => report.below_floor_percent,
        SPHERESUM_NOISE_LOWEST_VISIBLE_DBM => report.lowest_visible_dbm,
        SPHERESUM_NOISE_TARGET_DB => Some(report.target_db),
        SPHERESUM_NOISE_SLOWER_FACTOR => match report.slower? {
            Slower::Factor(factor) | Slower::Floor { factor, .. } => Some(factor),
            _ => None,
        },
        SPHERESUM_NOISE_FLOOR_AVERAGES_FACTOR => match report.slower? {
            Slower::Floor { floor_averages, .. } => Some(floor_averages),
            _ => None,
        },
        SPHERESUM_NOISE_SLOWER_MINUTES => report.slower_min,
        SPHERESUM_NOISE_DWELL_RATIO => report.dwell_ratio,
        SPHERESUM_NOISE_STANDARD_W => Some(report.noise_standard_w),
        SPHERESUM_NOISE_FLOOR_STANDARD_W => report.floor_standard_w,
        SPHERESUM_NOISE_BELOW_NOISE_DB => report.below_noise_db,
        _ => None,
    }
}

/// The floor of a polarisation, as EIRP.
///
/// @param noise in: a report, or NULL
/// @param polarisation in: SPHERESUM_POLARISATION_...
/// @param out_floor_dbm out, optional: the floor, dBm; not written where there is none
/// @return 1 where the polarisation has a floor, else 0
#[unsafe(no_mangle)]
pub unsafe extern "C" fn spheresum_noise_floor_dbm(
    noise: *const SpheresumNoise,
    polarisation: i32,
    out_floor_dbm: *mut f64,
) -> i32 {
    let is = |p: Polarisation| number_of_polarisation(p) == polarisation;
    // SAFETY: NULL or a live object, as the header asks.
    let found = unsafe { peek(noise) }
        .and_then(|n| n.floor.iter().find(|f| is(f.polarisation)))
        .map(|f| f.floor_dbm);
    // SAFETY: NULL, or it can be written, as the header asks.
    unsafe { known(found, out_floor_dbm) }
}
