//! Uncertainty of a ratio of two values, to first order.

use crate::uncertainty::Standard;

/// Standard uncertainty of a/b for values that are independent: that of the ratio is the root of the sum of squares of the relative ones.
#[must_use]
pub fn independent((a, of_a): (f64, &Standard), (b, of_b): (f64, &Standard)) -> Standard {
    if a <= 0.0 || b <= 0.0 {
        return Standard::default();
    }
    let both =
        |x: Option<f64>, y: Option<f64>| x.zip(y).map(|(x, y)| a / b * libm::hypot(x / a, y / b));
    // A gap in one of them alone is one of the ratio too.
    let gaps = match (of_a.gaps, of_b.gaps) {
        (None, None) => None,
        (x, y) => both(Some(x.unwrap_or(0.0)), Some(y.unwrap_or(0.0))),
    };
    Standard {
        noise: both(of_a.noise, of_b.noise),
        floor: both(of_a.floor, of_b.floor),
        gaps,
    }
}

/// Standard uncertainty of the share s = a/b that a part has in its whole, where `covariance` is that of their noise:
///
/// - noise: u²(s)/s² = u²(a)/a² + u²(b)/b² − 2·cov/(ab);
/// - floor: part and whole move together, d ln s = |u(b)/b − u(a)/a|.
#[must_use]
pub fn share(
    (a, of_a): (f64, &Standard),
    (b, of_b): (f64, &Standard),
    covariance: f64,
) -> Standard {
    let alone = independent((a, of_a), (b, of_b));
    if a <= 0.0 || b <= 0.0 {
        return alone;
    }
    let noise = of_a.noise.zip(of_b.noise).map(|(part, whole)| {
        let (x, y) = (part / a, whole / b);
        let relative = x * x + y * y - 2.0 * covariance / (a * b);
        a / b * libm::sqrt(relative.max(0.0))
    });
    let floor = of_a.floor.zip(of_b.floor);
    Standard {
        noise,
        floor: floor.map(|(part, whole)| a / b * (whole / b - part / a).abs()),
        gaps: alone.gaps,
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    fn standard(noise: f64, floor: f64) -> Standard {
        Standard {
            noise: Some(noise),
            floor: Some(floor),
            gaps: None,
        }
    }

    #[test]
    fn closed_forms() {
        // 3 % and 4 % are 5 %.
        let found = independent((2.0, &standard(0.06, 0.02)), (4.0, &standard(0.16, 0.0)));
        assert!((found.noise.unwrap() - 0.5 * 0.05).abs() < 1e-15);
        assert!((found.floor.unwrap() - 0.5 * 0.01).abs() < 1e-15);
        assert_eq!(found.gaps, None);
        // A part and a rest of 1 each, 10 % noise in both: the share is 0.5, and u = 0.5·(0.5·0.1)·√2.
        let whole = standard(0.1 * 2f64.sqrt(), 0.2);
        let found = share((1.0, &standard(0.1, 0.1)), (2.0, &whole), 0.01);
        assert!((found.noise.unwrap() - 0.5 * 0.05 * 2f64.sqrt()).abs() < 1e-15);
        // Floor and power are shared out alike: the share does not move.
        assert!(found.floor.unwrap().abs() < 1e-15);
        // The whole of itself is certain.
        let found = share((2.0, &whole), (2.0, &whole), 0.02);
        assert!(found.noise.unwrap().abs() < 1e-8);
        assert_eq!(
            share((-1.0, &whole), (2.0, &whole), 0.0),
            Standard::default()
        );
    }
}
