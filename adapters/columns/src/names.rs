//! Lines that name columns, and lines of their units.

use spheresum_core::intake::source::Line;
use spheresum_core::intake::text::{
    Meaning, Separator, Span, Unit, UnitText, classify, field, split,
};

/// A line, or the part of it behind a comment's mark, that names columns.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Names<'a> {
    /// The line.
    pub(crate) line: Line<'a>,
    /// Offset of the names in it.
    pub(crate) start: usize,
    /// The line below, where it names the units.
    pub(crate) units: Option<Line<'a>>,
}

impl<'a> Names<'a> {
    /// The names from an offset of a line on.
    pub(crate) const fn new(line: Line<'a>, start: usize) -> Self {
        Self {
            line,
            start,
            units: None,
        }
    }

    /// The text with the names.
    pub(crate) fn text(&self) -> &'a str {
        self.line.text.get(self.start..).unwrap_or_default()
    }

    /// Byte ranges of the names in the line: as many as wanted if there is a way, and the best known.
    pub(crate) fn spans(&self, wanted: Option<usize>, most: usize) -> Vec<Span> {
        let spans = spans(self.text(), wanted, most);
        let moved = |(a, b): Span| (self.start + a, self.start + b);
        spans.into_iter().map(moved).collect()
    }
}

/// Offset of a comment's text in its line.
pub(crate) fn behind_mark(line: &str, body: &str) -> usize {
    line.trim_end().len().saturating_sub(body.len())
}

/// Byte ranges of the names in a text.
pub(crate) fn spans(text: &str, wanted: Option<usize>, most: usize) -> Vec<Span> {
    let score = |way: &Vec<Span>| {
        let known: usize = way.iter().map(|s| knowledge(&text[s.0..s.1])).sum();
        (wanted == Some(way.len()), known)
    };
    // The first of equals: blanks.
    let mut best = Vec::new();
    let mut best_score = (false, 0);
    for way in WAYS {
        let found = way(text, most);
        let score = score(&found);
        if best.is_empty() || score > best_score {
            (best, best_score) = (found, score);
        }
        // Nothing can be better.
        if best_score == (true, 2 * best.len()) {
            break;
        }
    }
    best
}

/// Ways to part names.
const WAYS: [fn(&str, usize) -> Vec<Span>; 6] = [
    |text, most| by(text, Separator::Blank, most),
    |text, most| by(text, Separator::Tab, most),
    |text, most| by(text, Separator::Semicolon, most),
    |text, most| by(text, Separator::Comma, most),
    |text, most| by(text, Separator::Pipe, most),
    between_two_blanks,
];

fn by(text: &str, separator: Separator, most: usize) -> Vec<Span> {
    let mut found = Vec::new();
    match split(text, separator, most, &mut found) {
        None => found,
        // Quotes that are not closed, or with text behind them.
        Some(_) => Vec::new(),
    }
}

/// Byte ranges of what stands between two blanks or more.
fn between_two_blanks(text: &str, most: usize) -> Vec<Span> {
    let mut at = 0;
    let mut found = Vec::new();
    for part in text.split("  ") {
        let start = at + part.len() - part.trim_start().len();
        at += part.len() + 2;
        if !part.trim().is_empty() && found.len() <= most {
            found.push((start, start + part.trim().len()));
        }
    }
    found
}

/// 2 for a name that is known, 1 for one that is known but for its unit, else 0.
fn knowledge(text: &str) -> usize {
    match classify(text) {
        (Meaning::Unknown, UnitText::None) => 0,
        (Meaning::Unknown, _) => 1,
        _ => 2,
    }
}

/// True for a name that says something.
pub(crate) fn is_known(text: &str) -> bool {
    knowledge(text) > 0
}

/// True for a text that is meant as a number, well written or not.
fn is_numeric(text: &str) -> bool {
    let (_, body) = field::mark(text);
    let body = body.strip_prefix(['+', '-']).unwrap_or(body);
    let body = body.strip_prefix(['.', ',']).unwrap_or(body);
    body.starts_with(|c: char| c.is_ascii_digit()) || body.starts_with("**")
}

/// True for a line with a number in it.
pub(crate) fn has_number(text: &str) -> bool {
    text.split_whitespace().any(is_numeric)
}

/// True for a text that names at least two columns, and holds no number.
pub(crate) fn are_names(text: &str, most: usize) -> bool {
    let spans = spans(text, None, most);
    let known = spans.iter().filter(|s| is_known(&text[s.0..s.1])).count();
    known >= 2 && 2 * known >= spans.len() && !has_number(text)
}

/// The units a line names, `None` for `-`; `None` where it is no such line.
pub(crate) fn units(text: &str) -> Option<Vec<Option<Unit>>> {
    let mut found = Vec::new();
    let mut any = false;
    for word in text.split_whitespace() {
        let bare = word.trim_matches(['[', ']', '(', ')']);
        let unit = match bare {
            "-" | "--" => None,
            _ => Some(Unit::parse_exact(bare)?),
        };
        // `1 1 1` may be a row.
        any |= unit.is_some_and(|u| u != Unit::One);
        found.push(unit);
    }
    any.then_some(found)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn texts(text: &str, wanted: usize) -> Vec<&str> {
        let spans = spans(text, Some(wanted), 100);
        spans.iter().map(|s| &text[s.0..s.1]).collect()
    }

    #[test]
    fn as_many_as_wanted() {
        assert_eq!(texts("theta_deg phi_deg", 2), ["theta_deg", "phi_deg"]);
        assert_eq!(
            texts("Theta [deg]  Phi [deg]   EIRP theta [dBm]", 3),
            ["Theta [deg]", "Phi [deg]", "EIRP theta [dBm]"]
        );
        assert_eq!(
            texts("theta_deg, phi_deg, pol", 3),
            ["theta_deg", "phi_deg", "pol"]
        );
        assert_eq!(
            texts("theta_deg | phi_deg | EIRP (dBm)", 3)[2],
            "EIRP (dBm)"
        );
        assert_eq!(texts("theta_deg phi_deg eirp", 5).len(), 3);
    }

    #[test]
    fn names_and_remarks() {
        for (text, want) in [
            ("theta_deg phi_deg eirp_theta_dbm", true),
            ("theta phi", true),
            ("readings taken in theta and phi", false),
            ("phi = 30 deg, theta runs", false),
            ("theta_deg", false),
            ("30.0 45.0 theta phi", false),
        ] {
            assert_eq!(are_names(text, 100), want, "{text}");
        }
        assert!(has_number("a -1.5") && has_number("<-90") && has_number("****"));
        assert!(!has_number("a - b"));
    }

    #[test]
    fn unit_lines() {
        assert_eq!(units("[deg] [deg] (dBm) -").map(|u| u.len()), Some(4));
        assert_eq!(units("1 1 1"), None);
        assert_eq!(units("deg furlong"), None);
    }
}
