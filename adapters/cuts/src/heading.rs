//! The line that names the columns of a cut.

use spheresum_core::intake::source::Line;
use spheresum_core::intake::text::title::{Said, statements};
use spheresum_core::intake::text::{
    Choices, Field, Guess, Heading, Meaning, Separator, Span, field, number, split,
};

/// Which of the two angles a name is, or stands for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(crate) enum Angle {
    /// θ, or an elevation.
    Theta,
    /// φ, or an azimuth.
    Phi,
}

impl Angle {
    /// The angle of a meaning, if it is one.
    pub(crate) const fn of(meaning: Meaning) -> Option<Self> {
        match meaning {
            Meaning::Theta | Meaning::Elevation | Meaning::Guess(Guess::Elevation) => {
                Some(Self::Theta)
            }
            Meaning::Phi | Meaning::Clockwise | Meaning::Guess(Guess::Azimuth) => Some(Self::Phi),
            _ => None,
        }
    }

    /// The other one.
    pub(crate) const fn other(self) -> Self {
        match self {
            Self::Theta => Self::Phi,
            Self::Phi => Self::Theta,
        }
    }

    /// Its letter.
    pub(crate) const fn letter(self) -> &'static str {
        match self {
            Self::Theta => "θ",
            Self::Phi => "φ",
        }
    }
}

/// A line of headings.
#[derive(Clone, Debug)]
pub(crate) struct Names<'a> {
    /// The line.
    pub(crate) line: Line<'a>,
    /// Its headings.
    pub(crate) headings: Vec<Heading<'a>>,
}

impl Names<'_> {
    /// The angles among the headings, with their columns.
    pub(crate) fn angles(&self) -> impl Iterator<Item = (usize, Angle)> {
        let all = self.headings.iter().enumerate();
        all.filter_map(|(at, h)| Angle::of(h.meaning).map(|angle| (at, angle)))
    }

    /// Column of the running angle: the first angle.
    pub(crate) fn running(&self) -> Option<(usize, Angle)> {
        self.angles().next()
    }

    /// True where a line split into `spans` is a row below these headings: a number in the column of the running angle, and
    /// cells under the values.
    pub(crate) fn fit(&self, line: Line<'_>, spans: &[Span]) -> bool {
        let text = |span: &Span| line.text.get(span.0..span.1).unwrap_or_default();
        let is_value = |h: &Heading<'_>| {
            !matches!(
                h.meaning,
                Meaning::Unknown | Meaning::Ignore | Meaning::Polarisation
            )
        };
        let running = self.running().and_then(|(at, _)| spans.get(at));
        spans.len() == self.headings.len()
            && running.is_some_and(|s| is_number(text(s)))
            && self
                .headings
                .iter()
                .zip(spans)
                .all(|(h, s)| !is_value(h) || is_cell(text(s)))
    }
}

/// The headings of a line under a separator; `None` for a line that does not name an angle and something else, or says a
/// `key: value`.
pub(crate) fn names<'a>(
    line: Line<'a>,
    separator: Separator,
    choices: &Choices,
    most: usize,
) -> Option<Names<'a>> {
    if field::comment(line.text).is_some() || !line.text.contains(separator_in(separator)) {
        return None;
    }
    let mut spans = Vec::new();
    split(line.text, separator, most, &mut spans);
    let is_other = |text: &str| text == "=" || is_number(text);
    let has_other = spans.iter().any(|s| is_other(&line.text[s.0..s.1]));
    if spans.len() < 2 || spans.len() > most || has_other {
        return None;
    }
    let heading = |s: &Span| {
        let mut heading = Heading::of(Field::of(line, s.0, s.1));
        let text = heading.text().to_lowercase();
        let chosen = choices
            .columns
            .iter()
            .find(|c| c.heading.to_lowercase() == text);
        if let Some(chosen) = chosen {
            heading.meaning = chosen.meaning;
        }
        heading
    };
    let headings: Vec<Heading<'_>> = spans.iter().map(heading).collect();
    let names = Names { line, headings };
    names.running()?;
    // `Polarisation;theta;` has no column for a value.
    let others = names.headings.iter().filter(|h| {
        let of_row = matches!(h.meaning, Meaning::Frequency | Meaning::Polarisation);
        !of_row && Angle::of(h.meaning).is_none() && !h.text().is_empty()
    });
    if others.count() == 0 {
        return None;
    }
    let keyed = statements(line).iter().any(|s| {
        matches!(
            s.said,
            Said::Entry(_) | Said::Angle(_) | Said::Frequency(_) | Said::Count(_)
        )
    });
    (!keyed).then_some(names)
}

fn separator_in(separator: Separator) -> impl Fn(char) -> bool {
    move |c| c == char::from(separator.byte()) || separator == Separator::Blank && c == '\t'
}

/// True for a text that is a number under either decimal sign.
pub(crate) fn is_number(text: &str) -> bool {
    [b'.', b',']
        .iter()
        .any(|d| number::whole(text, *d).is_some())
}

/// True for a text that may stand for a value.
pub(crate) fn is_cell(text: &str) -> bool {
    let body = field::mark(text).1;
    field::is_missing(text) || field::infinity(body).is_some() || is_number(body)
}
