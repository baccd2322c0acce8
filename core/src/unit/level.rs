//! Levels: decibels to linear and back.
//!
//! 10^(x/10) and 10·log10 are computed by our own kernel and by `libm`, so that the same input gives the same bits on
//! every platform.

/// Watts in one milliwatt.
const W_PER_MW: f64 = 1e-3;

/// Beyond this, decibels saturate.
const LARGEST_DB: f64 = 3000.0;

/// 1 / (10·log10 2): factors of two in one decibel.
const TWOS_PER_DB: f64 = 0.332_192_809_488_736_2;
/// 10·log10 2 in two parts, the first with its low bits clear so that a product with a small integer is exact
/// (Cody and Waite's reduction).
const DB_PER_TWO_HIGH: f64 = f64::from_bits(0x4008_1518_24c0_0000);
const DB_PER_TWO_LOW: f64 = 2.137_875_151_867_053_5e-10;

/// Taylor coefficients of 10^(r/10) = Σ (ln10/10)ⁿ rⁿ / n!, n = 0…12. With |r| ≤ 1.506 dB the first term left out is
/// below 2e-16.
const TAYLOR: [f64; 13] = {
    const C: f64 = 0.230_258_509_299_404_57;
    let mut t = [1.0; 13];
    let mut n = 1;
    while n < 13 {
        t[n] = t[n - 1] * C / n as f64;
        n += 1;
    }
    t
};

/// The linear ratio of a level in decibels: 10^(x/10).
///
/// Within about 3 units in the last place for |x| ≤ 300 dB; ±∞ give ∞ and 0, NaN gives NaN. Beyond about ±3000 dB the
/// result saturates at ∞ or 0.
#[must_use]
#[inline]
pub fn ratio_from_db(x_db: f64) -> f64 {
    if !(-LARGEST_DB..=LARGEST_DB).contains(&x_db) {
        return if x_db.is_nan() {
            f64::NAN
        } else if x_db > 0.0 {
            f64::INFINITY
        } else {
            0.0
        };
    }
    kernel(x_db)
}

#[inline(always)]
fn kernel(x_db: f64) -> f64 {
    // Adding 1.5·2^52 rounds to the nearest integer and leaves it in the low bits.
    const MAGIC: f64 = 6_755_399_441_055_744.0;
    let shifted = x_db * TWOS_PER_DB + MAGIC;
    let k = shifted - MAGIC;
    let r = (x_db - k * DB_PER_TWO_HIGH) - k * DB_PER_TWO_LOW;
    let mut p = TAYLOR[12];
    p = p * r + TAYLOR[11];
    p = p * r + TAYLOR[10];
    p = p * r + TAYLOR[9];
    p = p * r + TAYLOR[8];
    p = p * r + TAYLOR[7];
    p = p * r + TAYLOR[6];
    p = p * r + TAYLOR[5];
    p = p * r + TAYLOR[4];
    p = p * r + TAYLOR[3];
    p = p * r + TAYLOR[2];
    p = p * r + TAYLOR[1];
    p = p * r + TAYLOR[0];
    // 2^k by its exponent bits; |k| ≤ 997 here, well inside the normal range.
    let exponent = (shifted.to_bits() << 52).wrapping_add(1023_u64 << 52);
    p * f64::from_bits(exponent)
}

/// Level in decibels of a linear ratio: 10·log10(x). Zero gives −∞; negative values and NaN give NaN.
#[must_use]
#[inline]
pub fn db_from_ratio(ratio: f64) -> f64 {
    10.0 * libm::log10(ratio)
}

/// Ratio of two waves (voltages, fields, S-parameters) from decibels: 10^(x/20).
#[must_use]
#[inline]
pub fn wave_from_db(x_db: f64) -> f64 {
    ratio_from_db(0.5 * x_db)
}

/// Decibels of a ratio of two waves: 20·log10(x). Zero gives −∞; negative values and NaN give NaN.
#[must_use]
#[inline]
pub fn db_from_wave(ratio: f64) -> f64 {
    2.0 * db_from_ratio(ratio)
}

/// Watts from dBm.
#[must_use]
#[inline]
pub fn w_from_dbm(level_dbm: f64) -> f64 {
    ratio_from_db(level_dbm) * W_PER_MW
}

/// dBm from watts. Zero gives −∞; negative values give NaN: callers decide before they ask.
#[must_use]
#[inline]
pub fn dbm_from_w(power_w: f64) -> f64 {
    db_from_ratio(power_w / W_PER_MW)
}

/// Replaces levels in dBm by watts, in place. The same bits as [`w_from_dbm`], several at a time.
pub fn w_from_dbm_in_place(levels: &mut [f64]) {
    const CHUNK: usize = 64;
    for chunk in levels.chunks_mut(CHUNK) {
        // No branch a value: the loop can run on several at a time, with the same operations on each.
        let all_in_range = chunk
            .iter()
            .fold(true, |so_far, level| so_far & (level.abs() <= LARGEST_DB));
        if all_in_range {
            for level in chunk {
                *level = kernel(*level) * W_PER_MW;
            }
        } else {
            for level in chunk {
                *level = w_from_dbm(*level);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn powers_of_ten_are_right_to_a_few_units() {
        // Closed form: 10^(n) for whole n, read by the standard library's exact decimal parser.
        for n in -30..=30 {
            let want: f64 = format!("1e{n}").parse().unwrap_or(f64::NAN);
            let got = ratio_from_db(10.0 * f64::from(n));
            assert!((got / want - 1.0).abs() < 8e-16, "10^{n}: {got}");
        }
        assert_eq!(ratio_from_db(0.0), 1.0);
    }

    #[test]
    fn there_and_back() {
        for i in -4000..4000 {
            let x = f64::from(i) * 0.05 + 0.013;
            assert!((db_from_ratio(ratio_from_db(x)) - x).abs() < 1e-13);
            let mut one = [x];
            w_from_dbm_in_place(&mut one);
            assert_eq!(one[0].to_bits(), w_from_dbm(x).to_bits());
        }
    }

    #[test]
    fn waves_have_twice_the_decibels_of_powers() {
        // Closed form: 20 log10 0.1 = −20; half the wave is a quarter of the power.
        assert!((db_from_wave(0.1) + 20.0).abs() < 1e-13);
        assert!((db_from_wave(0.5) - db_from_ratio(0.25)).abs() < 1e-13);
        assert!((wave_from_db(-6.0) / 0.501_187_233_627_272_2 - 1.0).abs() < 1e-15);
        assert_eq!(db_from_wave(0.0), f64::NEG_INFINITY);
    }

    #[test]
    fn ends_of_the_line() {
        assert_eq!(ratio_from_db(f64::NEG_INFINITY), 0.0);
        assert_eq!(ratio_from_db(f64::INFINITY), f64::INFINITY);
        assert!(ratio_from_db(f64::NAN).is_nan());
        assert_eq!(ratio_from_db(-1e300), 0.0);
        assert!(ratio_from_db(3000.0).is_finite());
        assert!(ratio_from_db(-3000.0) > 0.0);
        assert_eq!(db_from_ratio(0.0), f64::NEG_INFINITY);
    }
}
