//! From a piece of a text to its line.

use spheresum_core::intake::Source;
use spheresum_core::intake::source::{Line, Lines};
use spheresum_core::intake::text::Spot;

/// Byte offset of a piece in the text that it is a slice of: the difference of their addresses.
pub(crate) fn offset(text: &str, piece: &str) -> usize {
    let between = (piece.as_ptr() as usize).checked_sub(text.as_ptr() as usize);
    between.map_or(0, |at| at.min(text.len()))
}

/// Finds lines. Quick where offsets rise; starts anew where one falls.
#[derive(Clone, Debug)]
pub(crate) struct Locator<'a> {
    source: &'a Source,
    lines: Lines<'a>,
    line: Line<'a>,
}

impl<'a> Locator<'a> {
    /// At the start of a source.
    pub(crate) fn new(source: &'a Source) -> Self {
        let mut lines = source.lines();
        let line = lines.next().unwrap_or(Line {
            number: 1,
            at: 0,
            text: "",
        });
        Self {
            source,
            lines,
            line,
        }
    }

    /// The part of a line from an offset on, `length` bytes of it at most.
    pub(crate) fn at(&mut self, offset: usize, length: usize) -> Spot<'a> {
        if offset < self.line.at {
            *self = Self::new(self.source);
        }
        while offset > self.line.at + self.line.text.len() {
            let Some(line) = self.lines.next() else { break };
            self.line = line;
        }
        let start = offset
            .saturating_sub(self.line.at)
            .min(self.line.text.len());
        let end = start.saturating_add(length).min(self.line.text.len());
        Spot::new(self.line, start, end)
    }

    /// Where a piece of the source's text stands: its first line. Of a text in quotes, what stands between the quotes.
    pub(crate) fn spot(&mut self, piece: &'a str) -> Spot<'a> {
        let at = offset(self.source.text(), piece);
        if piece.starts_with('"') {
            self.at(at + 1, piece.len().saturating_sub(2))
        } else {
            self.at(at, piece.len())
        }
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use spheresum_core::Limits;

    #[test]
    fn lines_of_every_kind_forwards_and_backwards() {
        let text = "[\r\n\"θ\",\r 12,\n\n  {\"a\":\n1}]";
        let source = Source::from_text("t", text, &Limits::small()).unwrap();
        let text = source.text();
        let piece = |from: &str, len: usize| {
            let at = text.find(from).unwrap();
            &text[at..at + len]
        };
        let mut locator = Locator::new(&source);
        let mut place = |piece: &'static str, text: &str| {
            let at = source.text().find(piece).unwrap();
            let spot = locator.spot(&source.text()[at..at + text.len()]);
            let place = spot.place(&source);
            (
                place.line.unwrap(),
                place.column.unwrap(),
                spot.end - spot.start,
            )
        };
        assert_eq!(place("\"θ\"", "\"θ\""), (2, 2, 2));
        assert_eq!(place("12", "12"), (3, 2, 2));
        assert_eq!(place("{", "{\"a\":\n1}"), (5, 3, 5));
        assert_eq!(place("1}", "1"), (6, 1, 1));
        assert_eq!(place("[", "["), (1, 1, 1));
        assert_eq!(offset(text, piece("12", 2)), text.find("12").unwrap());
    }
}
