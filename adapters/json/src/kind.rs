//! What a piece of JSON is, by its first byte.

/// What a piece of well-formed JSON is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Kind {
    /// `{…}`
    Object,
    /// `[…]`
    List,
    /// `"…"`
    Text,
    /// A number.
    Number,
    /// `true`, `false`
    Truth,
    /// `null`
    Null,
}

impl Kind {
    /// The kind of a piece.
    pub(crate) fn of(piece: &str) -> Self {
        match piece.as_bytes().first() {
            Some(b'{') => Self::Object,
            Some(b'[') => Self::List,
            Some(b'"') => Self::Text,
            Some(b't' | b'f') => Self::Truth,
            Some(b'n') => Self::Null,
            _ => Self::Number,
        }
    }

    /// True for what has no parts.
    pub(crate) const fn is_scalar(self) -> bool {
        !matches!(self, Self::Object | Self::List)
    }

    /// The kind of the first item of a list's text; `None` for an empty list.
    pub(crate) fn of_first_item(list: &str) -> Option<Self> {
        let inside = list.get(1..)?.trim_start_matches([' ', '\t', '\n', '\r']);
        (!inside.is_empty() && !inside.starts_with(']')).then(|| Self::of(inside))
    }

    /// The words for a message.
    pub(crate) const fn words(self) -> &'static str {
        match self {
            Self::Object => "an object",
            Self::List => "a list",
            Self::Text => "a text in quotes",
            Self::Number => "a number",
            Self::Truth => "true or false",
            Self::Null => "null",
        }
    }
}
