//! The look: how sure the head of a text makes us.

use crate::grammar::{self, Shape};
use crate::keyword::Keyword;
use crate::option_line::Part;
use spheresum_core::intake::{Confidence, Head, Look};

/// Looks at the head of a text.
pub(crate) fn look(head: &Head<'_>) -> Look {
    let named = grammar::ports_of_name(head.name).is_some();
    let mut lines = significant(head.text);
    let Some(first) = lines.next() else {
        return match named {
            true => Look::new(Confidence::Maybe, "the name, and comments alone"),
            false => Look::new(Confidence::None, "neither option line nor data"),
        };
    };
    match grammar::shape(first) {
        Shape::Keyword(start, end) => keyword(first.get(start..end).unwrap_or_default()),
        Shape::Options(from) => {
            let below = lines.find(|line| !matches!(grammar::shape(line), Shape::Options(_)));
            option_line(first, from, below, named)
        }
        Shape::Data if named && is_data(first) => Look::new(
            Confidence::Likely,
            "the name, and lines of numbers without an option line",
        ),
        _ => Look::new(Confidence::None, "no option line in front of the data"),
    }
}

/// Lines with content.
fn significant(text: &str) -> impl Iterator<Item = &str> {
    text.split(['\n', '\r'])
        .filter(|line| grammar::shape(line) != Shape::Nothing)
}

fn keyword(text: &str) -> Look {
    match Keyword::of(text) {
        Some(Keyword::Version) => Look::new(Confidence::Certain, "[Version] is the first line"),
        Some(keyword) => Look::new(
            Confidence::Likely,
            format!("{} is the first line", keyword.text()),
        ),
        None => Look::new(Confidence::None, "no option line in front of the data"),
    }
}

/// A comment of another format may begin with `#` as well: words of the option line count, and the line below.
fn option_line(line: &str, from: usize, below: Option<&str>, named: bool) -> Look {
    let words: Vec<&str> = grammar::words(line, from)
        .take(16)
        .map(|(_, w)| w)
        .collect();
    let parts = words.iter().filter(|w| Part::of(w).is_some()).count();
    let is_sound = words
        .iter()
        .all(|w| Part::of(w).is_some() || w.parse::<f64>().is_ok());
    match (is_sound, below.map(is_data)) {
        (true, Some(true)) if parts >= 2 || named => {
            Look::new(Confidence::Certain, "an option line, and lines of numbers")
        }
        (true, Some(true)) => Look::new(
            Confidence::Likely,
            "a short option line, and lines of numbers",
        ),
        _ if parts >= 2 => Look::new(
            Confidence::Likely,
            "an option line that is not followed by data, or has unknown words",
        ),
        (_, Some(true)) if named => Look::new(Confidence::Likely, "the name, and lines of numbers"),
        (_, None) if named => Look::new(Confidence::Maybe, "the name, and no data"),
        _ => Look::new(Confidence::None, "no option line in front of the data"),
    }
}

/// True for a line that begins with a number and holds little else.
fn is_data(line: &str) -> bool {
    let is_number = |word: &str| word.parse::<f64>().is_ok();
    let (mut count, mut numbers) = (0_usize, 0_usize);
    for (_, word) in grammar::words(line, 0) {
        if count == 0 && !is_number(word) {
            return false;
        }
        count += 1;
        numbers += usize::from(is_number(word));
    }
    count >= 2 && 2 * numbers >= count && !line.contains([',', ';'])
}

#[cfg(test)]
mod tests {
    use super::*;
    use spheresum_core::Limits;
    use spheresum_core::intake::Source;

    fn of(name: &str, text: &str) -> Confidence {
        Source::from_text(name, text, &Limits::small())
            .map_or(Confidence::None, |s| look(&Head::of(&s)).confidence)
    }

    #[test]
    fn as_sure_as_the_lines_are() {
        use Confidence::{Certain, Likely, Maybe, None};
        for (name, text, want) in [
            ("t", "! gauge\n# GHz S MA R 50\n0.8683 0.5 90\n", Certain),
            ("t", "[version] 2.0\n", Certain),
            ("a.s1p", "#\n0.8683 0.5 90\n", Certain),
            ("t", "#\n0.8683 0.5 90\n", Likely),
            ("t", "# MHz\n868.3 0.5 90\n", Likely),
            ("t", "# GHz S XX R 50\n0.8683 0.5 90\n", Likely),
            ("t", "# MHz S RI\n", Likely),
            ("t", "[Number of Ports] 2\n", Likely),
            ("a.s1p", "0.8683 0.5 90\n", Likely),
            ("a.s1p", "! gauge\n", Maybe),
            ("t", "0.8683 0.5 90\n", None),
            ("t", "[gauge]\nstep = 15\n", None),
            ("t", "! gauge\n", None),
            (
                "t",
                "# frequency: 868.3 MHz\ntheta_deg,phi_deg,eirp_theta_dbm\n0,0,-3\n",
                None,
            ),
            ("t", "# MHz\nfrequency,loss_theta_db\n868.3,40\n", None),
            ("t", "# S MHz\n868.3,40,41\n", Likely),
            ("a.s2p", "theta_deg,phi_deg,eirp_theta_dbm\n0,0,-3\n", None),
            ("a.s2p", "# gauge\n0,0,-3\n", None),
            ("t", "#!/bin/sh\necho 1 2\n", None),
        ] {
            assert_eq!(of(name, text), want, "{name}: {text}");
        }
    }
}
