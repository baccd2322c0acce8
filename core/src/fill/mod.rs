//! Filling of gaps: directions that were never measured get an estimate, a state of their own, and bounds.

pub mod cap;
mod cuts;
mod gap;

use crate::error::{Error, Result};
use crate::finding::Finding;
use crate::history::Step;
use crate::model::{Bound, Data, EqualAngleGrid, Sphere, State};
use gap::Gap;
use ndarray::Axis;
use std::fmt;
use std::str::FromStr;

/// The way gaps are filled.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[non_exhaustive]
pub enum Fill {
    /// Along the cuts in φ and θ, in linear power; caps from the ring means.
    #[default]
    Cuts,
    /// Not at all.
    None,
}

impl Fill {
    /// The word used in options and JSON.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Cuts => "cuts",
            Self::None => "none",
        }
    }
}

impl fmt::Display for Fill {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.as_str())
    }
}

impl FromStr for Fill {
    type Err = Error;

    fn from_str(text: &str) -> Result<Self> {
        match text {
            "cuts" => Ok(Self::Cuts),
            "none" => Ok(Self::None),
            _ => {
                Err(Error::usage(format!("there is no fill method {text:?}"))
                    .hint("fill: cuts, none"))
            }
        }
    }
}

/// What was missing, by frequency and polarisation.
#[derive(Clone, Debug, Default)]
pub struct Missing {
    /// Missing solid angle as a share of 4π, by frequency, then polarisation. Pole rings alone are no gap.
    pub share: Vec<Vec<f64>>,
    /// True where the pattern rises into a gap, by frequency: figures that rest on the peak cannot be given there.
    pub rises: Vec<bool>,
}

impl Missing {
    /// Missing share of 4π of a polarisation at a frequency.
    #[must_use]
    pub fn share_of(&self, frequency: usize, polarisation: usize) -> f64 {
        let of_frequency = self.share.get(frequency);
        of_frequency
            .and_then(|s| s.get(polarisation))
            .copied()
            .unwrap_or(0.0)
    }
}

/// A sphere whose gaps are filled.
#[derive(Clone, Debug)]
#[non_exhaustive]
pub struct Filled {
    /// The sphere.
    pub sphere: Sphere,
    /// What was missing.
    pub missing: Missing,
    /// Remarks.
    pub findings: Vec<Finding>,
    /// The step for the history.
    pub step: Step,
}

/// Finds the gaps of a power-like sphere on an equal-angle grid, and fills them.
///
/// A filled sample lies between 0 and the largest reading that borders its gap (one value for the whole gap): an assumption. Where that reading
/// is larger than every reading of the next ring outward, the pattern rises into the gap and there is no upper bound.
///
/// # Errors
/// Usage: a complex sphere, or a listed grid.
pub fn fill(sphere: Sphere, method: Fill) -> Result<Filled> {
    let mut step = Step::new("fill").option("fill", Some(method));
    let Some(grid) = sphere.grid().equal_angle().copied() else {
        return Err(Error::usage("gaps are filled on equal-angle grids only"));
    };
    if sphere.power().is_none() {
        return Err(Error::usage(
            "gaps are filled in powers; turn the field into powers first",
        ));
    }
    let (frequencies, polarisations, _) = sphere.states().dim();
    let mut missing = Missing {
        share: vec![vec![0.0; polarisations]; frequencies],
        rises: vec![false; frequencies],
    };
    if sphere.states().iter().all(|s| *s != State::Missing) {
        step.note("nothing was missing");
        return Ok(Filled {
            sphere,
            missing,
            findings: Vec::new(),
            step,
        });
    }
    let mut parts = sphere.into_parts();
    let mut findings = Vec::new();
    let mut filled = 0;
    if let Data::Power(values) = &mut parts.data {
        for f in 0..frequencies {
            for p in 0..polarisations {
                let mut plane = Plane::new(grid, f, p, values, &parts.states);
                let gaps = gap::find(&plane);
                missing.share[f][p] = gaps.iter().map(Gap::share).sum();
                let rising: Vec<&Gap> = gaps
                    .iter()
                    .filter(|g| g.rises() && !g.is_everything())
                    .collect();
                missing.rises[f] |= !rising.is_empty();
                if let Some(finding) = rising_finding(&grid, &rising) {
                    push_once(&mut findings, finding);
                }
                if method == Fill::None || gaps.iter().any(Gap::is_everything) {
                    continue;
                }
                for (direction, value) in cuts::fill(&plane, &gaps) {
                    plane.values[direction] = value;
                    plane.states[direction] = State::Filled;
                }
                for (direction, value) in cap::fill(&plane, &gaps) {
                    plane.values[direction] = value;
                    plane.states[direction] = State::Filled;
                }
                for gap in &gaps {
                    for direction in gap.directions(&grid) {
                        // What has readings on no side stays missing.
                        if plane.states[direction] != State::Filled {
                            continue;
                        }
                        // The estimate keeps to what its bound assumes.
                        let upper = gap.upper();
                        let estimate = plane.values[direction];
                        values[(f, p, direction)] = upper.map_or(estimate, |u| estimate.min(u));
                        parts.states[(f, p, direction)] = State::Filled;
                        parts.bounds.push(Bound {
                            at: (f, p, direction),
                            lower: 0.0,
                            upper,
                        });
                        filled += 1;
                    }
                }
            }
        }
    }
    step.note(format!("{filled} samples filled"));
    Ok(Filled {
        sphere: parts.build()?,
        missing,
        findings,
        step,
    })
}

/// The same remark about another frequency or polarisation is not repeated.
fn push_once(findings: &mut Vec<Finding>, finding: Finding) {
    if findings
        .iter()
        .all(|f| f.code != finding.code || f.message != finding.message)
    {
        findings.push(finding);
    }
}

fn rising_finding(grid: &EqualAngleGrid, rising: &[&Gap]) -> Option<Finding> {
    let (theta, phi) = rising.first()?.extent(grid);
    let span = |(from, to): (f64, f64)| {
        if from == to {
            format!("{from}°")
        } else {
            format!("{from}…{to}°")
        }
    };
    let place = format!("θ {}, φ {}", span(theta), span(phi));
    Some(
        Finding::warning(
            "rises-into-gap",
            format!("the pattern rises into the gap at {place}: nothing bounds what is in there"),
        )
        .advice(format!("measure the directions {place}")),
    )
}

/// One polarisation at one frequency: values and states by direction.
pub(crate) struct Plane {
    pub grid: EqualAngleGrid,
    pub values: Vec<f64>,
    pub states: Vec<State>,
}

impl Plane {
    fn new(
        grid: EqualAngleGrid,
        f: usize,
        p: usize,
        values: &ndarray::Array3<f64>,
        states: &ndarray::Array3<State>,
    ) -> Self {
        Self {
            grid,
            values: values
                .index_axis(Axis(0), f)
                .index_axis(Axis(0), p)
                .to_vec(),
            states: states
                .index_axis(Axis(0), f)
                .index_axis(Axis(0), p)
                .to_vec(),
        }
    }

    /// Index of a direction.
    pub fn at(&self, ring: usize, column: usize) -> usize {
        ring * self.grid.phi_count() + column
    }

    /// True where a direction was read.
    pub fn is_read(&self, ring: usize, column: usize) -> bool {
        self.states[self.at(ring, column)].is_read()
    }

    /// True where nothing of a ring was read.
    pub fn is_ring_missing(&self, ring: usize) -> bool {
        (0..self.grid.phi_count()).all(|j| !self.is_read(ring, j))
    }
}
