//! Angles in degrees: exact values at the quadrant edges, and folding into the sphere.

/// Sine of an angle in degrees (1). Exact at multiples of 30° where the result is 0, ±½ or ±1, odd, and symmetric
/// about 90° to the last bit.
#[must_use]
pub fn sin_deg(angle_deg: f64) -> f64 {
    let a = wrap_360(angle_deg);
    let (a, sign) = if a > 180.0 {
        (360.0 - a, -1.0)
    } else {
        (a, 1.0)
    };
    let a = if a > 90.0 { 180.0 - a } else { a };
    sign * first_quadrant_sin(a)
}

/// Cosine of an angle in degrees (1). Exact where the result is 0, ±½ or ±1.
#[must_use]
pub fn cos_deg(angle_deg: f64) -> f64 {
    let a = wrap_360(angle_deg);
    let a = if a > 180.0 { 360.0 - a } else { a };
    if a > 90.0 {
        -first_quadrant_sin(a - 90.0)
    } else {
        first_quadrant_sin(90.0 - a)
    }
}

fn first_quadrant_sin(a: f64) -> f64 {
    if a == 0.0 {
        0.0
    } else if a == 30.0 {
        0.5
    } else if a == 90.0 {
        1.0
    } else if a <= 45.0 {
        libm::sin(a.to_radians())
    } else {
        libm::cos((90.0 - a).to_radians())
    }
}

/// The same direction of rotation in 0 (inclusive) … 360 (exclusive) degrees. NaN stays NaN.
#[must_use]
pub fn wrap_360(angle_deg: f64) -> f64 {
    if (0.0..360.0).contains(&angle_deg) {
        return angle_deg;
    }
    let a = angle_deg % 360.0;
    let a = if a < 0.0 { a + 360.0 } else { a };
    // `-1e-20 + 360` rounds to 360.
    if a >= 360.0 { 0.0 } else { a }
}

/// A direction folded into θ 0…180°, φ 0…360° (exclusive).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Folded {
    /// θ from +z, 0…180 degrees.
    pub theta_deg: f64,
    /// φ, 0 (inclusive) … 360 (exclusive) degrees.
    pub phi_deg: f64,
    /// True where θ was outside 0…180°: there both complex components change sign; powers do not.
    pub flipped: bool,
}

/// True where a direction can be folded: θ −180…360°, φ −360…720°.
#[must_use]
#[inline]
pub fn can_fold(theta_deg: f64, phi_deg: f64) -> bool {
    (-180.0..=360.0).contains(&theta_deg) && (-360.0..=720.0).contains(&phi_deg)
}

/// Folds a direction into the sphere: θ<0 becomes (−θ, φ+180°), 180<θ≤360 becomes (360°−θ, φ+180°).
///
/// Returns `None` where θ is outside −180…360°, φ outside −360…720°, or either is not finite. Source: F16b, derivation
/// from x = sinθ cosφ, y = sinθ sinφ, z = cosθ.
#[must_use]
pub fn fold(theta_deg: f64, phi_deg: f64) -> Option<Folded> {
    if !can_fold(theta_deg, phi_deg) {
        return None;
    }
    let (theta_deg, turned, flipped) = if theta_deg < 0.0 {
        (-theta_deg, phi_deg + 180.0, true)
    } else if theta_deg > 180.0 {
        (360.0 - theta_deg, phi_deg + 180.0, true)
    } else {
        (theta_deg, phi_deg, false)
    };
    Some(Folded {
        theta_deg,
        phi_deg: wrap_360(turned),
        flipped,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn exact_where_the_sine_is_simple() {
        // Closed form.
        for (deg, sin, cos) in [
            (0.0, 0.0, 1.0),
            (30.0, 0.5, f64::sqrt(3.0) / 2.0),
            (90.0, 1.0, 0.0),
            (150.0, 0.5, -f64::sqrt(3.0) / 2.0),
            (180.0, 0.0, -1.0),
            (270.0, -1.0, 0.0),
            (-60.0, -f64::sqrt(3.0) / 2.0, 0.5),
        ] {
            assert!((sin_deg(deg) - sin).abs() < 2e-16, "sin {deg}");
            assert!((cos_deg(deg) - cos).abs() < 2e-16, "cos {deg}");
        }
        assert_eq!(sin_deg(180.0), 0.0);
        assert_eq!(cos_deg(90.0), 0.0);
        assert_eq!(cos_deg(60.0), 0.5);
    }

    #[test]
    fn symmetric_about_the_horizon() {
        for step in 1..90 {
            let a = f64::from(step);
            assert_eq!(sin_deg(a).to_bits(), sin_deg(180.0 - a).to_bits());
            assert_eq!(cos_deg(a).to_bits(), (-cos_deg(180.0 - a)).to_bits());
        }
    }

    #[test]
    fn folding_keeps_the_direction() {
        // Unit vectors before and after must agree (closed form).
        for (theta, phi) in [
            (-30.0, 10.0),
            (200.0, 350.0),
            (360.0, 0.0),
            (75.0, -15.0),
            (180.0, 360.0),
        ] {
            let f = fold(theta, phi).unwrap_or(Folded {
                theta_deg: f64::NAN,
                phi_deg: f64::NAN,
                flipped: false,
            });
            let v = |t: f64, p: f64| [sin_deg(t) * cos_deg(p), sin_deg(t) * sin_deg(p), cos_deg(t)];
            for (a, b) in v(theta, phi).iter().zip(v(f.theta_deg, f.phi_deg)) {
                assert!((a - b).abs() < 1e-15);
            }
        }
        assert!(fold(361.0, 0.0).is_none());
        assert!(fold(f64::NAN, 0.0).is_none());
        assert!(fold(10.0, f64::INFINITY).is_none());
        assert_eq!(wrap_360(-1e-20), 0.0);
    }
}
