//! The look: how sure the head of a text makes us.

use crate::choices::Choices;
use crate::meaning::{Meaning, UnitText};
use crate::names::What;
use crate::show::Clip;
use crate::table::{Sight, Table, sight};
use spheresum_core::Limits;
use spheresum_core::intake::{Confidence, Head, Look};

/// Looks at the head of a text.
pub(crate) fn look(head: &Head<'_>) -> Look {
    match sight(head.text, &Choices::default(), Limits::default().max_fields) {
        Sight::Nothing(_) => Look::new(Confidence::None, "no heading line"),
        Sight::Numbers(..) => Look::new(Confidence::Maybe, "a table of numbers without a heading"),
        Sight::Table(table) => judge(&table),
    }
}

fn judge(table: &Table<'_>) -> Look {
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
    let guesses = has(&|m| matches!(m, Meaning::Guess(_)));
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
    match (theta && phi, value) {
        (true, Some((what, _))) => Look::new(
            Confidence::Certain,
            format!("headings name theta, phi and {}", what.word()),
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
            format!("no known heading in {:?}", Clip(table.line.text)),
        ),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use spheresum_core::intake::Source;

    #[test]
    fn as_sure_as_the_headings_are() {
        for (text, want) in [
            ("theta_deg,phi_deg,eirp_theta_dbm\n", Confidence::Certain),
            (
                "frequency_mhz,loss_theta_db,loss_phi_db\n",
                Confidence::Certain,
            ),
            ("theta,phi,power_dbm\n", Confidence::Likely),
            ("el,az,V [dBm],H [dBm]\n", Confidence::Likely),
            ("0,0,-12.5\n", Confidence::Maybe),
            ("name,colour\n", Confidence::None),
            ("A letter to the editor\n", Confidence::None),
            ("# only a comment\n", Confidence::None),
        ] {
            let got = Source::from_text("t", text, &Limits::small())
                .map(|s| look(&Head::of(&s)).confidence);
            assert_eq!(got.ok(), Some(want), "{text}");
        }
    }
}
