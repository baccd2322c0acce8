//! Gaps of every kind at every position: bounds and intervals against what the whole grid gives.
//!
//! From each sphere goes a round patch of 5 % of 4π about any direction, any single cut (a column, a column with the one opposite, or
//! a ring), or the cap beyond 150°. The truth is what the same rule gives on the whole grid. All positions count alike, each
//! sphere on its own.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use spheresum_core::fill::Fill;
use spheresum_core::reduce::{ReduceOptions, Reduction, reduce_readings};
use spheresum_core::rule::RuleChoice;
use spheresum_core::table::pattern::{ExponentialBeam, Pattern};
use spheresum_core::unit::angle::{cos_deg, sin_deg};
use spheresum_core::{
    EqualAngleGrid, Limits, Mark, Polarisation, Quantity, Reading, Readings, Value,
};

/// Cosine of the radius of a cap of 5 % of 4π: its share is (1 − cos ρ)/2 (closed form).
const COSINE_OF_PATCH: f64 = 0.9;

/// Whether a direction is missing.
type Gap = Box<dyn Fn(usize, usize) -> bool>;

struct Sphere {
    name: &'static str,
    pattern: Pattern,
    grid: EqualAngleGrid,
    /// Power that the pattern's peak stands for, W.
    peak_w: f64,
}

impl Sphere {
    fn new(name: &'static str, pattern: Pattern, step_deg: usize, trp_dbm: f64) -> Self {
        let grid = EqualAngleGrid::try_new(180 / step_deg, 360 / step_deg, 0.0).unwrap();
        let peak_w = 1e-3 * libm::pow(10.0, trp_dbm / 10.0) / pattern.mean();
        Self {
            name,
            pattern,
            grid,
            peak_w,
        }
    }

    fn power(&self, ring: usize, column: usize) -> [f64; 2] {
        let at = self
            .pattern
            .power(self.grid.theta_deg(ring), self.grid.phi_deg(column));
        at.map(|p| p * self.peak_w)
    }

    fn readings(&self, gap: &Gap) -> Readings {
        let limits = Limits::default();
        let mut readings = Readings::new("computed", Quantity::Eirp, &limits);
        let frequency = readings.frequency_index(None, &limits).unwrap();
        for ring in 0..self.grid.rings() {
            for column in 0..self.grid.phi_count() {
                if gap(ring, column) {
                    continue;
                }
                let powers = self.power(ring, column);
                for (polarisation, power) in [Polarisation::Theta, Polarisation::Phi]
                    .into_iter()
                    .zip(powers)
                {
                    let row = Reading {
                        frequency,
                        theta_deg: self.grid.theta_deg(ring),
                        phi_deg: self.grid.phi_deg(column),
                        polarisation,
                        value: Value::Power(power),
                        mark: Mark::Exact,
                        line: 0,
                    };
                    readings.push(row).unwrap();
                }
            }
        }
        readings
    }

    fn reduce(&self, gap: &Gap, options: &ReduceOptions) -> Reduction {
        reduce_readings(&[self.readings(gap)], options, &Limits::default()).unwrap()
    }

    fn unit_vector(&self, ring: usize, column: usize) -> [f64; 3] {
        let (theta, phi) = (self.grid.theta_deg(ring), self.grid.phi_deg(column));
        [
            sin_deg(theta) * cos_deg(phi),
            sin_deg(theta) * sin_deg(phi),
            cos_deg(theta),
        ]
    }

    /// A round patch of 5 % about each of the directions whose ring and column are multiples of `every`.
    fn patches(&self, every: usize) -> Vec<(String, Gap)> {
        let mut found: Vec<(String, Gap)> = Vec::new();
        let m = self.grid.phi_count();
        for index in self.grid.distinct() {
            let (ring, column) = (index / m, index % m);
            if ring % every != 0 || column % every != 0 {
                continue;
            }
            let middle = self.unit_vector(ring, column);
            let inside: Vec<bool> = (0..self.grid.rings() * m)
                .map(|at| {
                    let v = self.unit_vector(at / m, at % m);
                    v[0] * middle[0] + v[1] * middle[1] + v[2] * middle[2] >= COSINE_OF_PATCH
                })
                .collect();
            found.push((
                format!("patch {ring} {column}"),
                Box::new(move |r, c| inside[r * m + c]),
            ));
        }
        found
    }

    fn cuts(&self) -> Vec<(String, Gap)> {
        let (n, m) = (self.grid.intervals(), self.grid.phi_count());
        let mut found: Vec<(String, Gap)> = Vec::new();
        for column in 0..m {
            let gap = move |r: usize, c: usize| c == column && r > 0 && r < n;
            found.push((format!("column {column}"), Box::new(gap)));
        }
        for column in 0..m / 2 {
            let gap = move |r: usize, c: usize| c % (m / 2) == column && r > 0 && r < n;
            found.push((format!("great circle {column}"), Box::new(gap)));
        }
        for ring in 1..n {
            found.push((format!("ring {ring}"), Box::new(move |r, _| r == ring)));
        }
        found
    }

