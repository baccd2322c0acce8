//! Feed: the text of a file as far as it has to be held, whole or piece by piece.

mod pieces;
#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests;

pub use pieces::Pieces;

use crate::error::{Error, Result};
use crate::intake::source::Source;
use crate::limits::Limits;
use crate::place::Place;
use crate::watch::{Span, Unwatched};
use pieces::First;
use std::fmt;
use std::io::Read;

/// Opens a file from its start.
type Open<'f> = Box<dyn FnMut() -> Result<Box<dyn Read + 'f>> + 'f>;

/// A file that may be longer than what a program needs to hold of it.
///
/// A short file, and one whose text is not UTF-8 (UTF-16, Latin-1), is held whole. Of a longer one, compressed or not, the
/// first lines are held, for adapters to look at; an adapter that can ([`Adapter::read_pieces`](crate::intake::Adapter::read_pieces))
/// reads the others as they come, and for every other adapter, or where it is read a second time, the file is opened again and held whole. What it
/// holds by then is what is read.
///
/// ```
/// use spheresum_core::intake::{Feed, ReadOptions, Registry};
/// use spheresum_core::{Limits, Result};
/// use std::io::Cursor;
///
/// # fn read(registry: &Registry) -> Result<()> {
/// let (limits, options) = (Limits::default(), ReadOptions::default());
/// let text = "frequency_mhz,theta_deg,phi_deg,eirp_theta_dbm\n868.3,0,0,-3\n";
/// let mut feed = Feed::open("a.csv", Some(text.len() as u64), || Ok(Cursor::new(text)), &limits)?;
/// let (adapter, intake) = registry.read_feed(&mut feed, None, &limits, &options)?;
/// # Ok(())
/// # }
/// ```
pub struct Feed<'f> {
    source: Source,
    /// What follows on the source, where that is not the whole.
    pieces: Option<Pieces<'f>>,
    /// Nothing where the text is held whole from the start.
    again: Option<Again<'f>>,
    limits: Limits,
}

/// How to read a file once more.
struct Again<'f> {
    open: Open<'f>,
    length: Option<u64>,
}

impl Again<'_> {
    /// All of the file.
    fn held(&mut self, name: &str, limits: &Limits, span: Span<'_>) -> Result<Source> {
        let mut bytes = Vec::new();
        reserve(name, &mut bytes, self.length.unwrap_or(0), limits)?;
        let mut from = (self.open)()?;
        let at_a_time = Feed::PIECE_BYTES as u64;
        let mut read = 0;
        loop {
            span.at(share(read, self.length), "loading")?;
            let more = read_up_to(name, &mut from, at_a_time, &mut bytes, read, limits)?;
            read += more;
            if more < at_a_time {
                break;
            }
        }
        Source::from_bytes(name, bytes, limits)
    }
}

impl<'f> Feed<'f> {
    /// Bytes of text that are held at a time, unless said otherwise; more where a line needs them.
    pub const PIECE_BYTES: usize = 4 << 20;

