//! Long tables for measuring the speed of reading: deterministic, three decimals.

use std::fmt::Write as _;

/// Rows of directions on a 1° grid: frequency, θ, φ, and a level for each of two polarisations.
fn rows() -> impl Iterator<Item = (f64, u32, u32, [f64; 2])> {
    (0..20_u32).flat_map(|f| {
        let mhz = 1710.0 + 14.75 * f64::from(f);
        (0..=180_u32).flat_map(move |theta| {
            (0..360_u32).map(move |phi| {
                let x = f64::from(theta) * 0.13 + f64::from(phi) * 0.031 + f64::from(f);
                let level = |shift: f64| -20.0 + 12.0 * libm::sin(x + shift);
                (mhz, theta, phi, [level(0.0), level(7.5)])
            })
        })
    })
}

/// A table of one value a row, at most `most` rows of it: `frequency,theta,phi,pol,level`.
#[must_use]
pub fn long(most: usize) -> String {
    let mut text = String::from("frequency_mhz,theta_deg,phi_deg,pol,power_dbm\n");
    for (mhz, theta, phi, levels) in rows().take(most.div_ceil(2)) {
        for (pol, dbm) in ["V", "H"].into_iter().zip(levels) {
            let _ = writeln!(text, "{mhz:.2},{theta}.0,{phi}.0,{pol},{dbm:.3}");
        }
    }
    text
}

/// A table of two values a row, at most `most` rows of it: `frequency,theta,phi,theta level,phi level`.
#[must_use]
pub fn two_columns(most: usize) -> String {
    let mut text = String::from("frequency_mhz,theta_deg,phi_deg,power_theta_dbm,power_phi_dbm\n");
    for (mhz, theta, phi, [a, b]) in rows().take(most) {
        let _ = writeln!(text, "{mhz:.2},{theta}.0,{phi}.0,{a:.3},{b:.3}");
    }
    text
}
