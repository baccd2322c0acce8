//! Findings: remarks about the data that a person should see. None of them changes anything.
//!
//! What the data say by themselves, one file each here; every tolerance lies above rounding, and above the sine rule's own bias where that
//! rule is judged. "Suspected" is said where the data could be as they are.
//!
//! | code | told where | looks at |
//! |---|---|---|
//! | `units-suspected` | the best sample lies outside of what is usual, or all levels lie between 0 and 0.5 dBm | sphere |
//! | `frequency-unusual` | below 10 MHz or above 330 GHz | frequencies |
//! | `part-of-sphere` | rings end before a pole, or two columns and more are absent; over 0.2 % of the sphere | sphere |
//! | `spikes` | a sample is 2 dB off its neighbours' cubic, and 8 times as far as its diagonal neighbours are | sphere |
//! | `grid-coarse` | every second ring or column gives a whole that is 0.5 dB off the others' | sphere |
//! | `harmonics-high` | 15 % of the energy in the highest third of the harmonic degrees that the grid can tell | sphere |
//! | `polarisations-exchanged` | theta looks like phi of the next frequency: likeness ≥ 0.97, as named ≤ 0.85 | sphere |
//! | `seam` | φ = 360° reads 0.1 dB off φ = 0° over the cut, or one pair 0.5 dB | repeats |
//! | `drift` | 0.2 dB over time (over the lines, where times lack), beyond the 95 % of its scatter, of directions read three times and more | repeats |
//! | `elevation-suspected` | θ reaches −60° and below and not beyond 91°, φ all round, and repeats 1 dB apart | repeats |
//! | `axes-suspected` | the middle half of a pole's totals spreads by 2 dB, φ = 0° and 180° by less than 0.5 dB | poles |
//! | `pole-spread` | totals, or repeats, 0.5 dB apart | poles |
//! | `pole-law` | 12 % (0.5 dB) of a pole's total off the law of cos² and sin² | poles |
//! | `pole-imbalance` | means of the polarisations 0.05 dB apart | poles |
//! | `pole-copied` | polarisations that do not change over φ, 1 dB apart | poles |
//! | `floor-suspected` | the weakest readings of a polarisation, over a twentieth of the sphere, spread by less than 2 dB, 20 to 80 dB below the strongest; no floor was given | sphere |
//! | `rules-differ`, `window-forms-differ` | two forms differ by 0.05 dB more than the rule's own bias | figures |
//! | `efficiency-over-100` | TRP 0.15 dB above a power that was given | figures |
//! | `directivity-below-0` | below −0.15 dBi | figures |
//! | `directivity-above-size` | 0.15 dB above (ka)² + 2ka of the size that was given | figures |

mod above_given;
mod above_size;
pub(crate) mod axes;
mod below_isotropic;
mod coarse;
pub(crate) mod drift;
mod elevation;
mod exchanged;
pub(crate) mod forms;
mod frequency;
mod high_degrees;
mod part;
mod plateau;
pub(crate) mod pole_copied;
mod pole_imbalance;
pub(crate) mod pole_law;
mod pole_spread;
#[cfg(test)]
pub(crate) mod samples;
mod seam;
mod spikes;
mod units;
mod view;

pub(crate) use above_given::above_given;
pub(crate) use above_size::{above_size, largest_dbi};
pub(crate) use below_isotropic::below_isotropic;
pub(crate) use elevation::elevation;
pub use frequency::unusual as unusual_frequency;
pub use plateau::{FloorMargin, floor_margins, plateau};
pub(crate) use pole_imbalance::pole_imbalance;
pub(crate) use pole_spread::pole_spread;
pub(crate) use seam::seam;

use crate::error::Result;
use crate::model::Sphere;
use crate::place::Place;
use crate::watch::Span;

/// What cannot be is told beyond this, dB: above the bias of the sine rule, 0.10 dB for an isotropic source at 30° (closed form).
const BIAS_DB: f64 = 0.15;

/// How much a finding matters.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(rename_all = "lowercase"))]
#[non_exhaustive]
pub enum Severity {
    /// Worth knowing.
    Note,
    /// May move the result.
    Warning,
    /// Something asked for was refused.
    Refusal,
}

/// A remark about the data: what, where, how much, and what to do.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[non_exhaustive]
pub struct Finding {
    /// How much it matters.
    pub severity: Severity,
    /// A stable word for programs, such as `repeats`.
    pub code: String,
    /// One sentence for people.
    pub message: String,
    /// Where in the file, if it is about one place.
    pub place: Option<Place>,
    /// What it does to the result in dB, where that is known.
    pub effect_db: Option<f64>,
    /// What to do about it.
    pub advice: Option<String>,
}

impl Finding {
    /// A finding with a sentence; the rest is added by the `with_` calls.
    #[must_use]
    pub fn new(severity: Severity, code: &str, message: impl Into<String>) -> Self {
        Self {
            severity,
            code: code.to_string(),
            message: message.into(),
            place: None,
            effect_db: None,
            advice: None,
        }
    }

    /// A note.
    #[must_use]
    pub fn note(code: &str, message: impl Into<String>) -> Self {
        Self::new(Severity::Note, code, message)
    }

    /// A warning.
    #[must_use]
    pub fn warning(code: &str, message: impl Into<String>) -> Self {
        Self::new(Severity::Warning, code, message)
    }

    /// A refusal.
    #[must_use]
    pub fn refusal(code: &str, message: impl Into<String>) -> Self {
        Self::new(Severity::Refusal, code, message)
    }

    /// With a place.
    #[must_use]
    pub fn at(mut self, place: Place) -> Self {
        self.place = Some(place);
        self
    }

    /// With its effect on the result, dB; a value that is not finite is left out.
    #[must_use]
    pub fn effect_db(mut self, effect_db: f64) -> Self {
        self.effect_db = effect_db.is_finite().then_some(effect_db);
        self
    }

    /// With advice.
    #[must_use]
    pub fn advice(mut self, advice: impl Into<String>) -> Self {
        self.advice = Some(advice.into());
        self
    }
}

/// What the samples of a sphere say by themselves: units, a range that ends
/// early, polarisations that change places, single readings that stand out, a grid too coarse for the pattern.
///
/// For powers on an equal-angle grid, before gaps are filled; of other spheres nothing is said. Each remark is made once, of the frequency where
/// it is largest, and nothing is changed.
#[must_use]
pub fn from_sphere(sphere: &Sphere) -> Vec<Finding> {
    LOOKS.iter().filter_map(|look| look(sphere)).collect()
}

/// What is looked for, in the order in which it is told.
const LOOKS: [fn(&Sphere) -> Option<Finding>; 6] = [
    units::suspected,
    part::of_the_sphere,
    exchanged::suspected,
    spikes::standing_out,
    coarse::too_coarse,
    high_degrees::high_degrees,
];

/// As [`from_sphere`], as a part of a watched call.
pub(crate) fn from_sphere_within(sphere: &Sphere, span: Span<'_>) -> Result<Vec<Finding>> {
    let mut found = Vec::new();
    for (n, look) in LOOKS.iter().enumerate() {
        span.nth(n, LOOKS.len()).at(0.0, "looking at the samples")?;
        found.extend(look(sphere));
    }
    Ok(found)
}
