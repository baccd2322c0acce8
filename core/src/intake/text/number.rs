//! Decimal numbers: a short exact path for what files hold, the standard library's exact parser for the rest.

use std::num::NonZeroU64;

/// Most digits of a mantissa that always fit in 64 bits.
const MAX_DIGITS: usize = 19;

/// Largest integer up to which every integer is a double.
const MAX_EXACT: u64 = 1 << 53;

/// Powers of ten that are doubles without rounding.
const EXACT_TEN: [f64; 23] = [
    1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16,
    1e17, 1e18, 1e19, 1e20, 1e21, 1e22,
];

/// Reads the number that starts at `at` and gives it with the offset behind it.
///
/// A number is an optional sign, digits with at most one `decimal` sign among them, and an optional exponent. `None`
/// where there is no digit, or where the value is not finite. The result is the nearest double, always: with at most 53
/// bits of mantissa and a power of ten up to 22, both are exact and one multiplication or division rounds once
/// (Clinger's fast path); everything else goes to the standard library.
#[inline]
#[must_use]
pub fn scan(text: &[u8], at: usize, decimal: u8) -> Option<(f64, usize)> {
    short(text, at, decimal).or_else(|| long(text, at, decimal))
}

/// Every byte of a word.
const fn each(byte: u8) -> u64 {
    u64::from_le_bytes([byte; 8])
}

/// A number of at most seven characters behind its sign, all digits at once. `None` means "look again": a longer number, one
/// with an exponent or a plus sign, the end of the text, or no number at all. Positions in the word are counted in bits.
#[inline(always)]
fn short(text: &[u8], at: usize, decimal: u8) -> Option<(f64, usize)> {
    let window: &[u8; 9] = text.get(at..at.checked_add(9)?)?.try_into().ok()?;
    let negative = window[0] == b'-';
    let word = u64::from_le_bytes(if negative {
        *window.last_chunk()?
    } else {
        *window.first_chunk()?
    });
    // Digits become 0 to 9, and every other byte gets its high bit set. A byte beyond ASCII carries into the one behind it,
    // which does not matter: the number ends in front of it.
    let digits = word ^ each(b'0');
    let others = NonZeroU64::new((digits.wrapping_add(each(0x76)) | digits) & each(0x80))?;
    let first = others.trailing_zeros() & !7;
    let rest = others.get() & (others.get() - 1);
    let (digits, missing, places, end) = if (word >> first) as u8 == decimal {
        let end = NonZeroU64::new(rest)?.trailing_zeros() & !7;
        // All bytes in front of the decimal sign stay, those behind it move up.
        let low = (others.get() ^ (others.get() - 1)) >> 8;
        let closed = (digits & low) | ((digits >> 8) & !low);
        (closed, 72 - end, end - first, end)
    } else {
        (digits, 64 - first, 8, first)
    };
    if missing == 64 || (word >> end) as u8 | 0x20 == b'e' {
        return None;
    }
    // Eight digits, the missing ones in front as zeros; then pairs, fours, all.
    let eight = digits << missing;
    let pairs = eight.wrapping_mul(10).wrapping_add(eight >> 8);
    let even = (pairs & 0x0000_00FF_0000_00FF).wrapping_mul(0x000F_4240_0000_0064);
    let odd = ((pairs >> 16) & 0x0000_00FF_0000_00FF).wrapping_mul(0x0000_2710_0000_0001);
    let mantissa = (even.wrapping_add(odd) >> 32) as u32;
    let size = f64::from(mantissa) / TEN_BY_PLACES[(places >> 3) as usize & 7];
    let minus = u64::from(negative) << 63;
    let end = at + usize::from(negative) + (end >> 3) as usize;
    Some((f64::from_bits(size.to_bits() | minus), end))
}

/// Powers of ten by the number of characters from the decimal sign on.
const TEN_BY_PLACES: [f64; 8] = [1e0, 1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6];

/// As [`scan`], for every number.
fn long(text: &[u8], at: usize, decimal: u8) -> Option<(f64, usize)> {
    let mut pos = at;
    let first = *text.get(pos)?;
    let negative = first == b'-';
    if negative || first == b'+' {
        pos += 1;
    }
    let mut mantissa: u64 = 0;
    let start = pos;
    while let Some(digit) = digit(text, pos) {
        mantissa = mantissa.wrapping_mul(10).wrapping_add(digit);
        pos += 1;
    }
    let mut digits = pos - start;
    let mut fraction = 0;
    if text.get(pos) == Some(&decimal) {
        pos += 1;
        let start = pos;
        while let Some(digit) = digit(text, pos) {
            mantissa = mantissa.wrapping_mul(10).wrapping_add(digit);
            pos += 1;
        }
        fraction = pos - start;
        digits += fraction;
    }
    if digits == 0 {
        return None;
    }
    if matches!(text.get(pos), Some(b'e' | b'E')) {
        return with_exponent(text, at, pos, decimal, mantissa, digits, fraction);
    }
    if digits <= MAX_DIGITS && mantissa <= MAX_EXACT {
        // At most 19 digits, so at most 10^19: inside the table.
        let size = mantissa as f64 / EXACT_TEN[fraction];
        return Some((if negative { -size } else { size }, pos));
    }
    careful(text, at, pos, decimal).map(|v| (v, pos))
}