    fn cap(&self) -> Vec<(String, Gap)> {
        let first = (0..self.grid.rings())
            .find(|r| self.grid.theta_deg(*r) > 150.0)
            .unwrap();
        vec![("cap".to_string(), Box::new(move |r, _| r >= first))]
    }

    /// True where, in a polarisation, the gap holds a reading above all others.
    fn hides_a_peak(&self, gap: &Gap) -> bool {
        let (mut inside, mut outside) = ([f64::MIN; 2], [f64::MIN; 2]);
        for ring in 0..self.grid.rings() {
            for column in 0..self.grid.phi_count() {
                let side = if gap(ring, column) {
                    &mut inside
                } else {
                    &mut outside
                };
                for (most, power) in side.iter_mut().zip(self.power(ring, column)) {
                    *most = most.max(power);
                }
            }
        }
        (0..2).any(|p| inside[p] > outside[p] * (1.0 + 1e-9))
    }
}

fn spheres() -> Vec<Sphere> {
    let beam = Pattern::ExponentialBeam(ExponentialBeam {
        kappa: 10.0,
        axis_theta_deg: 37.0,
        axis_phi_deg: 61.0,
    });
    vec![
        Sphere::new("isotropic, 15°", Pattern::Isotropic, 15, 20.0),
        Sphere::new("x dipole, 15°", Pattern::XDipole, 15, 21.239_087_409_443),
        Sphere::new("half-wave dipole, 30°", Pattern::HalfWaveDipole, 30, 0.0),
        Sphere::new("beam, 15°", beam, 15, 10.0),
        Sphere::new("beam, 5°", beam, 5, 10.0),
    ]
}

/// How a kind of gap came out on a sphere.
#[derive(Default)]
struct Count {
    cases: usize,
    refused: usize,
    bounded: usize,
    covered: usize,
    wrong: Vec<String>,
}

fn run(sphere: &Sphere, gaps: &[(String, Gap)], method: Fill) -> Count {
    let mut count = Count::default();
    let mut options = ReduceOptions::default();
    options.fill = method;
    let mut worst = 0.0_f64;
    for (name, gap) in gaps {
        let out = sphere.reduce(gap, &options);
        let mut whole = options.clone();
        whole.rule = RuleChoice::Fixed(out.rule);
        let whole = sphere.reduce(&(Box::new(|_, _| false) as Gap), &whole);
        let trp = |r: &Reduction| r.channels[0].figure("trp").unwrap().clone();
        let truth = trp(&whole).value.unwrap();
        let trp = trp(&out);
        count.cases += 1;
        let Some(value) = trp.value else {
            count.refused += 1;
            continue;
        };
        worst = worst.max((value - truth).abs());
        // What decibels do to the last digits.
        let slack = 1e-12 * truth.abs().max(1.0);
        if let Some(upper) = trp.upper {
            count.bounded += 1;
            if upper < truth - slack || trp.lower.is_some_and(|l| l > truth + slack) {
                count.wrong.push(format!(
                    "{name}: {truth} outside of the bounds {:?} {upper}",
                    trp.lower
                ));
            }
            if sphere.hides_a_peak(gap) {
                count.wrong.push(format!(
                    "{name}: upper {upper} though the gap holds the peak"
                ));
            }
        }
        let above = trp.interval_lower.is_none_or(|l| l <= truth + slack);
        let below = trp.interval_upper.is_some_and(|u| u >= truth - slack);
        let untouched = trp.interval_upper.is_none()
            && (value - truth).abs() <= slack
            && !out.findings.iter().any(|f| f.code == "gap-error-unknown");
        if (above && below) || untouched {
            count.covered += 1;
        } else if std::env::var_os("SHOW").is_some() {
            println!(
                "   {name}: off {:+.4} dB, interval {:?}",
                value - truth,
                (
                    trp.interval_lower.map(|x| x - truth),
                    trp.interval_upper.map(|x| x - truth)
                )
            );
        }
    }
    println!("      worst {worst:.4} dB");
    count
}

#[test]
fn measure() {
    for method in [Fill::Cuts, Fill::Auto] {
        for sphere in spheres().into_iter().skip(3) {
            let every = if sphere.grid.intervals() == 36 { 4 } else { 1 };
            for (kind, gaps) in [
                ("patches", sphere.patches(every)),
                ("cuts", sphere.cuts()),
                ("cap", sphere.cap()),
            ] {
                let start = std::time::Instant::now();
                let count = run(&sphere, &gaps, method);
                println!(
                    "{method} {} {kind}: {} cases, {} refused, {} bounded, covered {} = {:.1} %, {} wrong, {:.1} s",
                    sphere.name,
                    count.cases,
                    count.refused,
                    count.bounded,
                    count.covered,
                    100.0 * count.covered as f64 / (count.cases - count.refused) as f64,
                    count.wrong.len(),
                    start.elapsed().as_secs_f64()
                );
                for w in count.wrong.iter().take(3) {
                    println!("    {w}");
                }
            }
        }
    }
}
