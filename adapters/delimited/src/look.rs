//! The look: how sure the head of a text makes us.

use crate::own::Own;
use crate::sight::{Found, Sight, Texts, sight};
use spheresum_core::Limits;
use spheresum_core::intake::text::{self, Separator, fortran, line_at, number};
use spheresum_core::intake::{Confidence, Head, Look};

/// Looks at the head of a text.
pub(crate) fn look(head: &Head<'_>) -> Look {
    // A comma-separated line of JSON may name columns as well.
    if head.text.trim_start().starts_with('{') || head.text.trim_start().starts_with("[{") {
        return Look::new(Confidence::None, "starts like JSON");
    }
    let texts = Texts::new();
    match sight(head.text, &Own::default(), &Limits::default(), &texts) {
        Sight::Nothing(_) => Look::new(Confidence::None, "no heading line"),
        Sight::Numbers(..) => Look::new(Confidence::Maybe, "a table of numbers without a heading"),
        Sight::Table(found) if is_of_others(&found, head.text) => {
            let look = text::judge(&found.table);
            let less = match look.confidence {
                Confidence::Certain => Confidence::Likely,
                Confidence::Likely => Confidence::Maybe,
                other => other,
            };
            Look::new(less, format!("{}, in another family's manner", look.reason))
        }
        Sight::Table(found) => {
            let look = text::judge(&found.table);
            let has_number = found.raw.iter().any(|t| number::whole(t, b'.').is_some());
            // `Azimuth 30 deg` is a title of something else rather than three columns.
            if look.confidence == Confidence::Likely && has_number {
                return Look::new(
                    Confidence::Maybe,
                    "a line of known names with a number among them",
                );
            }
            look
        }
    }
}

/// Rows that are looked at.
const ROWS: usize = 8;

/// True for declared widths, for numbers that only Fortran writes so, and for a `key = value`: other families read those.
fn is_of_others(found: &Found<'_>, text: &str) -> bool {
    if found.separator != Separator::Blank {
        return false;
    }
    let mut cursor = found.body;
    let mut rows = std::iter::from_fn(|| {
        let (line, next) = line_at(text, cursor)?;
        cursor = next;
        Some(line.text)
    });
    found.table.headings.iter().any(|h| h.text() == "=")
        || found.table.entries.all.iter().any(fortran::declares_widths)
        || rows.by_ref().take(ROWS).any(fortran::is_row)
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
            (
                "theta_deg phi_deg eirp_theta_dbm\n0 0 1.0E+00\n",
                Confidence::Certain,
            ),
            (
                "theta_deg phi_deg eirp_theta_dbm\n0 0 1.0D+00\n",
                Confidence::Likely,
            ),
            ("theta phi power_dbm\n0 0 1.0D+00\n", Confidence::Maybe),
            (
                "# widths: 4 4 8\ntheta_deg phi_deg eirp_theta_dbm\n0 0 1\n",
                Confidence::Likely,
            ),
            (
                "# format: none\ntheta_deg phi_deg eirp_theta_dbm\n0 0 1\n",
                Confidence::Certain,
            ),
            ("el,az,V [dBm],H [dBm]\n", Confidence::Likely),
            ("0,0,-12.5\n", Confidence::Maybe),
            ("name,colour\n", Confidence::None),
            ("A letter to the editor\n", Confidence::None),
            ("# only a comment\n", Confidence::None),
            ("{\"theta_deg\": [0], \"phi_deg\": [0]}\n", Confidence::None),
        ] {
            let got = Source::from_text("t", text, &Limits::small())
                .map(|s| look(&Head::of(&s)).confidence);
            assert_eq!(got.ok(), Some(want), "{text}");
        }
    }
}
