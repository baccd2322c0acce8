//! Integration rules: one weight a ring.
//!
//! Every rule here averages uniformly over φ and weights the ring means pᵢ: the mean over the sphere is ½ Σ wᵢ pᵢ. A window
//! is the same sum with other weights, so that everything that is integrated is one vector of ring weights.

pub mod clenshaw_curtis;
pub mod sine;
mod table;
#[cfg(test)]
mod tests;
pub mod window;

use crate::error::{Error, Result};
use crate::model::EqualAngleGrid;
use std::fmt;
use std::str::FromStr;
pub use table::WeightTable;
pub use window::Window;

/// An integration rule.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(rename_all = "kebab-case"))]
#[non_exhaustive]
pub enum Rule {
    /// Sine-weighted sum over the inner rings, as the documents below 6 GHz write it.
    Sine,
    /// Clenshaw–Curtis: exact for patterns of degree ≤ N (N+1 for even N) and < M; uses the poles.
    ClenshawCurtis,
}

impl Rule {
    /// All rules.
    pub const ALL: [Self; 2] = [Self::Sine, Self::ClenshawCurtis];

    /// The word used in options and JSON.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Sine => "sine",
            Self::ClenshawCurtis => "clenshaw-curtis",
        }
    }

    /// The rule that `auto` means: sine on 15° and 30° steps and wherever a pole ring is absent, Clenshaw–Curtis elsewhere.
    #[must_use]
    pub fn auto(grid: &EqualAngleGrid, poles_read: bool) -> Self {
        if !poles_read || matches!(grid.intervals(), 6 | 12) {
            Self::Sine
        } else {
            Self::ClenshawCurtis
        }
    }

    /// Weights of the N+1 rings for the whole sphere, with sum near 2 (exactly 2 for Clenshaw–Curtis).
    #[must_use]
    pub fn weights(self, intervals: usize) -> Vec<f64> {
        match self {
            Self::Sine => sine::weights(intervals),
            Self::ClenshawCurtis => clenshaw_curtis::weights(intervals),
        }
    }
}

impl fmt::Display for Rule {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.as_str())
    }
}

/// The rule asked for.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum RuleChoice {
    /// As [`Rule::auto`] decides.
    #[default]
    Auto,
    /// This one.
    Fixed(Rule),
}

impl fmt::Display for RuleChoice {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Auto => f.write_str("auto"),
            Self::Fixed(rule) => rule.fmt(f),
        }
    }
}

impl FromStr for RuleChoice {
    type Err = Error;

    fn from_str(text: &str) -> Result<Self> {
        if text == "auto" {
            return Ok(Self::Auto);
        }
        Rule::ALL
            .into_iter()
            .find(|r| r.as_str() == text)
            .map(Self::Fixed)
            .ok_or_else(|| {
                Error::usage(format!("there is no rule {text:?}"))
                    .hint("rules: auto, sine, clenshaw-curtis")
            })
    }
}

/// How the edges of a partial window are treated.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(rename_all = "kebab-case"))]
pub enum Edges {
    /// Rings on the edge count half. Goes with the sine rule only, and needs both edges on rings or poles.
    Half,
    /// The window of the even cosine series through all ring means: the Clenshaw–Curtis family.
    Exact,
}

impl Edges {
    /// The word used in options and JSON.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Half => "half",
            Self::Exact => "exact",
        }
    }

    /// The rule whose whole-sphere figure belongs to this window form.
    #[must_use]
    pub const fn family(self) -> Rule {
        match self {
            Self::Half => Rule::Sine,
            Self::Exact => Rule::ClenshawCurtis,
        }
    }
}

/// The window form asked for.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum EdgesChoice {
    /// Half under the sine rule where the edges lie on rings, otherwise exact.
    #[default]
    Auto,
    /// This one.
    Fixed(Edges),
}

impl fmt::Display for EdgesChoice {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Auto => "auto",
            Self::Fixed(edges) => edges.as_str(),
        })
    }
}

impl FromStr for EdgesChoice {
    type Err = Error;

    fn from_str(text: &str) -> Result<Self> {
        match text {
            "auto" => Ok(Self::Auto),
            "half" => Ok(Self::Fixed(Edges::Half)),
            "exact" => Ok(Self::Fixed(Edges::Exact)),
            _ => Err(Error::usage(format!("there is no window form {text:?}"))
                .hint("edges: auto, half, exact")),
        }
    }
}

/// The window form for a rule and window.
///
/// # Errors
/// - Usage: half edges under Clenshaw–Curtis;
/// - Domain: half edges asked for and an edge that is on no ring.
pub fn choose_edges(
    choice: EdgesChoice,
    rule: Rule,
    window: Window,
    intervals: usize,
) -> Result<Edges> {
    let on_rings = window.edges_on_rings(intervals);
    match (choice, rule) {
        (EdgesChoice::Fixed(Edges::Half), Rule::ClenshawCurtis) => Err(half_with_clenshaw_curtis()),
        (EdgesChoice::Fixed(Edges::Half), Rule::Sine) if !on_rings => Err(Error::domain(format!(
            "the edges of the window {window} are not on rings of the {}° grid",
            180.0 / intervals as f64
        ))
        .hint("use --edges exact, or measure on a grid that has rings there")),
        (EdgesChoice::Fixed(edges), _) => Ok(edges),
        (EdgesChoice::Auto, Rule::Sine) if on_rings => Ok(Edges::Half),
        (EdgesChoice::Auto, _) => Ok(Edges::Exact),
    }
}

/// The usage error for half edges under Clenshaw–Curtis.
#[must_use]
pub fn half_with_clenshaw_curtis() -> Error {
    Error::usage("half-weighted edges belong to the sine rule, not to Clenshaw–Curtis")
        .hint("use --rule sine with --edges half, or --edges exact")
}
