//! The text of a file as JSON: its pieces with their places, under the limits.

use crate::kind::Kind;
use crate::locate::Locator;
use crate::pieces::{self, Stop};
use crate::syntax;
use spheresum_core::intake::Source;
use spheresum_core::intake::text::Spot;
use spheresum_core::{Error, Limits, Place, Result};
use std::borrow::Cow;

/// A source read as JSON.
#[derive(Clone, Debug)]
pub(crate) struct Json<'a> {
    /// The source.
    pub(crate) source: &'a Source,
    /// The limits.
    pub(crate) limits: &'a Limits,
    /// The whole text, without blanks in front.
    root: &'a str,
    /// Where lines are looked for first.
    start: Locator<'a>,
}

/// A key of an object.
#[derive(Clone, Debug)]
pub(crate) struct Name<'a> {
    /// Its text.
    pub(crate) text: Cow<'a, str>,
    /// As it is written, in its quotes.
    pub(crate) piece: &'a str,
}

impl<'a> Json<'a> {
    /// A source as JSON.
    pub(crate) fn new(source: &'a Source, limits: &'a Limits) -> Self {
        let blanks = [' ', '\t', '\n', '\r'];
        Self {
            source,
            limits,
            root: source.text().trim_start_matches(blanks),
            start: Locator::new(source),
        }
    }

