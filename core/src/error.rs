//! The error of core and of every adapter, grouped by who must act.

use crate::place::Place;
use std::error::Error as StdError;

/// Shorthand for results of this crate.
pub type Result<T> = std::result::Result<T, Error>;

/// Who must act on an error.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum Group {
    /// The file is wrong: mend the file.
    Input,
    /// The call is wrong: mend the arguments or options.
    Usage,
    /// The data cannot support what was asked: measure more, or ask for less.
    Domain,
    /// A limit was reached: raise it, or give less.
    Limit,
    /// Well-formed, but not something that this version reads or does.
    Unsupported,
    /// Several meanings are possible: choose one.
    Ambiguous,
    /// The operating system said no.
    Io,
    /// The caller said stop.
    Cancelled,
}

impl Group {
    /// All groups, in the order of their C status families.
    pub const ALL: [Self; 8] = [
        Self::Input,
        Self::Usage,
        Self::Domain,
        Self::Limit,
        Self::Unsupported,
        Self::Ambiguous,
        Self::Io,
        Self::Cancelled,
    ];

    /// The group's word, as tables and messages write it.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Input => "input",
            Self::Usage => "usage",
            Self::Domain => "domain",
            Self::Limit => "limit",
            Self::Unsupported => "unsupported",
            Self::Ambiguous => "ambiguous",
            Self::Io => "io",
            Self::Cancelled => "cancelled",
        }
    }
}

/// An error: a sentence, who must act, where it is, what to do, and the cause.
///
/// `Display` gives the sentence and the place; [`Error::hint`] says what to do; `source()` keeps the cause.
#[derive(Debug, thiserror::Error)]
#[error(transparent)]
pub struct Error(Box<Detail>);

#[derive(Debug, thiserror::Error)]
#[error("{message}{}", place_suffix(place.as_ref()))]
struct Detail {
    group: Group,
    message: String,
    hint: Option<String>,
    place: Option<Place>,
    source: Option<Box<dyn StdError + Send + Sync>>,
}

fn place_suffix(place: Option<&Place>) -> String {
    place.map_or_else(String::new, |p| format!(" at {p}"))
}

impl Error {
    /// An error of the given group.
    #[must_use]
    pub fn new(group: Group, message: impl Into<String>) -> Self {
        Self(Box::new(Detail {
            group,
            message: message.into(),
            hint: None,
            place: None,
            source: None,
        }))
    }

    /// The file is wrong.
    #[must_use]
    pub fn input(message: impl Into<String>) -> Self {
        Self::new(Group::Input, message)
    }

    /// The call is wrong.
    #[must_use]
    pub fn usage(message: impl Into<String>) -> Self {
        Self::new(Group::Usage, message)
    }

    /// The data cannot support it.
    #[must_use]
    pub fn domain(message: impl Into<String>) -> Self {
        Self::new(Group::Domain, message)
    }

    /// A limit was reached.
    #[must_use]
    pub fn limit(message: impl Into<String>) -> Self {
        Self::new(Group::Limit, message)
    }

    /// Not something that this version reads or does.
    #[must_use]
    pub fn unsupported(message: impl Into<String>) -> Self {
        Self::new(Group::Unsupported, message)
    }

    /// Several meanings are possible.
    #[must_use]
    pub fn ambiguous(message: impl Into<String>) -> Self {
        Self::new(Group::Ambiguous, message)
    }

    /// The operating system said no; keeps the cause.
    #[must_use]
    pub fn io(message: impl Into<String>, cause: std::io::Error) -> Self {
        let mut error = Self::new(Group::Io, message);
        error.0.source = Some(Box::new(cause));
        error
    }

    /// The caller said stop.
    #[must_use]
    pub fn cancelled(message: impl Into<String>) -> Self {
        Self::new(Group::Cancelled, message)
    }

    /// With the place where it is.
    #[must_use]
    pub fn at(mut self, place: Place) -> Self {
        self.0.place = Some(place);
        self
    }

    /// With what to do about it.
    #[must_use]
    pub fn hint(mut self, hint: impl Into<String>) -> Self {
        self.0.hint = Some(hint.into());
        self
    }

    /// With its cause.
    #[must_use]
    pub fn caused_by(mut self, cause: impl StdError + Send + Sync + 'static) -> Self {
        self.0.source = Some(Box::new(cause));
        self
    }

    /// Who must act.
    #[must_use]
    pub fn group(&self) -> Group {
        self.0.group
    }

    /// The sentence, without place.
    #[must_use]
    pub fn message(&self) -> &str {
        &self.0.message
    }

    /// What to do, where we know.
    #[must_use]
    pub fn advice(&self) -> Option<&str> {
        self.0.hint.as_deref()
    }

    /// Where it is, where that is known.
    #[must_use]
    pub fn place(&self) -> Option<&Place> {
        self.0.place.as_ref()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn small_shareable_and_plain() {
        fn shareable<T: Send + Sync + 'static>() {}
        shareable::<Error>();
        assert!(size_of::<Error>() <= 16);
        let error = Error::input("not a number")
            .hint("write a number")
            .at(Place::in_source("a.csv").with_line(3).with_column(5));
        assert_eq!(error.to_string(), "not a number at a.csv:3:5");
        assert_eq!(error.advice(), Some("write a number"));
        assert_eq!(error.group(), Group::Input);
    }
}
