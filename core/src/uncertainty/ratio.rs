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

    fn parts(noise: f64, floor: f64, gaps: Option<f64>) -> Standard {
        Standard {
            noise: Some(noise),
            floor: Some(floor),
            gaps,
        }
    }

    fn close(found: Option<f64>, wanted: f64) {
        assert!((found.unwrap() - wanted).abs() < 1e-14, "{found:?}");
    }

    #[test]
    fn independent_by_hand() {
        // a/b = 5 ± 5·√(x² + y²): 3 % and 4 %, 5 % and 12 %, 8 % and 15 %.
        let (a, b) = (10.0, 2.0);
        let found = independent(
            (a, &parts(0.3, 0.5, Some(0.8))),
            (b, &parts(0.08, 0.24, Some(0.3))),
        );
        close(found.noise, 0.25);
        close(found.floor, 0.65);
        close(found.gaps, 0.85);
        // A gap in one alone; noise that is known of one alone is not known of the ratio.
        let of_a = parts(0.3, 0.5, Some(0.8));
        let of_b = Standard {
            noise: None,
            ..parts(0.0, 0.24, None)
        };
        let found = independent((a, &of_a), (b, &of_b));
        close(found.gaps, 0.4);
        assert_eq!(found.noise, None);
        let found = independent((b, &of_b), (a, &of_a));
        close(found.gaps, 0.2 * 0.08);
        for (a, b) in [(0.0, 2.0), (2.0, 0.0), (-1.0, 2.0), (2.0, -1.0)] {
            assert_eq!(independent((a, &of_a), (b, &of_a)), Standard::default());
            assert_eq!(share((a, &of_a), (b, &of_a), 0.1), Standard::default());
        }
    }

    #[test]
    fn a_share_by_hand() {
        // s = 2/10: noise 5 % and 2 %, covariance 0.006 → 2·0.006/20; floor 15 % and 5 %, gaps 6 % and 8 %.
        let part = (2.0, &parts(0.1, 0.3, Some(0.12)));
        let whole = (10.0, &parts(0.2, 0.5, Some(0.8)));
        let found = share(part, whole, 0.006);
        close(found.noise, 0.2 * libm::sqrt(0.0025 + 0.0004 - 0.0006));
        close(found.floor, 0.2 * 0.1);
        close(found.gaps, 0.2 * 0.1);
        // A covariance that rounding made too large leaves nothing, and no NaN.
        close(share(part, whole, 1.0).noise, 0.0);
        let unknown = Standard {
            noise: None,
            floor: None,
            gaps: None,
        };
        assert_eq!(share((2.0, &unknown), whole, 0.006).noise, None);
    }
}
