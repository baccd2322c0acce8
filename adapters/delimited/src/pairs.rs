//! Entries that a spreadsheet keeps in two cells above the heading: `Frequency;868.3 MHz`, also `Frequency (MHz):;868.3;;`.

use crate::preamble::{self, Preamble};
use spheresum_core::intake::source::Line;
use spheresum_core::intake::text::{
    Cursor, Entry, Key, Meaning, Separator, UnitText, classify, split,
};

/// Most lines of such a block.
const MOST_LINES: usize = 64;

/// Fewest cells of the heading below it, so that a heading of two columns is never taken for an entry.
const HEADING_CELLS: usize = 3;

/// Longest line that is taken apart, bytes: what [`Limits`](spheresum_core::Limits) allow unless they are raised.
const MOST_BYTES: usize = 1 << 20;

/// Separators that leave cells empty.
const SEPARATORS: [Separator; 4] = [
    Separator::Tab,
    Separator::Semicolon,
    Separator::Comma,
    Separator::Pipe,
];

/// What [`preamble::above_heading`] gives, where some of the lines are entries in two cells; else `None`, and nothing is decided.
///
/// It takes a line of at least three cells below them, separated by the same sign, two of which are known names.
pub(crate) fn above_heading(text: &str) -> Option<(Preamble<'_>, Option<Line<'_>>, Cursor)> {
    SEPARATORS.iter().find_map(|separator| {
        let mut has_pair = false;
        let above = preamble::above(text, MOST_LINES, |line| {
            let entry = pair(line, *separator);
            has_pair |= entry.is_some();
            entry
        });
        let is_heading = |line: Line<'_>| is_heading(line.text, *separator);
        (has_pair && above.1.is_some_and(is_heading)).then_some(above)
    })
}

/// True where more text behind a piece could change what [`above_heading`] gives: nothing but entries in two cells, and what may stand
/// between them, up to its end.
pub(crate) fn runs_out(text: &str) -> bool {
    let is_short = || preamble::lines(text).take(MOST_LINES).count() < MOST_LINES;
    let mut endless = SEPARATORS.iter().filter(|separator| {
        let (_, line, _) = preamble::above(text, MOST_LINES, |line| pair(line, **separator));
        line.is_none()
    });
    endless.next().is_some() && is_short()
}

/// The entry of a line whose first two cells hold something, and the others nothing.
fn pair(line: Line<'_>, separator: Separator) -> Option<Entry<'_>> {
    let cells = cells(line.text, separator)?;
    let [key, value] = *cells.get(..2)? else {
        return None;
    };
    if key.is_empty() || value.is_empty() || cells.iter().skip(2).any(|c| !c.is_empty()) {
        return None;
    }
    let key = key.strip_suffix([':', '=']).unwrap_or(key).trim_end();
    // `Frequency: 868,3` is an entry already, whose value has a comma.
    if !key.starts_with(char::is_alphabetic) || key.contains([':', '=', '"']) || value.contains('"')
    {
        return None;
    }
    let entry = Entry { key, value, line };
    let takes_names = matches!(
        entry.known(),
        Some(Key::Polarisation | Key::Quantity | Key::Unit | Key::Angles)
    );
    (takes_names || !is_name(value)).then_some(entry)
}

/// The entry of a line among the rows or below them, if its key means something.
pub(crate) fn known_pair(line: Line<'_>, separator: Separator) -> Option<Entry<'_>> {
    let separates = SEPARATORS.contains(&separator);
    pair(line, separator).filter(|entry| separates && entry.known().is_some())
}

fn is_heading(text: &str, separator: Separator) -> bool {
    cells(text, separator).is_some_and(|cells| {
        let filled = cells.iter().filter(|c| !c.is_empty()).count();
        filled >= HEADING_CELLS && cells.iter().filter(|c| is_name(c)).count() >= 2
    })
}

/// The cells of a line; `None` where its quotes are flawed or it is too long to be one of ours.
fn cells(text: &str, separator: Separator) -> Option<Vec<&str>> {
    const MOST: usize = 1 << 14;
    if text.len() > MOST_BYTES {
        return None;
    }
    let mut spans = Vec::new();
    if split(text, separator, MOST, &mut spans).is_some() || spans.len() > MOST {
        return None;
    }
    spans.iter().map(|s| text.get(s.0..s.1)).collect()
}

/// True for a heading that is known. `868.3 MHz` is none: a value with its unit.
fn is_name(text: &str) -> bool {
    // `868.3 MHz` and `868,3MHz`: a value.
    let starts_with_number = text.starts_with(|c: char| c.is_ascii_digit() || "+-.".contains(c));
    !starts_with_number && !matches!(classify(text), (Meaning::Unknown, UnitText::None))
}

#[cfg(test)]
mod tests {
    use super::*;

    const HEADING: &str = "theta_deg;phi_deg;eirp_theta_dbm\n0;0;1\n";

    fn entries(above: &str) -> Option<Vec<(String, String)>> {
        let text = format!("{above}{HEADING}");
        let (preamble, line, _) = above_heading(&text)?;
        assert!(
            line.is_some_and(|l| HEADING.starts_with(l.text)),
            "{line:?}"
        );
        let all = preamble.entries.all.iter();
        Some(all.map(|e| (e.key.into(), e.value.into())).collect())
    }

    #[test]
    fn two_cells_are_an_entry() {
        for (above, key, value) in [
            ("Frequency;868,3 MHz\n", "Frequency", "868,3 MHz"),
            ("Frequency (MHz):;868,3;;\n", "Frequency (MHz)", "868,3"),
            (
                "# a comment\n\nPolarisation;theta\n",
                "Polarisation",
                "theta",
            ),
            ("Operator;A. N. Other\n", "Operator", "A. N. Other"),
        ] {
            let expected = vec![(key.to_string(), value.to_string())];
            assert_eq!(entries(above), Some(expected), "{above}");
        }
        let two = entries("Board;A\nFrequency: 868,3 MHz\n").map(|e| e.len());
        assert_eq!(two, Some(2));
    }

    #[test]
    fn what_is_not_sure_is_left_alone() {
        for above in [
            "",
            "Frequency: 868.3 MHz\n",
            "theta_deg;phi_deg\n",
            "frequency_mhz;loss_theta_db\n",
            "0;1\n",
            "Board;\n",
            "Board;A;B\n",
            "A title\nBoard;A\n",
            "\"Board;A\n",
        ] {
            assert_eq!(entries(above), None, "{above}");
        }
        // Two columns of a table, and nothing below that is a wider heading.
        assert!(above_heading("Board;A\nx;y\n1;2\n").is_none());
        assert!(above_heading("Board;A\n").is_none());
        assert!(above_heading(&"Board;A\n".repeat(100)).is_none());
    }
}
