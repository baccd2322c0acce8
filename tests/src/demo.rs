//! Generator of the demonstration files: invented, but physical.
//!
//! A river-level telemetry gauge on 868.3 MHz as a handful of current elements on a board and on what surrounds it: the antenna, the
//! ground plane's return current, and the battery pack. Far fields are summed as vectors, seen through the range loss of each
//! polarisation by a receiver with noise. Everything is derived from one seed; the files in the command's folder must equal what
//! this writes.

use num_complex::Complex64;
use spheresum_core::unit::angle::{cos_deg, sin_deg};
use spheresum_core::unit::level::{dbm_from_w, w_from_dbm};
use std::fmt::Write;

/// Wave number at 868.3 MHz, rad/m: 2π·868.3 MHz / 299 792 458 m/s.
const WAVE_NUMBER: f64 = 2.0 * std::f64::consts::PI * 868.3e6 / 299_792_458.0;
/// Loss of the theta and of the phi polarisation at 868.3 MHz, dB.
const LOSS_DB: [f64; 2] = [48.62, 47.95];
/// Noise of the receiver in a quick sweep, dBm.
const NOISE_DBM: f64 = -66.2;
/// Power averages in one reading of a quick sweep, and of one sixteen times as slow.
const QUICK: u32 = 12;
const SLOW: u32 = 16 * QUICK;
/// Power averages in one reading of the floor, with the device silent.
const OF_FLOOR: u32 = 2400;
/// What the power-saving mode takes off, dB.
const SAVING_DB: f64 = -29.0;
/// θ and φ step, degrees.
const STEP_DEG: u32 = 15;

/// A small current element: place in metres, complex moment in √W (peak EIRP of the element alone is |moment|²).
struct Element {
    place_m: [f64; 3],
    moment: [Complex64; 3],
}

/// A configuration of the device.
pub struct Configuration {
    /// Name of its file.
    pub file: &'static str,
    /// What it is.
    pub title: &'static str,
    elements: Vec<Element>,
    /// Directions that the mast's new cable duct kept out of reach: θ and φ ranges, degrees.
    missing: Option<((u32, u32), (u32, u32))>,
    averages: u32,
    seed: u64,
}

fn moment(magnitude_dbm: f64, phase_deg: f64, along: [f64; 3]) -> [Complex64; 3] {
    let size = w_from_dbm(magnitude_dbm).sqrt();
    let phasor = Complex64::new(cos_deg(phase_deg), sin_deg(phase_deg)) * size;
    along.map(|a| phasor * a)
}

/// The configurations: revision A, revision B, and B in its power-saving transmit mode, swept quickly and slowly.
#[must_use]
pub fn configurations() -> Vec<Configuration> {
    let rev_a = vec![
        Element {
            place_m: [0.0, 0.0, 0.045],
            moment: moment(12.6, 0.0, [0.0, 0.0, 1.0]),
        },
        Element {
            place_m: [0.012, 0.0, -0.01],
            moment: moment(6.4, -62.0, [0.95, 0.1, 0.3]),
        },
        Element {
            place_m: [-0.03, 0.015, -0.05],
            moment: moment(0.5, 128.0, [0.2, 0.8, 0.57]),
        },
    ];
    // The antenna now faces the battery pack, which takes power and carries a return current of its own.
    let rev_b = |mode_db: f64| {
        vec![
            Element {
                place_m: [0.028, 0.0, 0.03],
                moment: moment(9.1 + mode_db, 0.0, [0.1, 0.0, 0.995]),
            },
            Element {
                place_m: [0.012, 0.0, -0.01],
                moment: moment(4.2 + mode_db, -75.0, [0.9, -0.25, 0.35]),
            },
            Element {
                place_m: [0.052, 0.004, 0.012],
                moment: moment(6.3 + mode_db, 151.0, [0.05, 0.2, 0.97]),
            },
        ]
    };
    vec![
        Configuration {
            file: "gauge-rev-a.csv",
            title: "board revision A",
            elements: rev_a,
            missing: None,
            averages: QUICK,
            seed: 868_301,
        },
        Configuration {
            file: "gauge-rev-b.csv",
            title: "board revision B, antenna moved beside the battery pack",
            elements: rev_b(0.0),
            missing: Some(((135, 150), (195, 225))),
            averages: QUICK,
            seed: 868_302,
        },
        Configuration {
            file: "gauge-rev-b-saving.csv",
            title: "board revision B in its power-saving transmit mode",
            elements: rev_b(SAVING_DB),
            missing: None,
            averages: QUICK,
            seed: 868_303,
        },
        Configuration {
            file: "gauge-rev-b-saving-slow.csv",
            title: "board revision B in its power-saving transmit mode, swept slowly",
            elements: rev_b(SAVING_DB),
            missing: None,
            averages: SLOW,
            seed: 868_304,
        },
    ]
}

