//! Watching a long call: how far it is, and whether it shall go on.

use crate::error::{Error, Result};

/// Is told how far a call is, and says whether it goes on.
///
/// A closure is one, too:
///
/// ```
/// use spheresum_core::watch::Watch;
///
/// let watch: &dyn Watch = &|done: f64, what: &str| {
///     println!("{:3.0} % {what}", 100.0 * done);
///     true
/// };
/// assert!(watch.at(0.5, "filling gaps"));
/// ```
pub trait Watch {
    /// `done` runs from 0 to 1 and never back; `what` is being done now. `false` stops the call, which then fails with
    /// [`Group::Cancelled`](crate::Group::Cancelled) and asks no more.
    ///
    /// It is called by the thread that made the call, between its stages: a call that was told to stop may go on until the next of them.
    /// How `done` runs along the clock is not promised.
    fn at(&self, done: f64, what: &str) -> bool;
}

impl<F: Fn(f64, &str) -> bool> Watch for F {
    fn at(&self, done: f64, what: &str) -> bool {
        self(done, what)
    }
}

/// Nobody watches, and the call goes on to its end.
#[derive(Clone, Copy, Debug, Default)]
pub struct Unwatched;

impl Watch for Unwatched {
    fn at(&self, _: f64, _: &str) -> bool {
        true
    }
}

/// The part of a watched call that a stage of it takes.
#[derive(Clone, Copy)]
pub(crate) struct Span<'w> {
    watch: &'w dyn Watch,
    from: f64,
    to: f64,
}

impl<'w> Span<'w> {
    /// All of the call.
    pub fn whole(watch: &'w dyn Watch) -> Self {
        Self {
            watch,
            from: 0.0,
            to: 1.0,
        }
    }

    /// A part of this one, from 0 to 1.
    pub fn part(self, from: f64, to: f64) -> Self {
        Self {
            watch: self.watch,
            from: self.place(from),
            to: self.place(to),
        }
    }

    /// One of several equal parts, from 0.
    pub fn nth(self, n: usize, of: usize) -> Self {
        let of = of.max(1) as f64;
        self.part(n as f64 / of, (n + 1) as f64 / of)
    }

    /// Tells how much of this part is done, from 0 to 1.
    ///
    /// # Errors
    /// Cancelled: the watch said stop.
    pub fn at(self, done: f64, what: &str) -> Result<()> {
        if self.watch.at(self.place(done), what) {
            Ok(())
        } else {
            Err(Error::cancelled(format!("stopped as asked: {what}")))
        }
    }

    /// The end is met exactly, so that the last is 1.
    fn place(self, done: f64) -> f64 {
        if done >= 1.0 {
            self.to
        } else {
            (self.from + (self.to - self.from) * done.max(0.0)).min(self.to)
        }
    }
}

#[cfg(test)]
mod tests;
