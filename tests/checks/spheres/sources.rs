//! Random short dipoles, at one place or apart, against their closed powers.

use crate::tools::{GRIDS, Out, Random, directions, exact, grid, near, readings, rows};
use num_complex::Complex64;
use spheresum_core::unit::angle::{cos_deg, sin_deg};
use spheresum_core::{Quantity, Readings};

/// A short dipole: complex moment, and its place in units of 1/k. EIRP in W is |E|² with E = (p − r(p·r)) e^{jk r·d}.
pub struct Dipole {
    pub moment: [Complex64; 3],
    pub place: [f64; 3],
}

impl Dipole {
    /// At the origin.
    pub fn random(random: &mut Random) -> Self {
        Self {
            moment: std::array::from_fn(|_| Complex64::new(random.number(), random.number())),
            place: [0.0; 3],
        }
    }
}

fn dot(a: [f64; 3], b: [f64; 3]) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

fn along(p: [Complex64; 3], unit: [f64; 3]) -> Complex64 {
    p[0] * unit[0] + p[1] * unit[1] + p[2] * unit[2]
}

pub fn size(p: [Complex64; 3]) -> f64 {
    p.iter().map(Complex64::norm_sqr).sum()
}

/// Far field in both polarisations, √W. The unit vectors go with the angles as written, also outside 0…180°.
pub fn field(dipoles: &[Dipole], theta_deg: f64, phi_deg: f64) -> [Complex64; 2] {
    let (ct, st) = (cos_deg(theta_deg), sin_deg(theta_deg));
    let (cp, sp) = (cos_deg(phi_deg), sin_deg(phi_deg));
    let r = [st * cp, st * sp, ct];
    [[ct * cp, ct * sp, -st], [-sp, cp, 0.0]].map(|unit| {
        dipoles
            .iter()
            .map(|d| along(d.moment, unit) * Complex64::from_polar(1.0, dot(r, d.place)))
            .sum()
    })
}

pub fn power(dipoles: &[Dipole], theta_deg: f64, phi_deg: f64) -> [f64; 2] {
    field(dipoles, theta_deg, phi_deg).map(|e| e.norm_sqr())
}

fn sampled(dipoles: &[Dipole], at: (usize, usize)) -> Readings {
    readings(
        Quantity::Eirp,
        &rows(&directions(&grid(at)), |t, p| power(dipoles, t, p)),
    )
}

#[test]
fn dipoles_at_one_place_have_closed_powers_and_windows() {
    let mut random = Random(20_250_601);
    for at in GRIDS {
        let dipoles: Vec<Dipole> = (0..4).map(|_| Dipole::random(&mut random)).collect();
        let total: [Complex64; 3] =
            std::array::from_fn(|i| dipoles.iter().map(|d| d.moment[i]).sum());
        // Ring means are t(1 + cos²θ)/2 + z sin²θ with t = |px|² + |py|², z = |pz|².
        let (t, z) = (
            total[0].norm_sqr() + total[1].norm_sqr(),
            total[2].norm_sqr(),
        );
        let out = Out::of(sampled(&dipoles, at), &exact());
        let what = format!("{at:?}");
        near(out.get("trp"), 2.0 / 3.0 * (t + z), 1e-12, &what);
        near(out.get("trp_theta"), t / 6.0 + 2.0 / 3.0 * z, 1e-12, &what);
        near(out.get("trp_phi"), t / 2.0, 1e-12, &what);
        near(out.get("uhrp"), (t + z) / 3.0, 1e-12, &what);
        near(out.get("lhrp"), (t + z) / 3.0, 1e-12, &what);
        for (name, alpha) in [("nhprp_45", 45.0), ("nhprp_30", 30.0), ("nhprp_22_5", 22.5)] {
            let s = sin_deg(alpha);
            let cubic = s * s * s / 3.0;
            let want = t / 2.0 * (s + cubic) + z * (s - cubic);
            near(out.get(name), want, 1e-12, &format!("{name} on {at:?}"));
        }
    }
}

#[test]
fn a_dipole_across_z_peaks_at_the_poles_with_directivity_1_5() {
    // |p|² − |p·r|² is |p|² where p·r = 0: at the poles, for any complex p in the xy plane.
    let mut random = Random(77);
    for at in GRIDS {
        let mut dipole = Dipole::random(&mut random);
        dipole.moment[2] = Complex64::new(0.0, 0.0);
        let squared = size(dipole.moment);
        let out = Out::of(sampled(&[dipole], at), &exact());
        near(out.get("peak_eirp"), squared, 1e-12, &format!("{at:?}"));
        near(out.get("directivity"), 1.5, 1e-12, &format!("{at:?}"));
        assert!(
            out.figure("peak_eirp")
                .theta_deg
                .is_some_and(|t| t == 0.0 || t == 180.0)
        );
    }
}

/// Radiated power of displaced dipoles: Σ (2/3)|pᵢ|² + 2 Re Σ_{i<j} [(j0 − j1/x) pᵢ·pⱼ* − (j0 − 3 j1/x)(pᵢ·d)(pⱼ*·d)],
/// x the distance and d the direction between two. From ⟨e^{jx·r}⟩ = j0 and ⟨rr e^{jx·r}⟩ = (j1/x) I + (j0 − 3 j1/x) dd.
fn closed_power(dipoles: &[Dipole]) -> f64 {
    let mut power = 0.0;
    for (i, a) in dipoles.iter().enumerate() {
        power += 2.0 / 3.0 * size(a.moment);
        for b in &dipoles[i + 1..] {
            let apart: [f64; 3] = std::array::from_fn(|k| a.place[k] - b.place[k]);
            let x = dot(apart, apart).sqrt();
            let d = apart.map(|c| c / x);
            let j0 = libm::sin(x) / x;
            let j1_over_x = (libm::sin(x) / x - libm::cos(x)) / (x * x);
            let product: Complex64 = (0..3).map(|k| a.moment[k] * b.moment[k].conj()).sum();
            let radial = along(a.moment, d) * along(b.moment, d).conj();
            power += 2.0 * ((j0 - j1_over_x) * product.re - (j0 - 3.0 * j1_over_x) * radial.re);
        }
    }
    power
}

fn scattered(random: &mut Random, reach: f64) -> Vec<Dipole> {
    (0..3)
        .map(|_| Dipole {
            place: random.vector().map(|c| c * reach),
            ..Dipole::random(random)
        })
        .collect()
}

#[test]
fn displaced_dipoles_radiate_their_closed_power() {
    let mut random = Random(1_887);
    // N ≥ 15 and places within N/24 of the origin: what is beyond the grid's degree is below 1e-13 (x^N/(2N+1)!!).
    for at in GRIDS.into_iter().filter(|(n, m)| *n >= 15 && *m >= 30) {
        let reach = at.0 as f64 / 24.0 / 3.0_f64.sqrt();
        for _ in 0..5 {
            let dipoles = scattered(&mut random, reach);
            let out = Out::of(sampled(&dipoles, at), &exact());
            near(
                out.get("trp"),
                closed_power(&dipoles),
                1e-11,
                &format!("{at:?}"),
            );
        }
    }
}

#[test]
fn a_grid_that_is_too_coarse_shows() {
    // Three dipoles two wavelengths apart on a 36° grid: these tests would notice a wrong sum.
    let dipoles = scattered(&mut Random(3), 12.0);
    let of = |at| Out::of(sampled(&dipoles, at), &exact()).get("trp");
    let closed = closed_power(&dipoles);
    assert!((of((5, 10)) / closed - 1.0).abs() > 1e-3);
    near(of((72, 144)), closed, 1e-11, "2.5° grid");
}
