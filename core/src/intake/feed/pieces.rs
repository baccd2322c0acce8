//! A long text in pieces that end behind a line.

use crate::error::{Error, Group, Result};
use crate::intake::feed::{read_up_to, reserve, share};
use crate::intake::source::{Source, gzip};
use crate::limits::Limits;
use crate::watch::Span;
use std::fmt;
use std::io::Read;

/// What follows on the first lines of a long text.
///
/// A piece is a [`Source`] whose lines and places are those of the file. It ends behind a line feed, and there is more behind it,
/// until [`Pieces::is_done`].
pub struct Pieces<'f> {
    name: String,
    from: Box<dyn Read + 'f>,
    length: Option<u64>,
    limits: Limits,
    /// Bytes to read at a time.
    size: usize,
    /// Bytes read so far.
    read: u64,
    /// Bytes read that belong to no piece yet.
    carry: Vec<u8>,
    is_done: bool,
    /// What is read is decompressed on the way.
    is_unpacked: bool,
    /// Who is told of each piece.
    watch: Option<Span<'f>>,
    /// How much that was told last.
    told: f64,
    is_stopped: bool,
}

/// What a file begins with.
pub(super) enum First<'f> {
    /// All its bytes: they are few, or are not text that can be cut.
    Whole(Vec<u8>),
    /// The first lines, and what follows.
    Piece(Box<(Source, Pieces<'f>)>),
    /// A compressed file that has to be held whole.
    Again,
}

impl<'f> Pieces<'f> {
    pub(super) fn new(
        name: &str,
        length: Option<u64>,
        from: Box<dyn Read + 'f>,
        limits: &Limits,
        size: usize,
    ) -> Self {
        Self {
            name: name.to_string(),
            from,
            length,
            limits: limits.clone(),
            size: size.max(2),
            read: 0,
            carry: Vec::new(),
            is_done: false,
            is_unpacked: false,
            watch: None,
            told: 0.0,
            is_stopped: false,
        }
    }

    /// From now on each piece is told as a part of a watched call.
    pub(crate) fn watched_within(&mut self, span: Span<'f>) {
        self.watch = Some(span);
    }

    /// How much of the file was told, from 0 to 1.
    pub(crate) fn told(&self) -> f64 {
        self.told
    }

    /// # Errors
    /// Cancelled: the watch said stop.
    pub(crate) fn go_on(&self) -> Result<()> {
        if self.is_stopped {
            return Err(Error::cancelled("stopped as asked: reading"));
        }
        Ok(())
    }

    /// Tells the watch of the next piece.
    fn tell(&mut self) -> Result<()> {
        self.go_on()?;
        if let Some(span) = self.watch {
            self.told = share(
                self.read.saturating_sub(self.carry.len() as u64),
                self.length,
            );
            let told = span.at(self.told, "reading");
            self.is_stopped = told.is_err();
            told?;
        }
        Ok(())
    }

    /// The first piece.
    ///
    /// # Errors
    /// Io; Limit: more than `max_bytes`.
    pub(super) fn first(mut self) -> Result<First<'f>> {
        let mut bytes = Vec::new();
        let expected = self
            .left()
            .map_or(self.size as u64, |n| n.min(self.size as u64));
        reserve(&self.name, &mut bytes, expected, &self.limits)?;
        let keep = match self.fill(&mut bytes, self.size) {
            // What is wrong with it is told of the whole.
            Err(error) if self.is_unpacked && error.group() == Group::Io => {
                return Ok(First::Again);
            }
            keep => keep?,
        };
        if gzip::is_gzip(&bytes) && !self.is_unpacked {
            return self.unpacked(bytes);
        }
        let first = bytes.get(..keep).unwrap_or_default();
        if !self.is_done
            && let Some(source) = Source::first_piece(&self.name, first, self.is_unpacked)
        {
            self.carry = bytes.split_off(keep);
            return Ok(First::Piece(Box::new((source, self))));
        }
        if self.is_unpacked {
            return Ok(First::Again);
        }
        let left = self.left().unwrap_or(0);
        reserve(&self.name, &mut bytes, left, &self.limits)?;
        self.more(&mut bytes, u64::MAX)?;
        Ok(First::Whole(bytes))
    }

    /// The first piece of what a compressed file holds, whose first bytes were read.
    #[cfg(feature = "gzip")]
    fn unpacked(self, read: Vec<u8>) -> Result<First<'f>> {
        let packed = std::io::Cursor::new(read).chain(self.from);
        let from = flate2::read::MultiGzDecoder::new(packed);
        let mut pieces = Pieces::new(&self.name, None, Box::new(from), &self.limits, self.size);
        pieces.is_unpacked = true;
        pieces.first()
    }

    #[cfg(not(feature = "gzip"))]
    fn unpacked(self, _: Vec<u8>) -> Result<First<'f>> {
        Ok(First::Again)
    }

    /// True where nothing follows on the piece that was given last.
    #[must_use]
    pub fn is_done(&self) -> bool {
        self.is_done
    }

    /// Bytes that follow on the piece that was given last, as far as that is known.
    #[must_use]
    pub fn left(&self) -> Option<u64> {
        let given = self.read.saturating_sub(self.carry.len() as u64);
        self.length.map(|length| length.saturating_sub(given))
    }

    /// The next piece: the lines that the last one left `unread` at its end, the first of which has this `number`, and those that
    /// follow. `None` where what follows is not UTF-8 text, or is damaged: then the file has to be read whole.
    ///
    /// # Errors
    /// Io; Limit: more than `max_bytes`, or than fits into memory; Cancelled: who watches the read said stop. Usage: nothing follows ([`Pieces::is_done`]), or more is left unread than
    /// was given.
    pub fn next(&mut self, unread: &str, number: u64) -> Result<Option<Source>> {
        if self.is_done {
            return Err(Error::usage("nothing follows on the last piece"));
        }
        self.tell()?;
        let pending = (self.carry.len() + unread.len()) as u64;
        let Some(start) = self.read.checked_sub(pending) else {
            return Err(Error::usage("more is left unread than was given"));
        };
        let fresh = self.size.max(unread.len());
        let mut bytes = Vec::new();
        let room = (unread.len() + self.carry.len() + fresh) as u64;
        reserve(&self.name, &mut bytes, room, &self.limits)?;
        bytes.extend_from_slice(unread.as_bytes());
        bytes.append(&mut self.carry);
        let keep = match self.fill(&mut bytes, fresh) {
            Err(error) if self.is_unpacked && error.group() == Group::Io => return Ok(None),
            keep => keep?,
        };
        self.carry = bytes.split_off(keep);
        let place = (start, number);
        Ok(Source::piece(&self.name, bytes, place, self.is_unpacked))
    }

    /// Reads more behind the bytes, and gives the end of their last whole line that something follows.
    fn fill(&mut self, bytes: &mut Vec<u8>, mut count: usize) -> Result<usize> {
        let before = bytes.len();
        loop {
            self.more(bytes, count as u64)?;
            if self.is_done {
                return Ok(bytes.len());
            }
            let inner = bytes.get(before.saturating_sub(1)..bytes.len() - 1);
            let feed = inner.and_then(|b| b.iter().rposition(|b| *b == b'\n'));
            if let Some(feed) = feed {
                return Ok(before.saturating_sub(1) + feed + 1);
            }
            // A line that is longer than all this.
            count = count.saturating_mul(2);
        }
    }

    fn more(&mut self, bytes: &mut Vec<u8>, count: u64) -> Result<()> {
        let read = read_up_to(
            &self.name,
            &mut self.from,
            count,
            bytes,
            self.read,
            &self.limits,
        )
        .map_err(|e| match self.is_unpacked && e.group() == Group::Limit {
            true => gzip::too_large(&self.name, &self.limits),
            false => e,
        })?;
        self.read += read;
        self.is_done = read < count;
        Ok(())
    }
}

impl fmt::Debug for Pieces<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Pieces")
            .field("name", &self.name)
            .field("read", &self.read)
            .field("is_done", &self.is_done)
            .finish_non_exhaustive()
    }
}