    /// Opens a file. `open` gives its bytes from the start, and may be called once more; `length` is how many they are, where that
    /// is known, and is trusted with nothing but the room that is set aside.
    ///
    /// # Errors
    /// What `open` gives; Io; those of [`Source::from_bytes`] on a file that is held whole.
    pub fn open<R: Read + 'f>(
        name: &str,
        length: Option<u64>,
        open: impl FnMut() -> Result<R> + 'f,
        limits: &Limits,
    ) -> Result<Self> {
        Self::open_by(name, length, open, limits, Self::PIECE_BYTES)
    }

    /// Opens a file of which about `piece_bytes` are to be held at a time.
    ///
    /// # Errors
    /// As [`Feed::open`].
    pub fn open_by<R: Read + 'f>(
        name: &str,
        length: Option<u64>,
        mut open: impl FnMut() -> Result<R> + 'f,
        limits: &Limits,
        piece_bytes: usize,
    ) -> Result<Self> {
        let open: Open<'f> = Box::new(move || Ok(Box::new(open()?) as Box<dyn Read + 'f>));
        let again = Again { open, length };
        Self::begin(name, again, limits, piece_bytes)
    }

    fn begin(
        name: &str,
        mut again: Again<'f>,
        limits: &Limits,
        piece_bytes: usize,
    ) -> Result<Self> {
        let from = (again.open)()?;
        let pieces = Pieces::new(name, again.length, from, limits, piece_bytes);
        match pieces.first()? {
            First::Whole(bytes) => Ok(Self::whole(Source::from_bytes(name, bytes, limits)?)),
            First::Again => {
                let span = Span::whole(&Unwatched);
                Ok(Self::whole(again.held(name, limits, span)?))
            }
            First::Piece(first) => {
                let (source, pieces) = *first;
                Ok(Self {
                    source,
                    pieces: Some(pieces),
                    again: Some(again),
                    limits: limits.clone(),
                })
            }
        }
    }

    /// A text that is held already.
    #[must_use]
    pub fn whole(source: Source) -> Self {
        Self {
            source,
            pieces: None,
            again: None,
            limits: Limits::default(),
        }
    }

    /// The text, or the first lines of it.
    #[must_use]
    pub fn source(&self) -> &Source {
        &self.source
    }

    /// True where [`Feed::source`] is the whole text.
    #[must_use]
    pub fn is_whole(&self) -> bool {
        self.again.is_none()
    }

    /// The first lines and what follows on them, once; `None` where the text is held whole, or was handed over before.
    pub(crate) fn split(&mut self) -> Option<(&Source, Pieces<'f>)> {
        let pieces = self.pieces.take()?;
        Some((&self.source, pieces))
    }

    /// Opens the file again and holds all of it; nothing to do where that is so already.
    ///
    /// # Errors
    /// As [`Feed::open`]; Cancelled. Then it stays as it was.
    pub(super) fn hold(&mut self, span: Span<'_>) -> Result<()> {
        if let Some(again) = &mut self.again {
            self.source = again.held(self.source.name(), &self.limits, span)?;
            self.again = None;
        }
        Ok(())
    }
}

impl fmt::Debug for Feed<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Feed")
            .field("name", &self.source.name())
            .field("is_whole", &self.is_whole())
            .finish_non_exhaustive()
    }
}

/// How much of a file was read. Where its length is not known, what can be said is that it grows: half at 64 MiB.
fn share(read: u64, length: Option<u64>) -> f64 {
    const HALF: u64 = 64 << 20;
    let whole = length.unwrap_or_else(|| read.saturating_add(HALF));
    (read as f64 / whole.max(1) as f64).min(1.0)
}

/// Reads `count` bytes more, or as many as there are; gives their number. `before` were read already.
///
/// # Errors
/// Io; Limit: together they are more than `limits.max_bytes`.
fn read_up_to(
    name: &str,
    from: &mut dyn Read,
    count: u64,
    into: &mut Vec<u8>,
    before: u64,
    limits: &Limits,
) -> Result<u64> {
    // One byte more than is allowed is enough to know.
    let room = (limits.max_bytes - before).saturating_add(1);
    let read = from
        .take(count.min(room))
        .read_to_end(into)
        .map_err(|e| Error::io(format!("{name} cannot be read"), e))? as u64;
    if before + read > limits.max_bytes {
        return Err(Error::limit(format!(
            "the file is larger than {} bytes",
            limits.max_bytes
        ))
        .hint("split the file, by frequency for example")
        .at(Place::in_source(name)));
    }
    Ok(read)
}

/// Sets room aside, no more than the limit allows.
fn reserve(name: &str, bytes: &mut Vec<u8>, count: u64, limits: &Limits) -> Result<()> {
    let room = usize::try_from(count.min(limits.max_bytes)).unwrap_or(usize::MAX);
    bytes.try_reserve(room).map_err(|e| {
        Error::limit(format!("{name} does not fit into memory"))
            .hint("split the file, by frequency for example")
            .caused_by(e)
    })
}