#[inline(always)]
fn digit(text: &[u8], at: usize) -> Option<u64> {
    let digit = text.get(at)?.wrapping_sub(b'0');
    (digit < 10).then_some(u64::from(digit))
}

/// The rest of a number whose exponent letter stands at `pos`.
fn with_exponent(
    text: &[u8],
    at: usize,
    pos: usize,
    decimal: u8,
    mantissa: u64,
    digits: usize,
    fraction: usize,
) -> Option<(f64, usize)> {
    let mut end = pos + 1;
    let minus = text.get(end) == Some(&b'-');
    if minus || text.get(end) == Some(&b'+') {
        end += 1;
    }
    let start = end;
    let mut exponent: i64 = 0;
    while let Some(digit) = digit(text, end) {
        exponent = exponent.saturating_mul(10).saturating_add(digit as i64);
        end += 1;
    }
    if end == start {
        return None;
    }
    let exponent = if minus { -exponent } else { exponent };
    if digits <= MAX_DIGITS && mantissa <= MAX_EXACT {
        let power = exponent.saturating_sub(fraction as i64);
        let ten = usize::try_from(power.unsigned_abs())
            .ok()
            .and_then(|p| EXACT_TEN.get(p));
        if let Some(ten) = ten {
            let size = mantissa as f64;
            let size = if power < 0 { size / ten } else { size * ten };
            return Some((
                if text.get(at) == Some(&b'-') {
                    -size
                } else {
                    size
                },
                end,
            ));
        }
    }
    careful(text, at, end, decimal).map(|v| (v, end))
}

/// The standard library's parser on one token.
fn careful(text: &[u8], at: usize, end: usize, decimal: u8) -> Option<f64> {
    let token = std::str::from_utf8(text.get(at..end)?).ok()?;
    let value: f64 = if decimal == b'.' {
        token.parse().ok()?
    } else {
        token.replace(char::from(decimal), ".").parse().ok()?
    };
    value.is_finite().then_some(value)
}

/// The number a whole text is; `None` where something stands behind it.
pub fn whole(text: &str, decimal: u8) -> Option<f64> {
    let (value, end) = scan(text.as_bytes(), 0, decimal)?;
    (end == text.len()).then_some(value)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A small deterministic generator, so that a failure repeats.
    struct Rolls(u64);

    impl Rolls {
        fn below(&mut self, n: u64) -> u64 {
            self.0 = self
                .0
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1_442_695_040_888_963_407);
            (self.0 >> 33) % n
        }

        fn digits(&mut self, n: u64) -> String {
            (0..n)
                .map(|_| char::from(b'0' + self.below(10) as u8))
                .collect()
        }
    }

    #[test]
    fn equals_the_standard_parser_to_the_bit() {
        let mut rolls = Rolls(868_300_000);
        for round in 0..400_000 {
            let whole_digits = rolls.below(if round % 8 == 0 { 24 } else { 6 });
            let mut text = ["", "-", "+"][rolls.below(3) as usize].to_string();
            text += &rolls.digits(whole_digits);
            if rolls.below(4) > 0 {
                let n = rolls.below(if round % 5 == 0 { 25 } else { 7 });
                text.push('.');
                text += &rolls.digits(n);
            }
            if rolls.below(4) == 0 {
                let n = rolls.below(4);
                text += ["e", "E", "e-", "e+"][rolls.below(4) as usize];
                text += &rolls.digits(n);
            }
            let want = text.parse::<f64>().ok().filter(|v| v.is_finite());
            let got = whole(&text, b'.');
            assert_eq!(got.map(f64::to_bits), want.map(f64::to_bits), "{text}");
            let comma = whole(&text.replace('.', ","), b',');
            assert_eq!(
                comma.map(f64::to_bits),
                want.map(f64::to_bits),
                "{text} with a comma"
            );
        }
    }

    #[test]
    fn edges() {
        assert_eq!(
            whole("-0.0", b'.').map(f64::to_bits),
            Some((-0.0_f64).to_bits())
        );
        for text in [
            "", "-", ".", "1.2.3", "1e", "1e400", "nan", "inf", "1,5", "1 2", "0x10", "1_0", "--1",
        ] {
            assert_eq!(whole(text, b'.'), None, "{text}");
        }
        assert_eq!(whole("1.5", b','), None);
        assert_eq!(scan(b"12.5;x", 0, b'.'), Some((12.5, 4)));
        assert_eq!(whole("1e-400", b'.'), Some(0.0));
        assert_eq!(
            whole("9007199254740993", b'.'),
            Some(9_007_199_254_740_992.0)
        );
    }
}
