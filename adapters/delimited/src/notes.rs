//! What a read remarks on: headings that stand there again, text below the rows, and fields over several lines.

use spheresum_core::intake::Source;
use spheresum_core::intake::source::Line;
use spheresum_core::intake::text::Clip;
use spheresum_core::{Finding, Place};

/// How often something was met, and where first.
#[derive(Debug, Default)]
struct Count {
    number: u64,
    first: Option<Place>,
}

impl Count {
    fn add(&mut self, place: impl FnOnce() -> Place) {
        self.number += 1;
        self.first.get_or_insert_with(place);
    }
}

/// The remarks of a read.
#[derive(Debug, Default)]
pub(crate) struct Notes {
    headings: Count,
    long: Count,
    footer: Option<Finding>,
}

impl Notes {
    /// The heading line stands there again.
    pub(crate) fn heading(&mut self, source: &Source, line: Line<'_>) {
        self.headings.add(|| source.place(line, 0, line.text.len()));
    }

    /// A field in quotes runs over several lines.
    pub(crate) fn long(&mut self, place: impl FnOnce() -> Place) {
        self.long.add(place);
    }

    /// Lines of text below the rows.
    pub(crate) fn footer(&mut self, source: &Source, texts: &[Line<'_>]) {
        let Some(first) = texts.first() else { return };
        let count = match texts.len() {
            1 => "a line of text below the rows is".to_string(),
            more => format!("{more} lines of text below the rows are"),
        };
        let shown = Clip(first.text.trim());
        self.footer = Some(
            Finding::note("footer", format!("{count} not used: {shown:?}"))
                .at(source.place(*first, 0, first.text.len()))
                .advice("put a # in front of such lines to say that they are no rows"),
        );
    }

    /// The findings.
    pub(crate) fn findings(self) -> impl Iterator<Item = Finding> {
        let at = |finding: Finding, place: Option<Place>| match place {
            Some(place) => finding.at(place),
            None => finding,
        };
        let times = |n: u64| match n {
            1 => "once".to_string(),
            n => format!("{n} times"),
        };
        let headings = (self.headings.number > 0).then(|| {
            let finding = Finding::note(
                "heading-repeated",
                format!(
                    "the heading line stands among the rows again, {}; all rows are taken together",
                    times(self.headings.number)
                ),
            )
            .advice("where these are separate measurements, give them as separate files");
            at(finding, self.headings.first)
        });
        let long = (self.long.number > 0).then(|| {
            let finding = Finding::note(
                "quoted-lines",
                format!(
                    "fields in quotes run over several lines, {}",
                    times(self.long.number)
                ),
            )
            .advice("where a quote is there by mistake, rows behind it are hidden: take it away");
            at(finding, self.long.first)
        });
        headings.into_iter().chain(long).chain(self.footer)
    }
}
