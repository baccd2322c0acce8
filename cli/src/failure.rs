//! Errors for people: a sentence, the place with a caret, and what to do, on standard error.

use crate::status::Status;
use crate::text::with_typed;
use annotate_snippets::{AnnotationKind, Element, Group, Level, Origin, Renderer, Snippet};
use spheresum_core::{Error, Place};
use std::error::Error as _;
use std::io::Write;

/// An error, with the run that it happened in.
#[derive(Debug)]
pub struct Failure {
    /// The error.
    pub error: Error,
    /// Name of the run.
    pub run: Option<String>,
    /// A layout to start from, for a file that no adapter recognises.
    pub proposal: Option<String>,
}

impl From<Error> for Failure {
    fn from(error: Error) -> Self {
        Self {
            error,
            run: None,
            proposal: None,
        }
    }
}

impl Failure {
    /// In a run.
    #[must_use]
    pub fn in_run(error: Error, run: &str) -> Self {
        Self {
            error,
            run: Some(run.to_string()),
            proposal: None,
        }
    }

    /// The exit status it leads to.
    #[must_use]
    pub fn status(&self) -> Status {
        Status::of(self.error.group())
    }

    /// The text, without or with colour.
    fn render(&self, renderer: &Renderer) -> String {
        let mut primary = Group::with_title(Level::ERROR.primary_title(self.error.message()));
        if let Some(place) = self.error.place() {
            primary = primary.element(located(place));
            if let (None, Some(name)) = (&place.excerpt, &place.field) {
                primary = primary.element(Level::NOTE.message(format!("in the {}", field(name))));
            }
        } else if let Some(run) = &self.run {
            primary = primary.element(Level::NOTE.message(format!("in the run {run}")));
        }
        let mut cause = self.error.source();
        while let Some(because) = cause {
            primary = primary.element(Level::NOTE.message(format!("because: {because}")));
            cause = because.source();
        }
        if let Some(advice) = self.error.advice() {
            primary = primary.element(Element::from(Level::HELP.message(with_typed(advice))));
        }
        renderer.render(&[primary])
    }
}

/// A field by its name; one without a name is called by its number already.
fn field(name: &str) -> String {
    if name.starts_with("field ") {
        name.to_string()
    } else {
        format!("field {name}")
    }
}

/// The place with its line and a caret, as far as they are known.
fn located(place: &Place) -> Element<'_> {
    let path = place.source.as_deref().unwrap_or("input");
    if let (Some(excerpt), Some(line)) = (&place.excerpt, place.line) {
        // An excerpt from the middle of a line is moved to where it stands, so that the column is the line's own.
        let before = excerpt
            .text
            .get(..excerpt.start)
            .unwrap_or_default()
            .chars()
            .count();
        let moved = place
            .column
            .map_or(0, |c| number(c).saturating_sub(1))
            .saturating_sub(before);
        let label = place.field.as_deref().map(field);
        return Snippet::source(format!("{}{}", " ".repeat(moved), excerpt.text))
            .path(path)
            .line_start(number(line))
            .annotation(
                AnnotationKind::Primary
                    .span(excerpt.start + moved..excerpt.end + moved)
                    .label(label),
            )
            .into();
    }
    let mut origin = Origin::path(path);
    if let Some(line) = place.line {
        origin = origin.line(number(line));
        if let Some(column) = place.column {
            origin = origin.char_column(number(column));
        }
    }
    origin.into()
}

fn number(n: u64) -> usize {
    usize::try_from(n).unwrap_or(usize::MAX)
}

/// Prints errors to standard error, equal ones once, and gives the highest exit status.
pub fn print_all(failures: &[Failure]) -> Status {
    let mut status = Status::DONE;
    let mut said: Vec<String> = Vec::new();
    let mut stderr = anstream::stderr().lock();
    for failure in failures {
        status = status.max(failure.status());
        let text = failure.render(&Renderer::styled());
        if !said.contains(&text) {
            let _ = writeln!(stderr, "{text}");
            said.push(text);
        }
    }
    status
}

/// Says that the program has a fault, and what to report.
pub fn print_panic(info: &std::panic::PanicHookInfo<'_>) {
    let what = info.payload_as_str().unwrap_or("no message");
    let place = info
        .location()
        .map_or_else(String::new, |l| format!(" ({}:{})", l.file(), l.line()));
    let _ = writeln!(
        std::io::stderr(),
        "spheresum {} has a fault: {what}{place}\nPlease report this message with the command line and, if you can share it, the file.",
        env!("CARGO_PKG_VERSION")
    );
}
