//! The look: how sure the head of a text makes us.

use crate::own::Own;
use crate::sight::{Sight, Texts, sight};
use spheresum_core::Limits;
use spheresum_core::intake::{Confidence, Head, Look, text};

/// Looks at the head of a text.
pub(crate) fn look(head: &Head<'_>) -> Look {
    let texts = Texts::new();
    match sight(head.text, &Own::default(), &Limits::default(), &texts) {
        Sight::Nothing(_) => Look::new(Confidence::None, "no heading line"),
        Sight::Numbers(..) => Look::new(Confidence::Maybe, "a table of numbers without a heading"),
        Sight::Table(found) => text::judge(&found.table),
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
