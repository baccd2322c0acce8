//! A value of a layout, and where the layout says it.

use spheresum_core::Place;

/// What a layout says, with the place of it.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Said<T> {
    /// The value.
    pub(crate) value: T,
    /// Where it stands in the layout.
    pub(crate) place: Place,
}

impl<T> Said<T> {
    /// A value and its place.
    pub(crate) const fn new(value: T, place: Place) -> Self {
        Self { value, place }
    }

    /// The same place with what is made of the value.
    pub(crate) fn map<U>(self, make: impl FnOnce(T) -> U) -> Said<U> {
        Said::new(make(self.value), self.place)
    }
}

/// A place of a layout for a message: its file and line.
pub(crate) fn line_of(place: &Place) -> String {
    let file = place.source.as_deref().unwrap_or("layout");
    match place.line {
        Some(line) => format!("{file}, line {line}"),
        None => file.to_string(),
    }
}
