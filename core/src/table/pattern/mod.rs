//! Patterns that rows name and the runner samples.
//!
//! Each has its power in both polarisations relative to its peak, and its mean over the sphere in closed form. Patterns without
//! a physical polarisation are split equally.

mod array;
mod beam;
mod element;

pub use array::{Axis, LineArray};
pub use beam::ExponentialBeam;

/// A pattern of known peak and mean.
#[derive(Clone, Copy, Debug, PartialEq)]
#[non_exhaustive]
pub enum Pattern {
    /// The same in all directions, split equally.
    Isotropic,
    /// Short dipole along z.
    ZDipole,
    /// Short dipole along x.
    XDipole,
    /// Small loop about z.
    SmallLoop,
    /// Half-wave dipole along z.
    HalfWaveDipole,
    /// Huygens source, beam towards +z, electric field along x.
    HuygensX,
    /// Short dipoles along x and y in quadrature.
    Turnstile,
    /// Isotropic points on a line, split equally.
    LineArray(LineArray),
    /// A beam that falls exponentially, split equally.
    ExponentialBeam(ExponentialBeam),
}

impl Pattern {
    /// Power in theta and phi polarisation relative to the peak of their sum.
    #[must_use]
    pub fn power(&self, theta_deg: f64, phi_deg: f64) -> [f64; 2] {
        match self {
            Self::Isotropic => [0.5, 0.5],
            Self::ZDipole => element::z_dipole(theta_deg),
            Self::XDipole => element::x_dipole(theta_deg, phi_deg),
            Self::SmallLoop => element::small_loop(theta_deg),
            Self::HalfWaveDipole => element::half_wave_dipole(theta_deg),
            Self::HuygensX => element::huygens_x(theta_deg, phi_deg),
            Self::Turnstile => element::turnstile(theta_deg),
            Self::LineArray(array) => halves(array.power(theta_deg, phi_deg)),
            Self::ExponentialBeam(beam) => halves(beam.power(theta_deg, phi_deg)),
        }
    }

    /// Mean of the total power over the sphere relative to its peak: 1/directivity, closed form.
    #[must_use]
    pub fn mean(&self) -> f64 {
        match self {
            Self::Isotropic => 1.0,
            Self::ZDipole | Self::XDipole | Self::SmallLoop | Self::Turnstile => {
                element::SHORT_DIPOLE_MEAN
            }
            Self::HalfWaveDipole => element::HALF_WAVE_DIPOLE_MEAN,
            Self::HuygensX => element::HUYGENS_MEAN,
            Self::LineArray(array) => array.mean(),
            Self::ExponentialBeam(beam) => beam.mean(),
        }
    }
}

fn halves(total: f64) -> [f64; 2] {
    [total / 2.0, total / 2.0]
}

#[cfg(test)]
mod tests {
    use super::*;

    fn all() -> Vec<Pattern> {
        let array = |axis, points, spacing_wavelengths, phase_step_deg| {
            Pattern::LineArray(LineArray {
                axis,
                points,
                spacing_wavelengths,
                phase_step_deg,
            })
        };
        let beam = |kappa, axis_theta_deg, axis_phi_deg| {
            Pattern::ExponentialBeam(ExponentialBeam {
                kappa,
                axis_theta_deg,
                axis_phi_deg,
            })
        };
        vec![
            Pattern::Isotropic,
            Pattern::ZDipole,
            Pattern::XDipole,
            Pattern::SmallLoop,
            Pattern::HalfWaveDipole,
            Pattern::HuygensX,
            Pattern::Turnstile,
            array(Axis::Z, 2, 0.25, -90.0),
            array(Axis::X, 2, 1.25, 0.0),
            array(Axis::Y, 8, 0.5, 0.0),
            beam(1.0, 30.0, 200.0),
            beam(10.0, 37.0, 61.0),
        ]
    }

    /// Mean by the midpoint rule in cos θ and φ: none of the rules that the tables test.
    #[test]
    fn closed_means_agree_with_a_midpoint_sum() {
        let (rings, columns) = (2400, 60);
        for pattern in all() {
            let mut sum = 0.0;
            for i in 0..rings {
                let z = 1.0 - (2.0 * f64::from(i) + 1.0) / f64::from(rings);
                let theta_deg = libm::acos(z).to_degrees();
                for j in 0..columns {
                    let [t, p] =
                        pattern.power(theta_deg, 360.0 * f64::from(j) / f64::from(columns));
                    sum += t + p;
                }
            }
            let mean = sum / f64::from(rings * columns);
            // The midpoint rule's own error is h²/24·[f′(1) − f′(−1)], h = 2/2400: 1.2e-5 for the line of eight, less for the others.
            assert!(
                (mean / pattern.mean() - 1.0).abs() < 5e-5,
                "{pattern:?}: {mean} {}",
                pattern.mean()
            );
        }
    }

    #[test]
    fn peaks_are_one() {
        for pattern in all() {
            for theta in 0..=36 {
                for phi in 0..72 {
                    let [t, p] = pattern.power(5.0 * f64::from(theta), 5.0 * f64::from(phi));
                    assert!(t >= 0.0 && p >= 0.0 && t + p <= 1.0 + 1e-14, "{pattern:?}");
                }
            }
        }
    }
}
