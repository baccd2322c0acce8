//! Bytes that are taken piece by piece; zeros follow the last.

use std::ffi::CString;

/// Longest piece.
const LONGEST: usize = 4096;

/// What is left.
pub(super) struct Bytes<'a>(&'a [u8]);

impl<'a> Bytes<'a> {
    pub(super) fn of(data: &'a [u8]) -> Self {
        Self(data)
    }

    pub(super) fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    pub(super) fn u8(&mut self) -> u8 {
        let Some((first, rest)) = self.0.split_first() else {
            return 0;
        };
        self.0 = rest;
        *first
    }

    pub(super) fn u16(&mut self) -> u16 {
        u16::from_le_bytes([self.u8(), self.u8()])
    }

    /// Any number, NaN and infinity too.
    pub(super) fn number(&mut self) -> f64 {
        f64::from_le_bytes(std::array::from_fn(|_| self.u8()))
    }

    /// Bytes behind their length.
    pub(super) fn piece(&mut self) -> &'a [u8] {
        let length = usize::from(self.u16()) % LONGEST;
        let (piece, rest) = self.0.split_at(length.min(self.0.len()));
        self.0 = rest;
        piece
    }

    /// A short text that ends in a zero byte; UTF-8 or not.
    pub(super) fn text(&mut self) -> CString {
        let length = usize::from(self.u8() % 32);
        let (piece, rest) = self.0.split_at(length.min(self.0.len()));
        self.0 = rest;
        let ended: Vec<u8> = piece.iter().copied().take_while(|b| *b != 0).collect();
        CString::new(ended).unwrap_or_default()
    }

    pub(super) fn text_if(&mut self, is_wanted: bool) -> Option<CString> {
        is_wanted.then(|| self.text())
    }
}
