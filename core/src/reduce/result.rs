//! Result of a reduction.

use crate::figure::Figure;
use crate::fill::Fill;
use crate::finding::Finding;
use crate::history::History;
use crate::model::{Quantity, Sphere};
use crate::reduce::noise::NoiseReport;
use crate::rule::{EdgesChoice, Rule};
use crate::unit::Frequency;

/// What can be said of a run as a whole.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(rename_all = "kebab-case"))]
#[non_exhaustive]
pub enum Verdict {
    /// Noise does not matter.
    Clear,
    /// Noise mattered and was corrected.
    Corrected,
    /// Noise limits the result.
    NoiseLimited,
    /// Noise was not assessed.
    NotAssessed,
}

impl Verdict {
    /// The word used in JSON and text.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Clear => "clear",
            Self::Corrected => "corrected",
            Self::NoiseLimited => "noise-limited",
            Self::NotAssessed => "not-assessed",
        }
    }
}

/// Figures of one frequency.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
#[non_exhaustive]
pub struct ChannelResult {
    /// The frequency (in hertz when serialised); `None`: the readings name none.
    pub frequency_hz: Option<Frequency>,
    /// Its figures.
    pub figures: Vec<Figure>,
    /// What noise does to its TRP, where a floor was taken off.
    pub noise: Option<NoiseReport>,
}

impl ChannelResult {
    /// A figure by name.
    #[must_use]
    pub fn figure(&self, name: &str) -> Option<&Figure> {
        self.figures.iter().find(|f| f.name == name)
    }
}

/// Result of a reduction of one run.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
#[non_exhaustive]
pub struct Reduction {
    /// What was integrated.
    pub quantity: Quantity,
    /// The rule of whole-sphere figures.
    pub rule: Rule,
    /// The window form that was asked for; each figure says which it was made with.
    #[cfg_attr(feature = "serde", serde(serialize_with = "as_text"))]
    pub edges: EdgesChoice,
    /// How gaps were filled.
    #[cfg_attr(feature = "serde", serde(serialize_with = "as_text"))]
    pub fill: Fill,
    /// What can be said of the run.
    pub verdict: Verdict,
    /// Figures by frequency, ascending, an unknown one first.
    pub channels: Vec<ChannelResult>,
    /// Figures over all frequencies.
    pub summary: Vec<Figure>,
    /// Remarks.
    pub findings: Vec<Finding>,
    /// What was done.
    pub history: History,
    /// The sphere that was integrated: corrected and filled.
    #[cfg_attr(feature = "serde", serde(skip))]
    pub sphere: Sphere,
}

#[cfg(feature = "serde")]
pub(crate) fn as_text<T: std::fmt::Display, S: serde::Serializer>(
    value: &T,
    serializer: S,
) -> Result<S::Ok, S::Error> {
    serializer.collect_str(value)
}
