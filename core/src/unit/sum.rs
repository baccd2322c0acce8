//! Sums in a fixed order of our own, so that a result depends on neither memory layout nor platform, to the last bit.

/// Number of interleaved partial sums.
const LANES: usize = 8;

/// Sum of `values` in a fixed order: eight interleaved partial sums, joined from the first to the last.
///
/// The order depends on the positions in the slice alone. No contraction to fused operations takes place.
#[must_use]
pub fn in_order(values: &[f64]) -> f64 {
    let mut lanes = [0.0_f64; LANES];
    let mut chunks = values.chunks_exact(LANES);
    for chunk in &mut chunks {
        for (lane, value) in lanes.iter_mut().zip(chunk) {
            *lane += value;
        }
    }
    for (lane, value) in lanes.iter_mut().zip(chunks.remainder()) {
        *lane += value;
    }
    let mut total = 0.0;
    for lane in lanes {
        total += lane;
    }
    total
}

/// Sum of the products of two slices, element by element, in the order of [`in_order`]; what one has more than the other is left out.
#[must_use]
pub fn product(a: &[f64], b: &[f64]) -> f64 {
    let count = a.len().min(b.len());
    let ((a, rest_a), (b, rest_b)) = (
        a[..count].as_chunks::<LANES>(),
        b[..count].as_chunks::<LANES>(),
    );
    let mut lanes = [0.0_f64; LANES];
    // Written out: the heart of every fit, also where nothing is optimised.
    for (x, y) in a.iter().zip(b) {
        let ([x0, x1, x2, x3, x4, x5, x6, x7], [y0, y1, y2, y3, y4, y5, y6, y7]) = (x, y);
        lanes[0] += x0 * y0;
        lanes[1] += x1 * y1;
        lanes[2] += x2 * y2;
        lanes[3] += x3 * y3;
        lanes[4] += x4 * y4;
        lanes[5] += x5 * y5;
        lanes[6] += x6 * y6;
        lanes[7] += x7 * y7;
    }
    for ((lane, x), y) in lanes.iter_mut().zip(rest_a).zip(rest_b) {
        *lane += x * y;
    }
    let mut total = 0.0;
    for lane in lanes {
        total += lane;
    }
    total
}

/// Arithmetic mean of `values` in the order of [`in_order`]; `None` for an empty slice.
#[must_use]
pub fn mean(values: &[f64]) -> Option<f64> {
    if values.is_empty() {
        return None;
    }
    Some(in_order(values) / values.len() as f64)
}

/// Mean of values whose own order must not reach the last bit: sorts a copy by value first.
///
/// Used for repeats, whose order is the order of rows in a file.
#[must_use]
pub fn mean_of_sorted(values: &mut [f64]) -> Option<f64> {
    values.sort_unstable_by(f64::total_cmp);
    mean(values)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sums_small_integers_exactly() {
        // Gauss: 1 + … + n = n(n+1)/2, exact in binary floating point for these sizes.
        for n in [0_u32, 1, 7, 8, 9, 1000] {
            let values: Vec<f64> = (1..=n).map(f64::from).collect();
            assert_eq!(in_order(&values), f64::from(n) * f64::from(n + 1) / 2.0);
        }
        assert_eq!(mean(&[]), None);
        // Σ i·i = n(n+1)(2n+1)/6.
        for n in [0_u32, 1, 7, 8, 9, 1000] {
            let values: Vec<f64> = (1..=n).map(f64::from).collect();
            let n = f64::from(n);
            assert_eq!(
                product(&values, &values),
                n * (n + 1.0) * (2.0 * n + 1.0) / 6.0
            );
        }
        assert_eq!(product(&[1.0, 2.0], &[3.0]), 3.0);
    }

    #[test]
    fn sorted_mean_forgets_the_order() {
        let mut a = [1e16, 1.0, -1e16, 3.5, 0.1];
        let mut b = [0.1, 3.5, 1e16, -1e16, 1.0];
        assert_eq!(
            mean_of_sorted(&mut a).map(f64::to_bits),
            mean_of_sorted(&mut b).map(f64::to_bits)
        );
    }
}
