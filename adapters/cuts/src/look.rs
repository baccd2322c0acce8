//! The look: how sure the head of a text makes us.

use crate::heading::Angle;
use crate::own::Own;
use crate::structure;
use spheresum_core::Limits;
use spheresum_core::intake::text::title::{Said, statements};
use spheresum_core::intake::text::{Cursor, Key, Meaning, What, line_at};
use spheresum_core::intake::{Confidence, Head, Look};

/// Looks at the head of a text.
pub(crate) fn look(head: &Head<'_>) -> Look {
    let most = Limits::default().max_fields;
    let Some((_, names)) = structure::sight(head.text, &Own::default(), most) else {
        return Look::new(
            Confidence::None,
            "no headings of a running angle above a row",
        );
    };
    let mut angles = names.angles();
    let Some((_, running)) = angles.next().filter(|_| angles.next().is_none()) else {
        return Look::new(Confidence::None, "the headings name both angles");
    };
    let is_clear = |m: Meaning| matches!(m, Meaning::Theta | Meaning::Phi);
    let mut clear = names
        .headings
        .iter()
        .all(|h| Angle::of(h.meaning).is_none() || is_clear(h.meaning));
    let (mut quantity, mut unit) = (false, false);
    for heading in &names.headings {
        if let Meaning::Value(name) = heading.meaning {
            quantity |= !name.what.is_vague() && name.what != What::Loss;
            unit |= heading.unit.known().is_some() || name.part.is_some();
        }
    }
    let mut fixed = false;
    let mut cursor = Cursor::START;
    while let Some((line, next)) = line_at(head.text, cursor) {
        cursor = next;
        if fixed && quantity && unit {
            break;
        }
        for statement in statements(line) {
            match &statement.said {
                Said::Angle(heading) if Angle::of(heading.meaning) == Some(running.other()) => {
                    fixed = true;
                    clear &= is_clear(heading.meaning);
                }
                Said::Values(heading) => {
                    if let Meaning::Value(name) = heading.meaning {
                        quantity |= !name.what.is_vague() && name.what != What::Loss;
                        unit |= heading.unit.known().is_some();
                    }
                }
                Said::Entry(entry) => {
                    quantity |= entry.known() == Some(Key::Quantity);
                    unit |= entry.known() == Some(Key::Unit);
                }
                _ => {}
            }
        }
    }
    match (fixed, clear && quantity && unit) {
        (true, true) => Look::new(
            Confidence::Certain,
            "a line fixes one angle, and the headings name the other and a quantity",
        ),
        (true, false) => Look::new(
            Confidence::Likely,
            "a line fixes one angle, and the headings name the other",
        ),
        (false, _) => Look::new(
            Confidence::Maybe,
            "the headings name one angle, and no line fixes the other",
        ),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use spheresum_core::intake::Source;

    #[test]
    fn as_sure_as_the_names_are() {
        for (text, want) in [
            (
                "phi: 30 deg\ntheta_deg,eirp_theta_dbm\n0,1\n",
                Confidence::Certain,
            ),
            (
                "theta_deg eirp_theta_dbm\nCut 1: phi = 30 deg\n0 1\n",
                Confidence::Certain,
            ),
            (
                "phi: 30 deg\ntheta_deg,power_dbm\n0,1\n",
                Confidence::Likely,
            ),
            ("az: 30 deg\nel,eirp_theta_dbm\n0,1\n", Confidence::Likely),
            ("Cut 1\ntheta_deg,eirp_theta_dbm\n0,1\n", Confidence::Maybe),
            (
                "phi: 30 deg\ntheta_deg,phi_deg,eirp_theta_dbm\n0,30,1\n",
                Confidence::None,
            ),
            (
                "phi: 30 deg\nfrequency_mhz,eirp_theta_dbm\n868.3,1\n",
                Confidence::None,
            ),
            ("A letter to the editor\n", Confidence::None),
        ] {
            let got = Source::from_text("t", text, &Limits::small())
                .map(|s| look(&Head::of(&s)).confidence);
            assert_eq!(got.ok(), Some(want), "{text}");
        }
    }
}
