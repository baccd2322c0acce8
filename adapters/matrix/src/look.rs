//! The look: how sure the head of a text makes us.

use crate::kinds::{self, Kind};
use crate::own::Own;
use crate::structure;
use spheresum_core::Limits;
use spheresum_core::intake::text::title::{Said, statements};
use spheresum_core::intake::text::{
    Cursor, Key, Meaning, Separator, ValueName, What, line_at, split,
};
use spheresum_core::intake::{Confidence, Head, Look};

/// Looks at the head of a text.
pub(crate) fn look(head: &Head<'_>) -> Look {
    let most = Limits::default().max_fields;
    let Some(separator) = structure::separator(head.text, &Own::default(), most) else {
        return Look::new(Confidence::None, "no line of labels above a row");
    };
    let seen = Seen::of(head.text, separator, most);
    match (seen.named, seen.quantity) {
        (true, true) => Look::new(
            Confidence::Certain,
            "names the angles of rows and columns, and the quantity",
        ),
        (true, false) => Look::new(Confidence::Likely, "names the angles of rows and columns"),
        (false, true) if seen.empty_corner => Look::new(
            Confidence::Likely,
            "names a quantity, and a line of labels whose corner is empty",
        ),
        _ => Look::new(
            Confidence::Maybe,
            "a line of labels above rows, and nothing names their angles",
        ),
    }
}

/// What stands in the head, up to the first line of labels.
#[derive(Debug, Default)]
struct Seen {
    /// Both angles are named.
    named: bool,
    /// Nothing stands in the corner.
    empty_corner: bool,
    /// The quantity and its unit are named.
    quantity: bool,
}

impl Seen {
    fn of(text: &str, separator: Separator, most: usize) -> Self {
        let mut seen = Self::default();
        let (mut axes, mut quantity, mut unit) = (0, false, false);
        let mut spans = Vec::new();
        let mut cursor = Cursor::START;
        while let Some((line, next)) = line_at(text, cursor) {
            cursor = next;
            split(line.text, separator, most, &mut spans);
            match kinds::of(line, separator, &spans) {
                Kind::Blank => {}
                Kind::Labels(labels) => {
                    seen.named = labels.named;
                    seen.empty_corner = labels.corner.0 == labels.corner.1;
                    break;
                }
                Kind::Row => {
                    seen.empty_corner = true;
                    break;
                }
                Kind::Comment | Kind::Other => {}
            }
            for statement in statements(line) {
                match &statement.said {
                    Said::Axis { .. } => axes += 1,
                    Said::Values(heading) => {
                        let clear =
                            |name: ValueName| !name.what.is_vague() && name.what != What::Loss;
                        quantity |= matches!(heading.meaning, Meaning::Value(name) if clear(name));
                        let part =
                            matches!(heading.meaning, Meaning::Value(name) if name.part.is_some());
                        unit |= part || heading.unit.known().is_some();
                    }
                    Said::Entry(entry) => {
                        quantity |= entry.known() == Some(Key::Quantity);
                        unit |= entry.known() == Some(Key::Unit);
                    }
                    _ => {}
                }
            }
        }
        seen.named |= axes == 2;
        seen.quantity = quantity && unit;
        seen
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
                "EIRP theta [dBm]\ntheta_deg\\phi_deg,0,30\n0,1,2\n",
                Confidence::Certain,
            ),
            (
                "quantity: eirp\nunit: dBm\ntheta/phi [deg] 0 30\n0 1 2\n",
                Confidence::Certain,
            ),
            ("theta_deg\\phi_deg,0,30\n0,1,2\n", Confidence::Likely),
            ("EIRP theta [dBm]\n;0;30\n0;1;2\n", Confidence::Likely),
            (
                "EIRP theta [dBm]\ntheta_deg;0;30\n0;1;2\n",
                Confidence::Maybe,
            ),
            (";0;30\n0;1;2\n", Confidence::Maybe),
            (
                "theta_deg,phi_deg,eirp_theta_dbm\n0,0,1\n",
                Confidence::None,
            ),
            ("0 1 2\n3 4 5\n", Confidence::None),
            ("A letter to the editor\n", Confidence::None),
        ] {
            let got = Source::from_text("t", text, &Limits::small())
                .map(|s| look(&Head::of(&s)).confidence);
            assert_eq!(got.ok(), Some(want), "{text}");
        }
    }
}
