//! How sure a layout's marks make its adapter.

use crate::layout::Recognise;
use spheresum_core::intake::text::Clip;
use spheresum_core::intake::{Confidence, Head, Look};

/// Looks for the marks: all of them have to be there. Two are certain, one in the text is likely, the ending of the name alone is
/// a maybe, and without a mark nothing is claimed.
pub(crate) fn look(marks: &Recognise, head: &Head<'_>) -> Look {
    let first_line = head
        .text
        .lines()
        .find(|l| !l.trim().is_empty())
        .unwrap_or_default();
    let in_text = marks
        .first_line_contains
        .iter()
        .map(|text| (text, first_line, "the first line"))
        .chain(
            marks
                .contains
                .iter()
                .map(|text| (text, head.text, "the text")),
        );
    let mut found = 0_usize;
    for (text, within, place) in in_text {
        if !within.contains(text.as_str()) {
            return Look::new(
                Confidence::None,
                format!("{place} does not contain {:?}", Clip(text)),
            );
        }
        found += 1;
    }
    let endings = &marks.name_ends_with;
    let lower = head.name.to_lowercase();
    if !endings.is_empty() && !endings.iter().any(|e| lower.ends_with(&e.to_lowercase())) {
        return Look::new(
            Confidence::None,
            format!("the name does not end with {}", endings.join(" or ")),
        );
    }
    match (found, endings.is_empty()) {
        (0, true) => Look::new(
            Confidence::None,
            "the layout has no marks to recognise a file by",
        ),
        (0, false) => Look::new(Confidence::Maybe, "the ending of the name alone"),
        (1, true) => Look::new(Confidence::Likely, "the one mark of the layout is there"),
        (texts, named) => Look::new(
            Confidence::Certain,
            format!(
                "all {} marks of the layout are there",
                texts + usize::from(!named)
            ),
        ),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use spheresum_core::Limits;
    use spheresum_core::intake::Source;

    fn sure(marks: &Recognise) -> Option<Confidence> {
        let text = "\nGauge export 2\nPwr V;Pwr H\n";
        let source = Source::from_text("run.TXT", text, &Limits::small()).ok()?;
        Some(look(marks, &Head::of(&source)).confidence)
    }

    fn marks(first: &[&str], contains: &[&str], name: &[&str]) -> Recognise {
        let of = |texts: &[&str]| texts.iter().map(ToString::to_string).collect();
        Recognise {
            first_line_contains: of(first),
            contains: of(contains),
            name_ends_with: of(name),
        }
    }

    #[test]
    fn the_more_marks_the_surer() {
        use Confidence::{Certain, Likely, Maybe, None};
        for (marks, want) in [
            (marks(&[], &[], &[]), None),
            (marks(&["Gauge"], &[], &[]), Likely),
            (marks(&[], &["Pwr V"], &[]), Likely),
            (marks(&["Pwr V"], &[], &[]), None),
            (marks(&[], &[], &[".txt"]), Maybe),
            (marks(&[], &[], &[".csv", ".txt"]), Maybe),
            (marks(&["Gauge"], &["Pwr V"], &[]), Certain),
            (marks(&["Gauge"], &[], &[".txt"]), Certain),
            (marks(&["Gauge"], &[], &[".csv"]), None),
            (marks(&["Gauge"], &["Pwr X"], &[".txt"]), None),
        ] {
            assert_eq!(sure(&marks), Some(want), "{marks:?}");
        }
    }
}
