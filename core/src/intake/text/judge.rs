//! How sure headings make an adapter.

use crate::intake::adapter::{Confidence, Look};
use crate::intake::text::clip::Clip;
use crate::intake::text::meaning::{Meaning, UnitText};
use crate::intake::text::table::Table;
use crate::intake::text::word::{Guess, What};

/// How sure the headings of a table make an adapter: certain where they name θ, φ and a value with its unit, or a frequency
/// and a loss.
#[must_use]
pub fn judge(table: &Table<'_>) -> Look {
    let has = |is: &dyn Fn(&Meaning) -> bool| table.headings.iter().any(|h| is(&h.meaning));
    let values: Vec<(What, bool)> = table
        .headings
        .iter()
        .filter_map(|h| match h.meaning {
            Meaning::Value(name) => {
                Some((name.what, h.unit.known().is_some() || name.part.is_some()))
            }
            _ => None,
        })
        .collect();
    let theta = has(&|m| *m == Meaning::Theta);
    let phi = has(&|m| *m == Meaning::Phi);
    let frequency = has(&|m| *m == Meaning::Frequency);
    // A number in a name says little.
    let guesses = has(&|m| matches!(m, Meaning::Guess(g) if *g != Guess::ColumnFrequency));
    let almost = table
        .headings
        .iter()
        .any(|h| h.meaning == Meaning::Unknown && h.unit != UnitText::None);
    let value = values
        .iter()
        .find(|(what, unit)| !what.is_vague() && *what != What::Loss && *unit);
    let loss = values
        .iter()
        .any(|(what, unit)| *what == What::Loss && *unit);
    let wide = table
        .headings
        .iter()
        .any(|h| matches!(h.meaning, Meaning::Value(name) if name.frequency.is_some()));
    match (theta && phi, value) {
        (true, Some((what, _))) => Look::new(
            Confidence::Certain,
            format!("headings name theta, phi and {}", what.word()),
        ),
        (true, None) if wide => Look::new(
            Confidence::Certain,
            "headings name theta, phi and frequencies with their units",
        ),
        _ if frequency && loss => {
            Look::new(Confidence::Certain, "headings name frequency and loss")
        }
        (true, None) => Look::new(
            Confidence::Likely,
            "headings name theta and phi, and no value without doubt",
        ),
        _ if theta || phi || !values.is_empty() || guesses && table.headings.len() > 1 => {
            Look::new(
                Confidence::Likely,
                format!(
                    "a heading line with some known names: {}",
                    Clip(&table.list())
                ),
            )
        }
        _ if (frequency || almost) && table.headings.len() > 1 => {
            Look::new(Confidence::Maybe, "a heading line with a known name")
        }
        _ => Look::new(
            Confidence::None,
            format!("no known heading in {:?}", Clip(&table.list())),
        ),
    }
}