    /// The whole text.
    pub(crate) const fn root(&self) -> &'a str {
        self.root
    }

    /// The same, for pieces that stand from where a finder of lines is on: so that each of many parts of a file is read in a
    /// time of its own size.
    pub(crate) fn from(&self, start: Locator<'a>) -> Self {
        Self {
            start,
            ..self.clone()
        }
    }

    /// A finder of lines.
    pub(crate) fn locator(&self) -> Locator<'a> {
        self.start.clone()
    }

    /// Where a piece stands.
    pub(crate) fn spot(&self, piece: &'a str) -> Spot<'a> {
        self.locator().spot(piece)
    }

    /// Place of a piece.
    pub(crate) fn place(&self, piece: &'a str) -> Place {
        self.spot(piece).place(self.source)
    }

    /// Hands over the members of an object one by one.
    ///
    /// # Errors
    /// Input: no object, or not JSON. Limit: too many members, or a key that is too long. And what `each` gives.
    pub(crate) fn members(
        &self,
        object: &'a str,
        what: &str,
        mut each: impl FnMut(Name<'a>, &'a str) -> Result<()>,
    ) -> Result<()> {
        self.expect(object, Kind::Object, what)?;
        let most = self.limits.max_fields;
        let mut count = 0_usize;
        let walked = pieces::members(object, self.is_root(object), |key, value| {
            count += 1;
            if count > most {
                return Err(Error::limit(format!("more than {most} keys in one object"))
                    .hint("raise the limit on fields, or check that this is a file of readings")
                    .at(self.place(key)));
            }
            let text = self.unquote(key)?;
            each(Name { text, piece: key }, value)
        });
        walked.map_err(|stop| self.stopped(stop, object))
    }

    /// The members of an object, where there are not two of a name.
    ///
    /// # Errors
    /// As [`Json::members`]; Input: a key stands there twice.
    pub(crate) fn object(&self, object: &'a str, what: &str) -> Result<Vec<(Name<'a>, &'a str)>> {
        let mut all: Vec<(Name<'a>, &'a str)> = Vec::new();
        let mut seen = std::collections::HashSet::new();
        self.members(object, what, |name, value| {
            if !seen.insert(name.text.to_string()) {
                return Err(self.twice(&name));
            }
            all.push((name, value));
            Ok(())
        })?;
        Ok(all)
    }

    /// The error of a key that stands twice in one object.
    pub(crate) fn twice(&self, name: &Name<'a>) -> Error {
        Error::input(format!(
            "the key {:?} stands twice in one object",
            spheresum_core::intake::text::Clip(&name.text)
        ))
        .hint("keep one of the two")
        .at(self.place_of(name))
    }

    /// Place of a key.
    pub(crate) fn place_of(&self, name: &Name<'a>) -> Place {
        self.place(name.piece).with_field(&name.text)
    }

    /// The error of a second key that says what a first one has said.
    pub(crate) fn says_twice(&self, what: &str, first: &Name<'a>, second: &Name<'a>) -> Error {
        Error::input(format!(
            "{} gives {what}, and {} has given it",
            second.text, first.text
        ))
        .hint("keep one of the two")
        .at(self.place_of(second))
    }

    /// Hands over the items of a list one by one.
    ///
    /// # Errors
    /// Input: no list, or not JSON. And what `each` gives.
    pub(crate) fn items(
        &self,
        list: &'a str,
        what: &str,
        each: impl FnMut(&'a str) -> Result<()>,
    ) -> Result<()> {
        self.expect(list, Kind::List, what)?;
        pieces::items(list, self.is_root(list), each).map_err(|stop| self.stopped(stop, list))
    }

    /// Refuses a piece of another kind. `what` says what the piece should be.
    ///
    /// # Errors
    /// Input.
    pub(crate) fn expect(&self, piece: &'a str, kind: Kind, what: &str) -> Result<()> {
        let is = Kind::of(piece);
        if is == kind {
            return Ok(());
        }
        Err(
            Error::input(format!("{} stands where {what} should be", is.words()))
                .hint(format!("write {what}"))
                .at(self.place(piece)),
        )
    }

    /// A text in quotes, without quotes and escapes.
    ///
    /// # Errors
    /// Limit: too long. Input: half of a surrogate pair.
    pub(crate) fn unquote(&self, piece: &'a str) -> Result<Cow<'a, str>> {
        self.refuse_long(piece)?;
        let inside = piece
            .strip_prefix('"')
            .and_then(|p| p.strip_suffix('"'))
            .unwrap_or(piece);
        if !inside.contains('\\') {
            return Ok(Cow::Borrowed(inside));
        }
        pieces::unescape(piece).map(Cow::Owned).map_err(|e| {
            Error::input("the text has an escape that stands for no character")
                .hint(
                    "a character beyond U+FFFF takes two \\u escapes, of which one is missing here",
                )
                .at(self.place(piece))
                .caused_by(e)
        })
    }

    /// The text of a piece without parts: nothing for null, the digits of a number as they are written, what stands between the
    /// quotes of a text, without blanks around it.
    ///
    /// # Errors
    /// Input: a list or an object. Limit: too long.
    pub(crate) fn scalar(&self, piece: &'a str) -> Result<Cow<'a, str>> {
        match Kind::of(piece) {
            Kind::Null => Ok(Cow::Borrowed("")),
            Kind::Number | Kind::Truth => {
                self.refuse_long(piece)?;
                Ok(Cow::Borrowed(piece))
            }
            Kind::Text => Ok(match self.unquote(piece)? {
                Cow::Borrowed(text) => Cow::Borrowed(text.trim()),
                Cow::Owned(text) => Cow::Owned(text.trim().to_string()),
            }),
            kind => Err(
                Error::input(format!("{} stands where one value should be", kind.words()))
                    .hint("a value is a number, a text in quotes, or null where it is missing")
                    .at(self.place(piece)),
            ),
        }
    }

    fn refuse_long(&self, piece: &'a str) -> Result<()> {
        let most = self.limits.max_line_bytes;
        if piece.len() <= most {
            return Ok(());
        }
        Err(Error::limit(format!(
            "a text or number of {} bytes, more than the limit of {most}",
            piece.len()
        ))
        .hint("raise the limit on a line's bytes, or check that this is a file of readings")
        .at(self.place(piece)))
    }

    fn is_root(&self, piece: &str) -> bool {
        std::ptr::eq(piece.as_ptr(), self.root.as_ptr())
    }

    fn stopped(&self, stop: Stop, piece: &'a str) -> Error {
        match stop {
            Stop::Own(own) => own,
            Stop::Syntax(error) => syntax::explain(self.source, piece, &error),
        }
    }
}
