//! What these tests share: grids, rows, and what came out.

use spheresum_core::figure::{Figure, FigureState};
use spheresum_core::reduce::{ReduceOptions, Reduction, reduce_readings};
use spheresum_core::rule::{Edges, EdgesChoice, Rule, RuleChoice};
use spheresum_core::{
    EqualAngleGrid, Error, Limits, Mark, Polarisation, Quantity, Reading, Readings, Value,
};
use std::f64::consts::PI;

/// (N, M): steps of 5, 7.5, 10, 12, 20, 22.5, 36°; N odd; M ≠ 2N; M odd.
pub const GRIDS: [(usize, usize); 14] = [
    (36, 72),
    (24, 48),
    (18, 36),
    (15, 30),
    (9, 18),
    (8, 16),
    (5, 10),
    (15, 7),
    (9, 5),
    (8, 25),
    (36, 3),
    (7, 12),
    (25, 45),
    (12, 40),
];

pub fn grid((n, m): (usize, usize)) -> EqualAngleGrid {
    EqualAngleGrid::try_new(n, m, 0.0).unwrap()
}

/// A reading without a frequency.
pub fn reading(direction: (f64, f64), polarisation: Polarisation, value: Value) -> Reading {
    Reading {
        frequency: 0,
        theta_deg: direction.0,
        phi_deg: direction.1,
        polarisation,
        value,
        mark: Mark::Exact,
        line: 0,
    }
}

/// Directions of a grid, ring by ring, the poles at every φ.
pub fn directions(grid: &EqualAngleGrid) -> Vec<(f64, f64)> {
    (0..grid.rings())
        .flat_map(|ring| (0..grid.phi_count()).map(move |j| (ring, j)))
        .map(|(ring, j)| (grid.theta_deg(ring), grid.phi_deg(j)))
        .collect()
}

/// Readings of both polarisations, W.
pub fn rows(directions: &[(f64, f64)], power: impl Fn(f64, f64) -> [f64; 2]) -> Vec<Reading> {
    directions
        .iter()
        .flat_map(|at| {
            let [theta, phi] = power(at.0, at.1);
            [
                reading(*at, Polarisation::Theta, Value::Power(theta)),
                reading(*at, Polarisation::Phi, Value::Power(phi)),
            ]
        })
        .collect()
}

pub fn readings(quantity: Quantity, rows: &[Reading]) -> Readings {
    let limits = Limits::default();
    let mut readings = Readings::new("computed", quantity, &limits);
    readings.frequency_index(None, &limits).unwrap();
    for row in rows {
        readings.push(*row).unwrap();
    }
    readings
}

/// Options with a rule and a window form.
pub fn by(rule: Rule, edges: Edges) -> ReduceOptions {
    let mut options = ReduceOptions::default();
    options.rule = RuleChoice::Fixed(rule);
    options.edges = EdgesChoice::Fixed(edges);
    options
}

/// Clenshaw–Curtis with exact windows.
pub fn exact() -> ReduceOptions {
    by(Rule::ClenshawCurtis, Edges::Exact)
}

/// The sine rule with half-weighted edges.
pub fn sine() -> ReduceOptions {
    by(Rule::Sine, Edges::Half)
}

/// What came out at the only frequency.
pub struct Out(pub Reduction);

impl Out {
    pub fn of(readings: Readings, options: &ReduceOptions) -> Self {
        Self::of_all(&[readings], options).unwrap()
    }

    pub fn of_all(readings: &[Readings], options: &ReduceOptions) -> Result<Self, Error> {
        let reduction = reduce_readings(readings, options, &Limits::default())?;
        assert_eq!(reduction.channels.len(), 1);
        Ok(Self(reduction))
    }

    pub fn figure(&self, name: &str) -> &Figure {
        self.0.channels[0]
            .figure(name)
            .unwrap_or_else(|| panic!("no figure {name}"))
    }

    /// Value in W or as a ratio; NaN, which is near to nothing, where there is none.
    pub fn get(&self, name: &str) -> f64 {
        let figure = self.figure(name);
        figure.value.map_or(f64::NAN, |v| figure.unit.to_linear(v))
    }

    /// Bounds in W or as a ratio.
    pub fn bounds(&self, name: &str) -> (Option<f64>, Option<f64>) {
        let figure = self.figure(name);
        let linear = |v: f64| figure.unit.to_linear(v);
        (figure.lower.map(linear), figure.upper.map(linear))
    }

    pub fn is_refused(&self, name: &str) -> bool {
        self.figure(name).state == FigureState::Refused && self.figure(name).value.is_none()
    }

    pub fn has_finding(&self, code: &str) -> bool {
        self.0.findings.iter().any(|f| f.code == code)
    }
}

/// Not `>`: what is not a number must fail.
#[track_caller]
pub fn near(got: f64, want: f64, relative: f64, what: &str) {
    assert!(
        (got / want - 1.0).abs() <= relative,
        "{what}: got {got:e}, want {want:e}"
    );
}

/// Both bounds are there and as wanted.
#[track_caller]
pub fn bounded(got: (Option<f64>, Option<f64>), want: (f64, f64), relative: f64, what: &str) {
    near(
        got.0.unwrap_or(f64::NAN),
        want.0,
        relative,
        &format!("{what}, lower"),
    );
    near(
        got.1.unwrap_or(f64::NAN),
        want.1,
        relative,
        &format!("{what}, upper"),
    );
}

/// Σ sin kθᵢ over the rings: cot(kπ/2N) for odd k, 0 for even k (closed form).
pub fn sine_sum(k: u32, n: usize) -> f64 {
    if k.is_multiple_of(2) {
        0.0
    } else {
        1.0 / libm::tan(f64::from(k) * PI / (2.0 * n as f64))
    }
}

/// SplitMix64 (Steele, Lea, Flood 2014): a fixed sequence for a fixed seed.
pub struct Random(pub u64);

impl Random {
    /// −1 … 1.
    pub fn number(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 52) as f64 - 1.0
    }

    pub fn vector(&mut self) -> [f64; 3] {
        [self.number(), self.number(), self.number()]
    }
}
