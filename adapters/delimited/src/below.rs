//! Lines directly below the heading that belong to it: a row of units, and the rule of a table drawn with bars.

use spheresum_core::intake::Source;
use spheresum_core::intake::source::Line;
use spheresum_core::intake::text::{
    Clip, Cursor, Heading, Meaning, Separator, Span, Table, Unit, UnitText, classify, field,
    line_at, split,
};
use spheresum_core::{Error, Result};

/// The lines below the heading.
#[derive(Clone, Debug, Default)]
pub(crate) struct Below<'a> {
    /// They stand again below a repeated heading.
    pub(crate) lines: Vec<Line<'a>>,
    /// The row of units.
    units: Option<(Line<'a>, Vec<Span>)>,
}

impl<'a> Below<'a> {
    /// The lines behind the cursor that belong to a heading line, and the cursor behind them.
    pub(crate) fn of(
        text: &'a str,
        cursor: Cursor,
        separator: Separator,
        headings: &[Heading<'_>],
    ) -> (Self, Cursor) {
        let mut below = Self::default();
        let mut cursor = cursor;
        let mut peek = cursor;
        while let Some((line, next)) = line_at(text, peek) {
            peek = next;
            if line.text.trim().is_empty() {
                continue;
            }
            let spans = fields(line.text, separator, headings.len());
            let texts = || spans.iter().map(|s| &line.text[s.0..s.1]);
            let may_be_rule = separator == Separator::Pipe && below.lines.is_empty();
            if may_be_rule && texts().all(is_rule) && texts().any(|t| !t.is_empty()) {
                below.lines.push(line);
            } else if below.units.is_none()
                && spans.len() == headings.len()
                && are_units(texts().zip(headings.iter().map(|h| h.meaning)))
            {
                below.lines.push(line);
                below.units = Some((line, spans));
            } else {
                break;
            }
            cursor = next;
        }
        (below, cursor)
    }

    /// The cursor behind the same lines, where they stand again.
    pub(crate) fn behind_again(&self, text: &str, cursor: Cursor) -> Cursor {
        let mut cursor = cursor;
        for known in &self.lines {
            let mut peek = cursor;
            while let Some((line, next)) = line_at(text, peek) {
                peek = next;
                if line.text.trim() == known.text.trim() {
                    cursor = next;
                    break;
                }
                if !line.text.trim().is_empty() {
                    return cursor;
                }
            }
        }
        cursor
    }

    /// Gives the units to headings without one.
    pub(crate) fn complete(&self, headings: &mut [Heading<'_>]) {
        for (heading, (unit, _)) in headings.iter_mut().zip(self.units()) {
            let Some(unit) = unit else { continue };
            if heading.unit == UnitText::None {
                let with_unit = format!("{} [{}]", heading.text(), unit.symbol());
                (heading.meaning, heading.unit) = classify(&with_unit);
            }
        }
    }

    /// Refuses units that are not those of the headings.
    ///
    /// # Errors
    /// Input, at the unit.
    pub(crate) fn refuse_contradictions(&self, table: &Table<'_>, source: &Source) -> Result<()> {
        let Some((line, _)) = self.units else {
            return Ok(());
        };
        for (heading, (unit, span)) in table.headings.iter().zip(self.units()) {
            let (Some(unit), true) = (unit, heading.unit != UnitText::None) else {
                continue;
            };
            if heading.unit.known() != Some(unit) {
                return Err(Error::input(format!(
                    "the row of units says {}, and the heading {:?} says another",
                    unit.symbol(),
                    Clip(heading.text())
                ))
                .hint("keep one of the two units")
                .at(source
                    .place(line, span.0, span.1)
                    .with_field(heading.text())));
            }
        }
        Ok(())
    }

    fn units(&self) -> impl Iterator<Item = (Option<Unit>, Span)> + '_ {
        self.units
            .iter()
            .flat_map(|(line, spans)| spans.iter().map(|s| (unit(&line.text[s.0..s.1]), *s)))
    }
}

/// The error of a line below the heading that holds units and something that is none; `None` where it is something else.
pub(crate) fn almost_units(
    source: &Source,
    row: Line<'_>,
    separator: Separator,
    headings: &[Heading<'_>],
) -> Option<Error> {
    let spans = fields(row.text, separator, headings.len());
    let filled = || {
        spans
            .iter()
            .map(|s| (*s, &row.text[s.0..s.1]))
            .filter(|(_, t)| !field::is_missing(t))
    };
    let is_number = |t: &str| field::number_and_unit(t).is_some();
    let units = filled().filter(|(_, t)| unit(t).is_some()).count();
    if units < 2 || filled().any(|(_, t)| is_number(t)) {
        return None;
    }
    let means = |at: usize| {
        headings
            .get(at)
            .is_some_and(|h| h.meaning != Meaning::Unknown)
    };
    let (span, text) = spans
        .iter()
        .enumerate()
        .map(|(at, s)| (at, *s, &row.text[s.0..s.1]))
        .find(|(at, _, t)| means(*at) && !field::is_missing(t) && unit(t).is_none())
        .map(|(_, span, text)| (span, text))?;
    let place = source.place(row, span.0, span.1);
    Some(
        Error::input(format!(
            "this looks like a row of units, and {:?} is no unit",
            Clip(text)
        ))
        .hint("correct it, or leave the field empty: a row of units holds nothing else")
        .at(place),
    )
}

fn fields(line: &str, separator: Separator, headings: usize) -> Vec<Span> {
    if separator == Separator::Blank {
        // Under blanks a unit in brackets would stay with the text in front of it.
        let mut behind = 0;
        return line
            .split([' ', '\t'])
            .map(|part| {
                let start = behind;
                behind += part.len() + 1;
                (start, start + part.len())
            })
            .filter(|span| span.0 < span.1)
            .take(headings + 1)
            .collect();
    }
    let mut spans = Vec::new();
    split(line, separator, headings, &mut spans);
    spans
}

/// The unit a field of a row of units holds, in brackets or without.
fn unit(text: &str) -> Option<Unit> {
    let bare = [('[', ']'), ('(', ')')]
        .iter()
        .find_map(|(open, close)| text.strip_prefix(*open)?.strip_suffix(*close));
    Unit::parse_exact(bare.unwrap_or(text))
}

/// True where every filled field is a unit, but for those under headings that mean nothing: they may be in °C. `1` alone is a
/// number.
fn are_units<'t>(texts: impl Iterator<Item = (&'t str, Meaning)>) -> bool {
    let mut found = false;
    for (text, meaning) in texts.filter(|(t, _)| !field::is_missing(t)) {
        match unit(text) {
            Some(Unit::One) => {}
            Some(_) => found = true,
            None if meaning == Meaning::Unknown && field::number_and_unit(text).is_none() => {}
            None => return false,
        }
    }
    found
}

/// True for a field of the rule under a heading drawn with bars: `---`, `:--:`, or nothing.
fn is_rule(text: &str) -> bool {
    let dashes = text.trim_matches(':');
    text.is_empty() || (dashes.len() >= 2 && dashes.bytes().all(|b| b == b'-'))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rows_of_units() {
        let is = |line: &str| are_units(line.split(';').map(|t| (t, Meaning::Theta)));
        assert!(
            is("deg;deg;dBm;dBm") && is(";[°];;(dBm)") && is("rad;rad;1;mW") && is("MHz;-;-;dBm")
        );
        assert!(
            !is("1;1;1;1")
                && !is("deg;deg;dBuV")
                && !is(";;")
                && !is("0;deg;dBm")
                && !is("deg;deg;MW")
        );
        assert!(
            is_rule("---") && is_rule(":--:") && is_rule("") && !is_rule("-") && !is_rule("-1-")
        );
    }
}
