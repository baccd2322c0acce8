//! How far the weakest of equal readings lie below their mean, by noise alone.

use crate::unit::sum;

/// Averages from which on the gamma law is taken for a cube of a normal one (Wilson and Hilferty): right to 1e-4 of the mean there.
const MANY: f64 = 300.0;
/// Quantiles that the mean of the tail is taken over.
const STEPS: u32 = 40;

/// Mean of the weakest `share` of readings of one power, over that power, where each reading has so many averages of noise: the mean of the
/// lower tail of a gamma variable of shape n and mean 1 (closed form; power of Gaussian noise).
pub(super) fn mean_of_weakest(averages: f64, share: f64) -> f64 {
    let quantiles: Vec<f64> = (0..STEPS)
        .map(|k| quantile(averages, share * (f64::from(k) + 0.5) / f64::from(STEPS)))
        .collect();
    sum::mean(&quantiles).unwrap_or(1.0)
}

/// Quantile of a gamma variable of shape n ≥ 1 and mean 1.
fn quantile(n: f64, p: f64) -> f64 {
    if n > MANY {
        let third = 1.0 / (9.0 * n);
        let root = 1.0 - third + normal_quantile(p) * libm::sqrt(third);
        return root * root * root;
    }
    let (mut low, mut high) = (0.0_f64, 1.0_f64);
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if below(n, n * middle) < p {
            low = middle;
        } else {
            high = middle;
        }
    }
    0.5 * (low + high)
}

/// Probability that a gamma variable of shape a is below x ≤ a: x^a e^−x/Γ(a+1) · (1 + x/(a+1) + x²/((a+1)(a+2)) + …) (DLMF 8.11.4).
fn below(a: f64, x: f64) -> f64 {
    if x <= 0.0 {
        return 0.0;
    }
    let (mut term, mut sum) = (1.0_f64, 1.0_f64);
    let mut k = a;
    while term > 1e-16 * sum {
        k += 1.0;
        term *= x / k;
        sum += term;
    }
    libm::exp(a * libm::log(x) - x - libm::lgamma(a + 1.0)) * sum
}

/// Quantile of the normal distribution for p ≤ 0.5, by halving.
fn normal_quantile(p: f64) -> f64 {
    let (mut low, mut high) = (-10.0_f64, 0.0_f64);
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if 0.5 * libm::erfc(-middle / std::f64::consts::SQRT_2) < p {
            low = middle;
        } else {
            high = middle;
        }
    }
    0.5 * (low + high)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn as_another_library_has_it() {
        // Independent: scipy.stats.gamma(n, scale=1/n).ppf.
        for (n, p, wanted) in [
            (1.0, 0.025, 0.025_317_808),
            (4.0, 0.01, 0.205_812_172),
            (16.0, 0.05, 0.627_247_296),
            (100.0, 0.025, 0.813_639_913),
            (250.0, 0.001, 0.815_893_921),
            (1000.0, 0.025, 0.938_973_018),
            (12.5, 0.04, 0.563_913_816),
        ] {
            let found = quantile(n, p);
            assert!((found - wanted).abs() < 2e-4, "{n} {p}: {found}");
        }
    }

    #[test]
    fn quantiles_of_the_normal_distribution() {
        // From memory of its tables: 0.05, 0.025, 0.001 and one half.
        for (p, wanted) in [
            (0.05, -1.644_853_626_951_472_7),
            (0.025, -1.959_963_984_540_054),
            (0.001, -3.090_232_306_167_813_5),
            (0.5, 0.0),
        ] {
            let found = normal_quantile(p);
            assert!((found - wanted).abs() < 1e-12, "{p}: {found}");
        }
    }

    #[test]
    fn a_sum_of_whole_averages() {
        // Closed form: below n·x lies 1 − e^−nx·Σ_{k<n} (nx)ᵏ/k!. At 300 averages that still holds to the last digits.
        for n in [1.0, 2.0, 7.0, 40.0, 299.0, 300.0] {
            for p in [0.001, 0.02, 0.05, 0.4] {
                let x = n * quantile(n, p);
                let (mut term, mut sum) = (1.0, 0.0);
                for k in 0..n as u32 {
                    sum += term;
                    term *= x / f64::from(k + 1);
                }
                let found = 1.0 - libm::exp(-x) * sum;
                assert!((found - p).abs() < 1e-12, "{n} {p}: {found}");
            }
        }
        assert_eq!(below(3.0, 0.0).to_bits(), 0.0_f64.to_bits());
    }

    #[test]
    fn many_averages_are_a_cube() {
        // Wilson and Hilferty: (1 − 1/(9n) + z·√(1/(9n)))³, z = −1.959963984540054 for 0.025; n = 400 has 1/3600 = (1/60)².
        for (n, root) in [
            (400.0, 1.0 - 1.0 / 3600.0 - 1.959_963_984_540_054 / 60.0),
            (1e4, 1.0 - 1.0 / 9e4 - 1.959_963_984_540_054 / 300.0),
        ] {
            let wanted: f64 = root * root * root;
            assert!((quantile(n, 0.025) - wanted).abs() < 1e-13, "{n}");
        }
    }

    #[test]
    fn the_tail_is_cut_in_forty() {
        // One average: −ln(1 − p) at the middles of forty equal parts (closed form).
        let middles = (0..40).map(|k| -libm::log1p(-0.3 * (f64::from(k) + 0.5) / 40.0));
        let wanted = middles.sum::<f64>() / 40.0;
        assert!((mean_of_weakest(1.0, 0.3) / wanted - 1.0).abs() < 1e-12);
    }

    #[test]
    fn the_tail_of_an_exponential_variable() {
        // Closed form: ∫₀^q −ln(1 − p) dp / q = 1 + (1 − q)·ln(1 − q)/q.
        let wanted = 1.0 + 0.95 * libm::log(0.95) / 0.05;
        assert!((mean_of_weakest(1.0, 0.05) / wanted - 1.0).abs() < 1e-3);
        assert!(mean_of_weakest(1e9, 0.05) > 0.999);
        let rising: Vec<f64> = [1.0, 2.5, 16.0, 100.0, 299.0, 301.0, 1e4]
            .iter()
            .map(|n| mean_of_weakest(*n, 0.05))
            .collect();
        assert!(rising.windows(2).all(|w| w[0] < w[1]), "{rising:?}");
    }
}