impl Configuration {
    /// EIRP of each polarisation in a direction, W, without noise.
    #[must_use]
    pub fn eirp_w(&self, theta_deg: f64, phi_deg: f64) -> [f64; 2] {
        let (ct, st) = (cos_deg(theta_deg), sin_deg(theta_deg));
        let (cp, sp) = (cos_deg(phi_deg), sin_deg(phi_deg));
        let out = [st * cp, st * sp, ct];
        let theta = [ct * cp, ct * sp, -st];
        let phi = [-sp, cp, 0.0];
        let mut field = [Complex64::new(0.0, 0.0); 2];
        for element in &self.elements {
            let path = WAVE_NUMBER * dot(out, element.place_m);
            let phasor = Complex64::new(libm::cos(path), libm::sin(path));
            for (axis, moment) in element.moment.iter().enumerate() {
                field[0] += moment * phasor * theta[axis];
                field[1] += moment * phasor * phi[axis];
            }
        }
        field.map(|e| e.norm_sqr())
    }

    /// The file of readings: received power of both polarisations, with noise, as a sweep gives it.
    #[must_use]
    pub fn readings_csv(&self) -> String {
        let mut noise = Noise::new(self.seed);
        let mut text = format!(
            "# device: river-level telemetry gauge, {}\n\
             # note: invented data for a demonstration\n\
             # averages: {}\n\
             frequency_mhz,theta_deg,phi_deg,received_theta_dbm,received_phi_dbm\n",
            self.title, self.averages
        );
        for theta in (0..=180).step_by(STEP_DEG as usize) {
            for phi in (0..360).step_by(STEP_DEG as usize) {
                let eirp = self.eirp_w(f64::from(theta), f64::from(phi));
                let mut cells = Vec::new();
                for (p, power) in eirp.iter().enumerate() {
                    let received = power / w_from_dbm(LOSS_DB[p]) * 1e-3;
                    // Drawn for missing directions too, so that the others do not depend on them.
                    let reading = noise.reading(received, self.averages);
                    let missing = self.missing.is_some_and(|(t, f)| {
                        (t.0..=t.1).contains(&theta) && (f.0..=f.1).contains(&phi)
                    });
                    cells.push(if missing {
                        String::new()
                    } else {
                        format!("{:.2}", dbm_from_w(reading))
                    });
                }
                // Writing to a text cannot fail.
                let _ = writeln!(text, "868.3,{theta},{phi},{}", cells.join(","));
            }
        }
        text
    }
}

/// The file of range losses around the channel.
#[must_use]
pub fn range_loss_csv() -> String {
    let mut text = String::from(
        "# range reference: invented, one loss for each probe polarisation\n\
         # note: invented data for a demonstration\n\
         frequency_mhz,loss_theta_db,loss_phi_db\n",
    );
    for (mhz, step) in [("863", -0.06), ("868.3", 0.0), ("870", 0.02)] {
        let _ = writeln!(
            text,
            "{mhz},{:.2},{:.2}",
            LOSS_DB[0] + step,
            LOSS_DB[1] + step
        );
    }
    text
}

/// The file of noise-only readings: received power with the device silent, around the horizon.
#[must_use]
pub fn noise_floor_csv() -> String {
    let mut noise = Noise::new(868_305);
    let mut text = format!(
        "# floor: the receiver as in the sweeps, device silent\n\
         # note: invented data for a demonstration\n\
         # averages: {OF_FLOOR}\n\
         frequency_mhz,theta_deg,phi_deg,received_theta_dbm,received_phi_dbm\n"
    );
    for phi in (0..360).step_by(STEP_DEG as usize) {
        let [theta, other] = [(); 2].map(|()| dbm_from_w(noise.reading(0.0, OF_FLOOR)));
        let _ = writeln!(text, "868.3,90,{phi},{theta:.3},{other:.3}");
    }
    text
}

fn dot(a: [f64; 3], b: [f64; 3]) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

/// Receiver noise from a seed: a 64-bit linear congruential generator (Knuth's MMIX constants), twelve uniforms a normal.
struct Noise {
    state: u64,
    floor_w: f64,
}

impl Noise {
    fn new(seed: u64) -> Self {
        Self {
            state: seed,
            floor_w: w_from_dbm(NOISE_DBM),
        }
    }

    fn uniform(&mut self) -> f64 {
        self.state = self
            .state
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.state >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// A reading of a carrier of `signal_w`: mean S + N, variance (2SN + N²)/n, never below a thousandth of the floor.
    fn reading(&mut self, signal_w: f64, averages: u32) -> f64 {
        let mut normal = -6.0;
        for _ in 0..12 {
            normal += self.uniform();
        }
        let n = self.floor_w;
        let deviation = ((2.0 * signal_w * n + n * n) / f64::from(averages)).sqrt();
        (signal_w + n + normal * deviation).max(n * 1e-3)
    }
}
